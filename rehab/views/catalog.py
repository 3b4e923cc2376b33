"""The exercises that the clinic can give: the catalog's and its own, one by one and all together."""

import datetime
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.clinical.drawing import Figure
from cases.clinical.sides import Side
from clinic.access import allow
from clinic.audit import record
from clinic.csv_file import export
from clinic.roles import Capability
from clinic.templatetags.clinic_tags import say
from clinic.typed import typed
from clinic.wording import Sentence
from clinic.wording import say as say_later
from clinic.writing import atomic_post
from rehab.access import catalog_of, catalog_or_404
from rehab.clinical.choosing import RAISED
from rehab.clinical.exercises import EDITION, Card, Dose
from rehab.clinical.ladder import Stage, stage_doses, stage_row
from rehab.clinical.plain_words import LONGEST_SENTENCE, long_sentences
from rehab.clinical.positions import start_and_end
from rehab.clinical.stages import HEAVY
from rehab.forms.catalog import OwnCardForm
from rehab.models import OwnCard
from rehab.models.catalog import Catalog
from rehab.tables import card_rows

WRITTEN = datetime.date.fromisoformat(EDITION)


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One exercise as it stands in the clinic's catalog."""

    card: Card
    own: OwnCard | None = None
    offered: bool = True

    @classmethod
    def of(cls, catalog: Catalog, code: str) -> "Entry":
        card = catalog.card(code)
        return cls(card=card, own=catalog.own.get(code), offered=catalog.offers(code))

    @property
    def figures(self) -> tuple[Figure, Figure] | None:
        return start_and_end(self.card.code, Side.RIGHT)

    @property
    def stages(self) -> list[Stage]:
        return [Stage(number) for number in self.card.stages]

    @property
    def is_raised(self) -> bool:
        """Whether the ladder raises it, so that it can't be left out."""
        return self.card.code in RAISED

    @property
    def doses(self) -> list[tuple[Stage, list[Sentence]]]:
        """The doses of each stage in the order in which they are worked through."""
        if self.own:
            return []
        code = self.card.code
        return [
            (stage, [_banded(dose, stage, code) for dose in stage_doses(stage, code)])
            for stage in self.stages
        ]

    @property
    def long_sentences(self) -> tuple[str, ...]:
        return long_sentences(self.card.for_patients) if self.own else ()

    def has(self, words: str) -> bool:
        card = self.card
        told = (card.name, card.equipment, card.structures)
        return all(word in " ".join(map(say, told)).casefold() for word in words.casefold().split())


def _banded(dose: Dose, stage: Stage, code: str) -> Sentence:
    """The dose in figures; what follows the repetition-maximum bands says so."""
    banded = code in HEAVY and stage_row(stage).repetition_maxima
    return say_later("%(dose)s RM", dose=dose.headline()) if banded else dose.headline()


@require_safe
@allow(Capability.READ_CLINICAL)
def catalog(request: HttpRequest) -> HttpResponse:
    held = catalog_of(request.user)
    entries, stage = _entries(held), _stage(request)
    context = {
        "groups": _found(request, entries),
        "query": request.GET.get("q", ""),
        "stage": stage,
        "stages": list(Stage),
        "printed": len(entries) - len(held.own),
        "own": len(held.own),
        "left_out": sum(not entry.offered for entry in entries),
        "edition": WRITTEN,
        "manages": request.user.may(Capability.MANAGE),
    }
    return render(request, "rehab/catalog.html", context)


@require_safe
@allow(Capability.READ_CLINICAL)
def catalog_csv(request: HttpRequest) -> HttpResponse:
    groups = _found(request, _entries(catalog_of(request.user)))
    cards = [(one.card, bool(one.own), one.offered) for _stage, some in groups for one in some]
    return export(request, card_rows(cards), what="exercises")


def _entries(held: Catalog) -> list[Entry]:
    return [Entry.of(held, card.code) for card in held.cards]


def _found(request: HttpRequest, entries: list[Entry]) -> list[tuple[Stage, list[Entry]]]:
    """What fits the words and the stage in the address, by stage."""
    query = request.GET.get("q", "")
    return _by_stage([one for one in entries if one.has(query)], _stage(request))


def _stage(request: HttpRequest) -> Stage | None:
    """The stage that was asked for; anything else asks for all of them."""
    asked = request.GET.get("stage", "")
    return next((stage for stage in Stage if str(int(stage)) == asked), None)


def _by_stage(entries: list[Entry], only: Stage | None) -> list[tuple[Stage, list[Entry]]]:
    """Each exercise once, under the stage that it comes in with; or all those of one stage."""
    if only:
        groups = [(only, [entry for entry in entries if only in entry.stages])]
    else:
        groups = [(stage, [e for e in entries if e.stages[0] is stage]) for stage in Stage]
    return [(stage, found) for stage, found in groups if found]


@require_safe
@allow(Capability.READ_CLINICAL)
def catalog_card(request: HttpRequest, code: str) -> HttpResponse:
    held = catalog_or_404(request.user, code)
    entry = Entry.of(held, code)
    context = {
        "entry": entry,
        "editions": OwnCard.objects.of(request.user.clinic).editions(code) if entry.own else (),
        "edition": WRITTEN,
        "manages": request.user.may(Capability.MANAGE),
        "longest": LONGEST_SENTENCE,
    }
    return render(request, "rehab/catalog_card.html", context)


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def catalog_new(request: HttpRequest) -> HttpResponse:
    """Write an exercise of the clinic's own."""
    held = catalog_of(request.user, lock=request.method == "POST")
    return _write(request, OwnCardForm(typed(request), catalog=held))


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def catalog_change(request: HttpRequest, code: str) -> HttpResponse:
    """Write the next edition of an own exercise; the one before stays on record."""
    held = catalog_or_404(request.user, code, own=True, lock=request.method == "POST")
    form = OwnCardForm(typed(request), catalog=held, instance=held.own[code])
    return _write(request, form, code=code)


def _write(request: HttpRequest, form: OwnCardForm, code: str | None = None) -> HttpResponse:
    """Show the form, or how the exercise would look, or keep it as a new edition."""
    valid = form.is_bound and form.is_valid()
    edition = form.edition() if valid else None
    if request.method == "POST" and edition and "look" not in request.POST:
        edition.write(request.user.clinic, code=code)
        record(request.user, "wrote", edition, code=edition.code, edition=edition.edition)
        messages.success(request, _("The exercise is saved. Programs already issued keep theirs."))
        return redirect("rehab:catalog_card", edition.code)
    preview = Entry(card=edition.as_card, own=edition) if edition else None
    refused = request.method == "POST" and not edition
    context = {"form": form, "code": code, "preview": preview, "longest": LONGEST_SENTENCE}
    return render(request, "rehab/catalog_form.html", context, status=422 if refused else 200)


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def catalog_offer(request: HttpRequest, code: str) -> HttpResponse:
    """Offer an exercise for new programs, or leave it out of them."""
    held = catalog_or_404(request.user, code, lock=True)
    on = request.POST.get("offer") == "yes"
    if code in RAISED and not on:
        messages.error(request, _("The ladder raises this exercise, so it can't be left out."))
    elif on != held.offers(code):
        written = held.offer(code, on=on)
        record(request.user, "offered" if on else "left out", written, card=code)
        messages.success(request, _("Saved. It counts for new programs."))
    return redirect("rehab:catalog_card", code)
