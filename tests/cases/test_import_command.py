"""The same from the command line."""

import io

import pytest
from django.core.management import CommandError, call_command

from cases.models import Appointment, Import, Patient
from clinic.models import OpeningHours
from tests.cases.importing import BOOKED, row, written

pytestmark = pytest.mark.django_db


@pytest.fixture
def run(manager, tmp_path):
    def bring_in(data: bytes, **options) -> str:
        path, out = tmp_path / "old.csv", io.StringIO()
        path.write_bytes(data)
        call_command("import_patients", path, clinic=manager.clinic.name, stdout=out, **options)
        return out.getvalue()

    return bring_in


def test_a_dry_run_says_what_it_found_and_leaves_nothing(run):
    said = run(written([row(1), row(2, Surname="")]), dry_run=True)

    assert said.splitlines() == [
        "line 3: Family name: The name is missing.",
        "Rows that can be brought in: 1, with an error: 1, there already: 0.",
    ]
    assert (Patient.objects.count(), Import.objects.get().state) == (0, "cancelled")


def test_patients_are_brought_in_once(run, manager):
    data = written([row(1), row(2)])

    assert run(data).splitlines()[-1] == "2 rows were brought in."
    assert list(Patient.objects.values_list("record_number", flat=True)) == [1, 2]
    assert Import.objects.get().made_by == manager
    with pytest.raises(CommandError, match="This very file was brought in already"):
        run(data)


def test_rows_with_errors_stop_it_unless_the_good_rows_are_asked_for(run):
    data = written([row(1), row(2, Surname="")])
    with pytest.raises(CommandError, match="There are rows with errors"):
        run(data)
    assert Patient.objects.count() == 0

    assert run(data, good_rows=True).splitlines()[-1] == "1 rows were brought in."


def test_what_is_not_clear_is_asked_for(run):
    data = written([row(1, Sex="M", **{"Date of birth": "04/05/1981"})])
    with pytest.raises(CommandError) as refused:
        run(data)
    assert str(refused.value).splitlines() == [
        "Answer these with --answer NAME=VALUE.",
        "order_born: Both orders are possible. Say which one the file keeps to.",
        "word_sex_0: Say what “M” means.",
    ]

    run(data, dates="month", answer=["word_sex_0=male"])
    one = Patient.objects.get()
    assert (one.born.isoformat(), one.sex) == ("1981-04-05", "male")


def test_where_the_day_begins_before_utcs_appointments_fall_on_the_clinics_days(
    run, manager, physiotherapist, morning
):
    """Nine on Friday in Auckland is Thursday in UTC, when the clinic is closed."""
    clinic = manager.clinic
    clinic.time_zone = "Pacific/Auckland"
    clinic.save()
    OpeningHours.objects.filter(clinic=clinic, weekday=3).delete()
    run(written([row(1)]))
    therapist = str(physiotherapist)
    run(written([["1", "2026-03-13", "09:00", "30", therapist]], head=BOOKED), appointments=True)

    (booked,) = Appointment.objects.all()
    assert booked.starts_at.isoformat() == "2026-03-12T20:00:00+00:00"


def test_nobody_else_answers_for_it(run, front_desk):
    with pytest.raises(CommandError, match="one of its managers"):
        run(written([row(1)]), by=front_desk.username)
