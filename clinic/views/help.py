"""Where to look something up: the keys and the words; and how much help one is shown."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from clinic.access import allow
from clinic.audit import record
from clinic.glossary import PARTS, WORDS
from clinic.help_form import HelpForm
from clinic.keys import GROUPS
from clinic.roles import Capability
from clinic.writing import atomic_post


@require_safe
@allow(Capability.SEE_CLINIC)
def keys(request: HttpRequest) -> HttpResponse:
    return render(request, "clinic/keys.html", {"groups": GROUPS})


@require_safe
@allow(Capability.SEE_CLINIC)
def glossary(request: HttpRequest) -> HttpResponse:
    return render(request, "clinic/glossary.html", {"parts": PARTS, "known": WORDS})


@require_POST
@allow(Capability.SEE_CLINIC)
@atomic_post
def shown(request: HttpRequest) -> HttpResponse:
    record(HelpForm(request.POST, instance=request.user).save(), "chose which help is shown")
    messages.success(request, _("Saved."))
    return redirect("clinic:account")
