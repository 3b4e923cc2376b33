"""Cases without names: nobody named in it, dates moved together, ages without an end, a dictionary of all."""

import csv
import datetime
import io
import re
import zipfile

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from cases.models import Activity, Case, Patient, Restriction, Visit
from clinic.models import AuditEvent
from rehab.clinical.without_names import (
    SMALLEST_CELLS,
    USUAL_CELL,
    Disguise,
    age_band,
    age_in_years,
    cells_of,
    people_in,
    small_cells,
)
from rehab.models import Program
from rehab.research.archive import archive
from rehab.research.columns import TABLES
from rehab.research.gather import GATHERED, Unnamed
from tests.browser.at_work import a_case_at_its_second_visit
from tests.factories.cases import create_case, create_patient, create_signed_visit
from tests.factories.clinic import create_manager
from tests.factories.record import decide
from tests.markers import words_of
from tests.two_clinics import Asker, create_marked, marks_in
from tests.who_may_what import MANAGER

PAGE, FILE = reverse("rehab:research"), reverse("rehab:research_zip")


def files_of(data: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name).decode() for name in archive.namelist()}


def table(files: dict[str, str], name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(files[f"{name}.csv"].splitlines()))


def made(clinic) -> dict[str, str]:
    now = timezone.now()
    file = Unnamed(clinic, at=now, today=timezone.localdate(now))
    return files_of(b"".join(archive(file, smallest=5)))


