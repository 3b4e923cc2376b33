"""A row of a file as a patient, and who may be that person already."""

import datetime
from collections import defaultdict
from collections.abc import Iterable

from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _

from cases.clinical.names import alike, bare
from cases.importing.columns import key
from cases.importing.dates import only_day
from cases.models import Import, ImportRow, Patient
from clinic.forms import check_phone

WRONG, KNOWN = ImportRow.State.WRONG, ImportRow.State.KNOWN
NAMES = ("given_name", "family_name")
WORDS = ("sex", "handedness", "language")
# What a row means that says nothing: neither is guessed for anybody.
UNSAID = {"sex": "unstated", "handedness": "unset", "language": "en"}
EARLIEST = datetime.date(1900, 1, 1)
# Clinics that never asked type one and the same birth date for everybody; names this many are compared
# for being equal alone.
MOST_COMPARED = 200


def read_patient(row: ImportRow, run: Import) -> Patient:
    """Return the patient whom a row describes; what is wrong with it is noted on the row."""
    said = {code: row.cells.get(code, "") for code in ("phone", "email", *NAMES)}
    born = read_born(row, run)
    row.own_number = _own_number(row)
    patient = Patient(clinic_id=run.clinic_id, born=born, **said, **_meant(row, run))
    _check(patient, row)
    row.born, row.name = born, sorted_name(str(patient))
    return patient


def _own_number(row: ImportRow) -> str:
    number = row.cells.get("own_number", "")
    if len(number) > 80:
        row.refuse(WRONG, "own_number", _("At most 80 signs."))
    return number[:80]


def read_born(row: ImportRow, run: Import) -> datetime.date | None:
    """Return the birth date; None when there is none that can be, which is noted on the row."""
    text = row.cells.get("born", "")
    if not text:
        row.refuse(WRONG, "born", _("The birth date is missing."))
        return None
    try:
        born = only_day(text, run.orders.get("born", ""))
    except ValueError:
        told = _("“%(text)s” is no date in the order that was chosen; a year has four digits.")
        row.refuse(WRONG, "born", told % {"text": text[:40]})
        return None
    if EARLIEST <= born <= timezone.localdate():
        return born
    row.refuse(WRONG, "born", _("The birth date is in the future or before 1900."))
    return None


def _meant(row: ImportRow, run: Import) -> dict[str, str]:
    found = {}
    for code in WORDS:
        text = row.cells.get(code, "")
        found[code] = meant(run, code, text) if text else UNSAID[code]
        if not found[code]:
            row.refuse(
                WRONG, code, _("Nobody has said what “%(text)s” means.") % {"text": text[:40]}
            )
    return found


def meant(run: Import, code: str, text: str) -> str:
    """Return what a word of the file was said to mean; nothing when it was left open."""
    return run.meanings.get(code, {}).get(key(text), "")


def _check(patient: Patient, row: ImportRow) -> None:
    """By the rules of the model, and those of the form that has no row of its own to ask."""
    empty = [name for name in NAMES if not getattr(patient, name)]
    for name in empty:
        row.refuse(WRONG, name, _("The name is missing."))
    known = {"clinic", "record_number", "search_name", "born", *WORDS, *empty}
    try:
        patient.clean_fields(exclude=known)
    except ValidationError as wrong:
        for name, texts in wrong.message_dict.items():
            row.refuse(WRONG, name, " ".join(texts))
    try:
        if patient.phone:
            check_phone(patient.phone)
    except ValidationError as wrong:
        row.refuse(WRONG, "phone", " ".join(wrong.messages))


def sorted_name(name: str) -> str:
    """Return the name as a row keeps it and is found by."""
    return bare(name)[:170]


class People:
    """Who was born on the days of some rows: the clinic's patients, and rows further up in the file."""

    def __init__(self, run: Import, rows: Iterable[ImportRow], *, with_rows: bool):
        days = {row.born for row in rows if row.born}
        self.by_day = defaultdict(list)
        self.exact: dict[tuple, ImportRow | Patient] = {}
        known = list(Patient.objects.of(run.clinic_id).born_on(days))
        just_now = set(run.rows.brought().of_patients(known).values_list("patient", flat=True))
        for patient in known:
            if patient.pk not in just_now:
                self.add(patient.born, sorted_name(str(patient)), patient)
        if with_rows:
            for row in run.rows.good().filter(born__in=days).only("born", "name", "line"):
                self.add(row.born, row.name, row)

    def add(self, born: datetime.date, name: str, who: ImportRow | Patient) -> None:
        self.by_day[born].append((name, who))
        self.exact.setdefault((born, name), who)

    def find(self, row: ImportRow) -> tuple[ImportRow | Patient | None, bool]:
        """Who may be the person of the row, and whether the name is the very same."""
        same = self.exact.get((row.born, row.name))
        if same is not None:
            return same, True
        others = self.by_day[row.born]
        if len(others) > MOST_COMPARED:
            return None, False
        return next((who for name, who in others if alike(name, row.name)), None), False


def note_known(rows: Iterable[ImportRow], people: People) -> None:
    """Leave out each row whose person is on record, or stands further up, unless it comes in anyway."""
    for row in rows:
        if row.state != ImportRow.State.GOOD:
            continue
        who, same = people.find(row) if not row.anyway else (None, False)
        if isinstance(who, Patient):
            row.patient = who if same else None
        if who is not None:
            row.refuse(KNOWN, "family_name", _sentence(who, same=same))
        else:
            people.add(row.born, row.name, row)


def _sentence(who: ImportRow | Patient, *, same: bool) -> str:
    if isinstance(who, ImportRow):
        told = (
            _("The same person as line %(line)s.")
            if same
            else _(
                "Perhaps the same person as line %(line)s: born the same day, with a name that is alike."
            )
        )
        return told % {"line": who.line}
    told = (
        _("On record already: %(who)s, record %(record)s.")
        if same
        else _("Perhaps on record already: %(who)s, record %(record)s, born the same day.")
    )
    return told % {"who": who, "record": who.record}


def note_numbers(rows: Iterable[ImportRow], run: Import) -> None:
    """A number that stands for two people is wrong where it comes the second time."""
    rows = [row for row in rows if row.own_number]
    before = run.rows.filter(own_number__in=[row.own_number for row in rows])
    seen = {row.own_number: row.line for row in before.only("own_number", "line")}
    for row in rows:
        first = seen.setdefault(row.own_number, row.line)
        if first != row.line and row.state != KNOWN:
            row.refuse(
                WRONG, "own_number", _("Line %(line)s has this number too.") % {"line": first}
            )
