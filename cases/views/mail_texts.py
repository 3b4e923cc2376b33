"""The words of e-mails to patients: the standard ones, and the clinic's own in their place."""

import datetime

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from cases.forms.mail import MailTextForm
from cases.mail import letter_about
from cases.mail_words import Occasion, places_of
from cases.models import Appointment, MailText, Notice, Patient
from cases.models.mail_text import Words, standard_words
from cases.models.patient import languages
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post


@require_safe
@allow(Capability.MANAGE)
def texts(request):
    own = {
        (row.occasion, row.language): row for row in MailText.objects.own_of(request.user.clinic)
    }
    rows = [
        (about, [(code, name, own.get((about, code))) for code, name in languages()])
        for about in Notice.About
    ]
    context = {"rows": rows, "languages": languages(), "own": len(own)}
    return render(request, "cases/mail_texts.html", context)


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def text(request, which):
    row = _row(request, *which.split("-"))
    on_record = Words(row.subject, row.body)
    form = MailTextForm(typed(request), instance=row)
    if "standard" in request.POST:
        return _back_to_standard(request, row)
    sound = request.method == "POST" and form.is_valid()
    words = Words(form.cleaned_data["subject"], form.cleaned_data["body"]) if sound else on_record
    if sound and "look" not in request.POST:
        return _keep(request, form, changed=words != on_record)
    context = {
        "form": form,
        "row": row,
        "places": places_of(Occasion(row.occasion)),
        "letter": letter_about(examples(request.user, row), words),
    }
    refused = request.method == "POST" and not sound
    return render(request, "cases/mail_text.html", context, status=422 if refused else 200)


def _row(request, occasion="", language="", *more) -> MailText:
    """The clinic's own words, or the standard ones as if they were; locked with the clinic when posted."""
    if occasion not in Notice.About.values or language not in dict(languages()) or more:
        raise Http404(occasion)
    clinic = request.user.clinic
    if request.method == "POST":
        clinic.locked()
    if own := MailText.objects.own(clinic, Occasion(occasion), language).first():
        return own
    words = standard_words(Occasion(occasion), language)
    new = MailText(clinic=clinic, occasion=occasion, language=language)
    new.subject, new.body = words.subject, words.body
    return new


def examples(staff, row: MailText) -> list[Appointment]:
    """What the text is shown with: an appointment tomorrow, or four of them two weeks apart."""
    number = 4 if row.occasion == Occasion.SERIES else 1
    return [example(staff, row.language, weeks=2 * place) for place in range(number)]


def example(staff, language: str, *, weeks: int = 0) -> Appointment:
    """An invented patient's appointment with the reader, so many weeks from tomorrow at half past nine."""
    day = timezone.localdate() + datetime.timedelta(days=1, weeks=weeks)
    starts = timezone.make_aware(datetime.datetime.combine(day, datetime.time(9, 30)))
    return Appointment(
        clinic=staff.clinic,
        patient=Patient(given_name="Marit", language=language),
        practitioner=staff,
        starts_at=starts,
        ends_at=starts + datetime.timedelta(minutes=30),
    )


def _keep(request, form, *, changed: bool):
    if changed:
        form.instance.changed_by = request.user
        row = form.save()
        record(request.user, "changed", row, about=row.occasion, language=row.language)
        messages.success(request, _("Saved. From now on e-mails are written so."))
    else:
        messages.info(request, _("Nothing was changed."))
    return redirect("cases:mail_texts")


def _back_to_standard(request, row):
    if row.pk:
        record(request.user, "removed", row, about=row.occasion, language=row.language)
        row.delete()
        messages.success(request, _("The standard text is used again."))
    return redirect("cases:mail_texts")
