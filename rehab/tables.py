"""Lists of the due, of rights to a record, of thresholds and of exercises as rows for a file."""

import datetime
from collections.abc import Iterable, Iterator
from itertools import islice

from cases.models import CorrectionRequest
from cases.models.case import CaseQuerySet
from cases.tables import NAMED, named
from clinic.csv_file import AT_ONCE
from clinic.models import Clinic, Erasure
from clinic.tables import clock_of, yes_or_no
from clinic.templatetags.clinic_tags import say
from rehab.clinical.card import Card
from rehab.clinical.thresholds import DEFAULTS, GROUPS, Limits, Threshold
from rehab.due_list import Waiting, waiting
from rehab.keeping import Kept
from rehab.models import ThresholdChange

DUE = (
    *NAMED, "phone", "due (date)", "overdue (days)", "open since (date)", "kind", "led by",
    "last call", "last call (date and time)", "call again (date)",
)  # fmt: skip
CLINICAL = ("asked for", "stage (1 to 5)")
RECORDS_DUE = (*NAMED, "last contact (date)", "kept until (date)", "rule")
RECORDS_ERASED = (
    "record", "erased (date and time)", "by", "last contact (date)", "kept until (date)", "rule",
)  # fmt: skip
CORRECTIONS = (*NAMED, "asked (date)", "what", "taken by", "answer due (date)", "left (days)")

THRESHOLDS = (
    "group", "code", "what", "here (in its unit)", "printed (in its unit)", "lowest (in its unit)",
    "highest (in its unit)", "unit", "source", "status",
)  # fmt: skip

EXERCISES = (
    "code", "name", "whose", "offered (yes or no)", "stages (1 to 5)", "usual dose", "equipment",
    "structures loaded", "what lets it in", "source", "status",
)  # fmt: skip


def due_rows(
    cases: CaseQuerySet, clinic: Clinic, *, today: datetime.date, clinical: bool
) -> Iterator[tuple]:
    """The list of the due, with two queries for each AT_ONCE; `clinical` for those who may read records."""
    at, limits = clock_of(clinic), ThresholdChange.objects.limits(clinic)
    found = cases.iterator(AT_ONCE)
    yield DUE + CLINICAL if clinical else DUE
    while some := list(islice(found, AT_ONCE)):
        for row in waiting(some, today=today, limits=limits):
            read = (row.asks.value if row.asks else "", row.stage or "") if clinical else ()
            yield *_due(row, today), *_called(row, at), *read


def _due(row: Waiting, today: datetime.date) -> tuple:
    case, due = row.case, row.case.due_on
    overdue = max((today - due).days, 0) if due else ""
    days = (due or "", overdue, case.opened)
    return (*named(case.patient), case.patient.phone, *days, row.kind.value, case.lead)


def _called(row: Waiting, at) -> tuple:
    call = row.contact
    return (call.outcome, at(call.at), call.again_on or "") if call else ("", "", "")


def records_due_rows(records: Iterable[Kept]) -> list[tuple]:
    """Made before they are sent: the rule is a sentence in the reader's language."""
    return [
        RECORDS_DUE,
        *((*named(one.patient), one.last_contact, one.until, say(one.rule)) for one in records),
    ]


def records_erased_rows(erased: Iterable[Erasure], clinic: Clinic) -> Iterator[tuple]:
    at = clock_of(clinic)
    yield RECORDS_ERASED
    for one in erased.iterator(AT_ONCE):
        days = one.last_contact, one.kept_until
        yield one.record, at(one.erased_at), one.erased_by, *days, one.rule


def correction_rows(
    requests: Iterable[CorrectionRequest], *, today: datetime.date
) -> Iterator[tuple]:
    yield CORRECTIONS
    for one in requests.iterator(AT_ONCE):
        left = (one.due_on - today).days
        yield *named(one.patient), one.asked_on, one.what, one.taken_by, one.due_on, left


def threshold_rows(limits: Limits) -> list[tuple]:
    """The table in force, a line a threshold; the source belongs to the printed value.

    Made before it is sent: what stands in it is in the reader's language.
    """
    rows = [limits[row.code] for _code, _title, group in GROUPS for row in group]
    titles = {row.code: say(title) for _code, title, group in GROUPS for row in group}
    return [THRESHOLDS, *(_threshold(titles[row.code], row) for row in rows)]


def _threshold(group: str, row: Threshold) -> tuple:
    printed = DEFAULTS[row.code]
    span = [_shown(end) if row.setting else "" for end in (row.lowest, row.highest)]
    values = _shown(row.value), _shown(printed.value), *span, say(row.unit)
    return group, row.code, say(row.words), *values, printed.source, printed.status.value


def _shown(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def card_rows(cards: Iterable[tuple[Card, bool, bool]]) -> list[tuple]:
    """Each exercise with whether the clinic wrote it, and whether it is offered; made before it is sent."""
    return [EXERCISES, *(_card(*one) for one in cards)]


def _card(card: Card, is_own: bool, offered: bool) -> tuple:
    whose, stages = "clinic" if is_own else "catalog", ", ".join(map(str, card.stages))
    about = (card.usual_dose, card.equipment, card.structures, card.gate)
    known = card.source, card.status.value
    return card.code, say(card.name), whose, yes_or_no(offered), stages, *map(say, about), *known
