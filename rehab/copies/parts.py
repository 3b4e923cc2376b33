"""The parts that a copy is made of: small enough that each is made within a request."""

import datetime
from collections.abc import Iterator

from django.db import models
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from cases.models import Case, Patient, Visit
from clinic.models import AuditEvent, Change
from clinic.templatetags.clinic_tags import say, written
from clinic.wording import gettext_noop
from rehab.models import CopyPart, Handout, Pack, Program
from rehab.printing.gather import contact
from rehab.printing.record_copy import Block, CopySheet, copy_sheet_pdf
from rehab.seen import by_day_and_person

from .as_data import Names, as_text, in_data, staff_names
from .journal import change_data, changes, changes_of
from .on_paper import blocks
from .table import Table, load
from .tables import CASE, HANDOUT, PACK, PERSON, PROGRAM, VISIT
from .trail import event_data, events, events_about
from .words import plain

Kind = CopyPart.Kind
# So many rows are set in less than a second, measured on two shared cores.
VISITS, PROGRAMS, SHEETS, EVENTS, CHANGES = 6, 4, 60, 300, 100
TREES: dict[str, Table] = {
    Kind.PERSON: PERSON,
    Kind.CASE: CASE,
    Kind.VISITS: VISIT,
    Kind.PROGRAMS: PROGRAM,
    Kind.PAPERS: HANDOUT,
    Kind.PACKS: PACK,
}
# fmt: off
ABOUT = {
    Kind.PERSON: gettext_noop("Who the patient is, the appointments, the e-mails, and who has got a copy."),
    Kind.CASE: gettext_noop("How the case began, what was asked before loading, and who was called."),
    Kind.VISITS: gettext_noop("Each visit as signed: what was found, measured, decided and added."),
    Kind.PROGRAMS: gettext_noop("What was prescribed, in every version, and what was written down at home."),
    Kind.PAPERS: gettext_noop("Every sheet that was handed out; the folder “sheets” holds them all."),
    Kind.PACKS: gettext_noop("The packs of sheets that were put together for a day."),
    Kind.TRAIL: gettext_noop("Who of the clinic has looked at the record or changed it, and when."),
    Kind.CHANGES: gettext_noop("What was changed or removed, as it was before and as it became."),
}
# fmt: on


def planned(patient: Patient) -> list[tuple[str, list[int]]]:
    """The kinds of the parts in their order, each with the numbers of its rows."""
    parts: list[tuple[str, list[int]]] = [(Kind.PERSON, [patient.pk])]
    for case in Case.objects.filter(patient=patient).order_by("opened", "pk"):
        parts.append((Kind.CASE, [case.pk]))
        parts += _cut(Kind.VISITS, _numbers(Visit.objects.filter(case=case), "on"), VISITS)
        parts += _cut(Kind.PROGRAMS, _numbers(Program.objects.filter(case=case)), PROGRAMS)
    parts += _cut(Kind.PAPERS, _numbers(Handout.objects.filter(patient=patient)), SHEETS)
    parts += _cut(Kind.PACKS, _numbers(Pack.objects.filter(patient=patient)), SHEETS)
    parts += _cut(Kind.TRAIL, events_about(patient), EVENTS)
    parts += _cut(Kind.CHANGES, changes_of(patient), CHANGES)
    return parts


def _numbers(rows: models.QuerySet, *order: str) -> list[int]:
    return list(rows.order_by(*order, "pk").values_list("pk", flat=True))


def _cut(kind: str, numbers: list[int], most: int) -> Iterator[tuple[str, list[int]]]:
    return ((kind, numbers[at : at + most]) for at in range(0, len(numbers), most))


def made(part: CopyPart, *, on: datetime.date) -> tuple[bytes, str]:
    """The sheet of a part and its data, from the same rows."""
    names = staff_names(part.clinic)
    if part.kind == Kind.TRAIL:
        rows = list(events(part.about))
        data, shown = [event_data(row, names) for row in rows], (_trail(rows, names),)
    elif part.kind == Kind.CHANGES:
        rows = list(changes(part.about))
        data, shown = [change_data(row, names) for row in rows], (_changed(rows, names),)
    else:
        tree = TREES[part.kind]
        found = tuple(load(tree, tree.model._base_manager.filter(pk__in=part.about)))
        data = [in_data(row, names) for row in found]
        shown = tuple(blocks(tree, found, names))
    title = _title(part)
    sheet = copy_sheet_pdf(_sheet(part, title, shown, on=on))
    return sheet, as_text({"kind": part.kind, "title": title, "rows": data})


def _title(part: CopyPart) -> str:
    """What the part holds, with the elbow that it is about."""
    kind = str(capfirst(part.get_kind_display()))
    case = _case(part)
    if case is None:
        return kind
    told = {"kind": kind, "side": case.get_side_display(), "day": written(case.opened)}
    return _("%(kind)s: %(side)s elbow, case of %(day)s") % told


def _case(part: CopyPart) -> Case | None:
    match part.kind:
        case Kind.CASE:
            return Case.objects.get(pk=part.about[0])
        case Kind.VISITS:
            return Case.objects.get(visits=part.about[0])
        case Kind.PROGRAMS:
            return Case.objects.get(programs=part.about[0])
    return None


def _sheet(part: CopyPart, title: str, shown: tuple[Block, ...], *, on: datetime.date) -> CopySheet:
    patient = part.copy.patient
    return CopySheet(
        clinic=contact(part.clinic),
        patient=str(patient),
        record=patient.record,
        born=patient.born,
        on=on,
        title=title,
        about=say(ABOUT[part.kind]),
        part=(part.position, part.copy.total),
        blocks=shown,
    )


def _trail(rows: list[AuditEvent], names: Names) -> Block:
    heads = (_("Day"), _("Who"), _("Looked at"), _("Did"))
    lines = (
        (
            f"{written(one.day)}, {one.clocks}",
            one.who,
            "; ".join(deed.words for deed in one.looked),
            "; ".join(deed.words for deed in one.did),
        )
        for one in by_day_and_person(rows, names)
    )
    return Block(heads=heads, lines=tuple(lines))


def _changed(rows: list[Change], names: Names) -> Block:
    heads = (_("When"), _("Who"), _("Row"), _("Change"), _("Before"), _("After"))
    lines = (
        (
            plain(row.at),
            names.get(row.actor_id, ""),
            f"{row.table_name} {row.row_id}",
            row.get_kind_display(),
            plain(row.before or {}),
            plain(row.after or {}),
        )
        for row in rows
    )
    return Block(heads=heads, lines=tuple(lines))