def days(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


# Reckoned by hand; the last day of February of a leap year included.
@pytest.mark.parametrize(
    ("born", "on", "years", "band"),
    [
        ((1980, 3, 15), (2026, 3, 14), 45, "40–49"),
        ((1980, 3, 15), (2026, 3, 15), 46, "40–49"),
        ((2004, 2, 29), (2026, 2, 28), 21, "20–29"),
        ((2026, 3, 1), (2026, 3, 1), 0, "0–9"),
        ((1937, 1, 1), (2026, 12, 31), 89, "80–89"),
        ((1936, 12, 31), (2026, 12, 31), 90, "90+"),
        ((1920, 1, 1), (2026, 1, 1), 90, "90+"),
    ],
)
def test_ages_in_whole_years_and_nobody_over_90(born, on, years, band):
    reckoned = age_in_years(datetime.date(*born), datetime.date(*on))

    assert (reckoned, age_band(reckoned)) == (years, band)


def test_an_age_before_the_birth_is_refused():
    with pytest.raises(ValueError, match="is after"):
        age_in_years(datetime.date(2026, 3, 2), datetime.date(2026, 3, 1))


def test_days_are_moved_by_1_to_365_either_way_and_never_by_none():
    one = Disguise(key=b"k" * 32)
    moved = [one.shift(patient).days for patient in range(20_000)]

    assert set(moved) == set(range(-365, 366)) - {0}
    assert abs(sum(moved)) / len(moved) < 10  # no way is preferred; 3 standard errors are 4.5


def test_a_code_is_the_same_in_one_file_and_another_in_the_next():
    one, other = Disguise(), Disguise()

    assert one.code("case", 7) == one.code("case", 7)
    assert one.code("case", 7) not in {other.code("case", 7), one.code("visit", 7)}
    assert len({one.code("case", number) for number in range(10_000)}) == 10_000
    assert repr(one.key) not in repr(one)


def test_the_limits_of_a_small_cell_are_the_precedents():
    """El Emam 2013, "Cell size precedents" (abstract), and 11 by CMS as ResDAC has it; read second-hand."""
    assert list(SMALLEST_CELLS) == [3, 5, 11, 20]
    assert all(figure.value == number for number, figure in SMALLEST_CELLS.items())
    assert USUAL_CELL == 5


def test_somebody_with_two_elbows_is_one_person_in_each_cell():
    people = [(1, ("40–49", "male", "left")), (1, ("40–49", "male", "right"))]
    people += [(2, ("40–49", "male", "left")), (1, ("40–49", "male", "left"))]

    cells = cells_of(people)

    assert cells == {("40–49", "male", "left"): {1, 2}, ("40–49", "male", "right"): {1}}
    assert small_cells(cells, smallest=2) == {("40–49", "male", "right"): {1}}
    assert people_in(cells) == 2


@pytest.mark.django_db
def test_no_name_number_contact_or_typed_text_comes_out():
    """Each text of a clinic at work is marked; its own people would find the marks on the pages."""
    clinic = create_marked()
    manager = Asker(clinic.people[MANAGER])
    patient = Patient.objects.get(pk=clinic.numbers["patient"])

    said = words_of(manager.ask("GET", FILE))

    assert marks_in(said) == set()
    assert f"/patients/{patient.pk}/" not in said
    assert patient.born.isoformat() not in said
    people = Patient.objects.of(patient.clinic)
    # Not within a code, which may have any four figures in it.
    assert not {one.record for one in people} & set(re.findall(r"\w+", said))
    staff = clinic.people.values()
    assert not [one for one in staff if one.last_name in said or one.username in said]
    assert patient.clinic.name not in said
    assert marks_in(words_of(manager.ask("GET", f"/patients/{patient.pk}/")))


@pytest.mark.django_db
def test_every_table_is_filled_and_every_column_in_the_dictionary(physiotherapist):
    visit = a_case_at_its_second_visit(physiotherapist, timezone.localdate())
    Activity.objects.create(case=visit.case, position=1, name="Planing boards")
    decide(visit, Program.objects.current_of(visit.case))
    visit.sign(by=physiotherapist, at=timezone.now())
    files = made(physiotherapist.clinic)

    told = [(row["file"], row["column"]) for row in table(files, "dictionary")]
    found = [
        (f"{name}.csv", column)
        for name in TABLES
        for column in next(csv.reader(files[f"{name}.csv"].splitlines()))
    ]
    assert told == found
    assert TABLES.keys() == GATHERED.keys()
    assert [name for name in TABLES if not table(files, name)] == []
    for row in table(files, "dictionary"):
        assert row["meaning"]
        assert row["method"]


@pytest.mark.django_db
def test_each_value_is_one_of_those_in_the_dictionary(physiotherapist):
    a_case_at_its_second_visit(physiotherapist, timezone.localdate())
    files = made(physiotherapist.clinic)
    wrong = []
    for row in table(files, "dictionary"):
        known = row["values"].split("; ")
        if len(known) > 2 or known == ["yes", "no"]:
            name = row["file"].removesuffix(".csv")
            cells = {one[row["column"]] for one in table(files, name)} - {""}
            wrong += [(row["file"], row["column"], cell) for cell in cells - set(known)]
    named = {row["measure"] for row in table(files, "measure-dictionary")}

    assert wrong == []
    assert {row["measure"] for row in table(files, "measures")} <= named


def create_two_elbows(lead):
    """Somebody with both elbows, seen twice at one of them, and somebody else."""
    today = timezone.localdate()
    patient = create_patient(clinic=lead.clinic, born=datetime.date(1930, 5, 5))
    opened = today - datetime.timedelta(days=60)
    onset = opened - datetime.timedelta(days=21)
    for side, later in (("right", 0), ("left", 10)):
        case = create_case(
            lead=lead,
            patient=patient,
            side=side,
            onset=onset,
            opened=opened + datetime.timedelta(days=later),
        )
        create_signed_visit(case=case, on=case.opened + datetime.timedelta(days=14))
    create_case(lead=lead)
    return patient


def spacing(files) -> set[tuple]:
    """What lies between the dates of the person of 90, whatever the codes are."""
    rows = [row for row in table(files, "cases") if row["age (years)"] == "90"]
    first = min(days(row["opened (date)"]) for row in rows)
    visits = {row["case"]: days(row["on (date)"]) for row in table(files, "visits")}
    return {
        (row["side"], (days(row["opened (date)"]) - first).days, (visits[row["case"]] - first).days)
        for row in rows
    }


@pytest.mark.django_db
def test_the_dates_of_one_patient_move_together(physiotherapist):
    patient = create_two_elbows(physiotherapist)
    files = made(physiotherapist.clinic)

    rows = [row for row in table(files, "cases") if row["age (years)"] == "90"]
    assert len({row["patient"] for row in rows}) == 1
    assert spacing(files) == {("right", 0, 14), ("left", 10, 24)}
    true = Case.objects.get(patient=patient, side="right").opened
    (right,) = (row for row in rows if row["side"] == "right")
    assert 1 <= abs((days(right["opened (date)"]) - true).days) <= 365
    assert {row["since opening (days)"] for row in table(files, "visits")} == {"14"}
    assert right["complaint before (days)"] == "21"


@pytest.mark.django_db
def test_another_file_moves_them_otherwise_and_keeps_what_lies_between(physiotherapist):
    create_two_elbows(physiotherapist)
    several = [made(physiotherapist.clinic) for _number in range(4)]

    firsts = {min(row["opened (date)"] for row in table(files, "cases")) for files in several}
    codes = [{row["patient"] for row in table(files, "cases")} for files in several]

    assert len(firsts) > 1  # four draws out of 730 are the same once in 389 million
    assert set.intersection(*codes) == set()
    assert {frozenset(spacing(files)) for files in several} == {
        frozenset({("right", 0, 14), ("left", 10, 24)})
    }


@pytest.mark.django_db
def test_the_order_of_the_rows_is_not_that_of_the_records(physiotherapist):
    for _number in range(12):
        create_case(lead=physiotherapist)
    files = made(physiotherapist.clinic)

    codes = [row["case"] for row in table(files, "cases")]
    assert len(codes) == 12
    assert codes == sorted(codes)


@pytest.mark.django_db
def test_restricted_drafts_and_other_clinics_are_left_out(physiotherapist):
    today = timezone.localdate()
    kept, restricted = (create_case(lead=physiotherapist) for _number in range(2))
    Restriction.objects.create(
        patient=restricted.patient, reason="Disputed.", since=today, placed_by=physiotherapist
    )
    create_case()
    Visit.objects.create(case=kept, on=today, practitioner=physiotherapist)
    files = made(physiotherapist.clinic)

    (row,) = table(files, "cases")
    assert (row["signed visits (count)"], table(files, "visits")) == ("0", [])


@pytest.mark.django_db
def test_a_birth_after_the_opening_tells_no_age(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, born=timezone.localdate())
    create_case(lead=physiotherapist, patient=patient)

    (row,) = table(made(physiotherapist.clinic), "cases")

    assert (row["age (years)"], row["age band"]) == ("", "unknown")


@pytest.mark.django_db
def test_more_cases_than_are_read_at_once(physiotherapist, monkeypatch):
    monkeypatch.setattr("rehab.research.gather.AT_ONCE", 2)
    for _number in range(5):
        create_signed_visit(case=create_case(lead=physiotherapist))
    files = made(physiotherapist.clinic)

    assert len(table(files, "cases")) == 5
    joined = {row["case"] for row in table(files, "cases")}
    assert joined == {row["case"] for row in table(files, "visits")}


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
def test_it_is_the_managers(request, signed_in, role, status):
    client = signed_in(request.getfixturevalue(role))

    assert [client.get(one).status_code for one in (PAGE, FILE)] == [status, status]


@pytest.mark.django_db
def test_the_page_warns_of_few_and_the_limit_is_chosen(signed_in, manager, physiotherapist):
    for _number in range(4):
        create_case(lead=physiotherapist, side="right")
    client = signed_in(manager)

    warned = client.get(PAGE).content.decode()
    fewer = client.get(PAGE, {"smallest": 3}).content.decode()

    assert "Of 1 combinations of age band, sex and side, 1 have fewer than 5 people" in " ".join(
        warned.split()
    )
    assert "No combination of age band, sex and side has fewer than 3 people." in " ".join(
        fewer.split()
    )
    assert client.get(PAGE, {"smallest": "4"}).status_code == 422


@pytest.mark.django_db
def test_the_file_is_an_event_with_its_counts(signed_in, manager, physiotherapist):
    create_case(lead=physiotherapist)
    answer = signed_in(manager).get(FILE, {"smallest": 11})

    assert answer.streaming
    assert "fewer than 11 people" in files_of(b"".join(answer.streaming_content))["about.txt"]
    event = AuditEvent.objects.get()
    assert (event.verb, event.actor, event.patient_key) == ("exported", manager, None)
    assert event.detail == {
        "what": "cases without names", "smallest": 11, "cases": 1, "patients": 1, "small_cells": 1,
    }  # fmt: skip


@pytest.mark.django_db
def test_the_command_writes_the_same_and_no_file_twice(physiotherapist, tmp_path, capsys):
    manager = create_manager(clinic=physiotherapist.clinic)
    create_case(lead=physiotherapist)
    file = tmp_path / "cases.zip"
    asked = [str(file), "--clinic", str(manager.clinic_id)]
    call_command("export_without_names", *asked)

    files = files_of(file.read_bytes())
    assert len(table(files, "cases")) == 1
    assert "1 people are among fewer than 5" in capsys.readouterr().out
    event = AuditEvent.objects.get()
    assert (event.actor, event.detail["what"]) == (manager, "cases without names")
    with pytest.raises(CommandError, match="exists"):
        call_command("export_without_names", *asked)


@pytest.mark.django_db
def test_the_command_leaves_no_file_when_it_is_stopped(physiotherapist, tmp_path, monkeypatch):
    manager = create_manager(clinic=physiotherapist.clinic)

    def stopped(made, *, smallest):
        yield b"PK"
        raise KeyboardInterrupt

    monkeypatch.setattr("clinic.management.commands.export_without_names.archive", stopped)
    file = tmp_path / "cases.zip"
    with pytest.raises(KeyboardInterrupt):
        call_command("export_without_names", str(file), clinic=str(manager.clinic_id))

    assert not file.exists()
