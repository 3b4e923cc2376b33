"""A case that left one clinic and came into another is the same case."""

import copy
import datetime
import json
from dataclasses import replace

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError
from django.utils import timezone

from cases.models import Appointment, Case, Patient
from clinic.models import AuditEvent, Change, Staff
from rehab.exchange.bringing import OVER, Refused, bring_in
from rehab.exchange.document import document
from rehab.exchange.gather import gather, source_of
from rehab.exchange.reading import Unreadable, read
from rehab.exchange.record import Finding
from tests.factories.cases import create_appointment, create_patient
from tests.factories.clinic import create_clinic, create_physiotherapist
from tests.factories.record import create_full_record
from tests.rehab.exchange.generated import SOMEWHERE
from tests.rehab.exchange.whole import CASE, VISIT

pytestmark = pytest.mark.django_db
NOW = datetime.datetime(2026, 3, 9, 8, 30, tzinfo=datetime.UTC)


@pytest.fixture
def case():
    lead = create_physiotherapist(registration_number="PH 4711")
    case = Case.objects.get(patient=create_full_record(lead=lead))
    yesterday = timezone.now() - datetime.timedelta(days=1)
    visit = create_appointment(
        starts_at=yesterday, practitioner=lead, patient=case.patient, case=case
    )
    Appointment.objects.filter(pk=visit.pk).update(status="seen")
    return case


@pytest.fixture
def other():
    return create_physiotherapist(clinic=create_clinic(name="Mill Lane Physiotherapy"))


def over(record):
    """Without what the receiving clinic decides: who leads it, and what is booked."""
    kept = tuple(one for one in record.bookings if one.status in OVER)
    return replace(record, lead=VISIT.practitioner, bookings=kept)


def test_export_import_and_export_give_the_same_case(case, other):
    there = gather(case)
    sent = json.loads(json.dumps(document(there, source_of(case, at=NOW))))

    brought = bring_in(read(sent), by=other)

    here = gather(brought)
    assert there.visits
    assert there.programs
    assert there.diary
    assert over(there).bookings
    assert brought.clinic == other.clinic
    assert over(here) == over(there)
    source = source_of(case, at=NOW)
    assert document(over(here), source) == document(over(there), source)


def test_a_case_of_every_part_comes_back_as_it_was(other):
    here = over(gather(bring_in(CASE, by=other)))

    (visit,) = here.visits
    assert {name for name, _value in visit.values} >= {"grip_ratio", "prtee", "activities"}
    assert replace(here, visits=(replace(visit, values=VISIT.values),)) == over(CASE)


def test_the_scores_are_those_of_the_numbers_that_came(other):
    values = dict(gather(bring_in(CASE, by=other)).visits[0].values)

    assert values["grip_ratio"] == pytest.approx(1 / 3)
    assert values["activities"] == 4


def test_what_was_signed_there_is_sealed_here(case, other):
    visit = bring_in(gather(case), by=other).visits.get()
    visit.plan = "Something else"

    with pytest.raises(DatabaseError, match="visit_signed_stays"):
        visit.save()


def test_nobody_can_sign_in_as_who_wrote_it(case, other):
    brought = bring_in(gather(case), by=other)

    author = brought.visits.get().signed_by
    assert (str(author), author.registration_number) == (str(case.lead), "PH 4711")
    assert (author.clinic, author.is_active) == (other.clinic, False)
    assert not author.has_usable_password()
    assert author not in Staff.objects.of(other.clinic)


def test_what_still_stands_there_is_not_booked_here(case, other):
    assert case.appointments.exclude(status__in=OVER).exists()

    brought = bring_in(gather(case), by=other)

    assert [one.status for one in brought.appointments.all()] == ["seen"]
    assert brought.patient.mail_agreed is False


def write(record, path):
    path.write_text(json.dumps(document(record, SOMEWHERE)))
    return str(path)


def test_the_command_brings_it_in_and_the_trail_says_who(other, tmp_path, capsys):
    call_command("import_case", write(CASE, tmp_path / "case.json"), by=other.username)

    case = Case.objects.get()
    event = AuditEvent.objects.get(verb="brought in")
    assert (event.actor, event.object_id, event.patient_key) == (other, case.pk, case.patient_id)
    assert {
        one.actor_id for one in Change.objects.filter(clinic=other.clinic, table_name="cases_visit")
    } == {other.pk}
    assert f"Case {case.pk}" in capsys.readouterr().out


def test_a_record_that_is_alike_is_asked_about(other, tmp_path):
    path = write(CASE, tmp_path / "case.json")
    person = {"given_name": "Ada", "family_name": "Example", "born": CASE.patient.born}
    known = create_patient(clinic=other.clinic, **person)

    with pytest.raises(CommandError, match="may be the same person"):
        call_command("import_case", path, by=other.username)
    call_command("import_case", path, by=other.username, patient=known.record_number)

    assert Case.objects.get().patient == known


def test_the_same_case_comes_in_once(other):
    patient = bring_in(CASE, by=other).patient

    with pytest.raises(Refused):
        bring_in(CASE, by=other, patient=patient)
    assert Case.objects.count() == 1


WRONG = {
    "a score of no scale": replace(VISIT, pains=(("at_rest", 11),)),
    "a situation of no list": replace(VISIT, pains=(("in_the_rain", 3),)),
    "a force of no hand": replace(
        VISIT,
        grips=(replace(VISIT.grips[0], trials=(replace(VISIT.grips[0].trials[0], force_n=1e5),)),),
    ),
    "an activity of no list": replace(VISIT, activities=((4, 3),)),
    "a sign that no database keeps": replace(VISIT, plan="\x00"),
    "a test that nobody here knows": replace(
        VISIT,
        battery=replace(
            VISIT.battery, findings=(Finding(test="twist", side="left", answer="none"),)
        ),
    ),
    "familiar pain without its rating": replace(
        VISIT,
        battery=replace(
            VISIT.battery,
            findings=(Finding(test="wrist-extension", side="left", answer="familiar"),),
        ),
    ),
    "a visit of five hours": replace(VISIT, minutes=300),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_what_breaks_a_rule_is_refused_and_leaves_nothing(other, wrong):
    with pytest.raises(Refused):
        bring_in(replace(CASE, visits=(WRONG[wrong],)), by=other)

    assert not Patient.objects.exists()
    assert not Staff.objects.filter(is_active=False).exists()


def test_an_exercise_that_nobody_here_knows_needs_its_words(other):
    exercise = replace(CASE.programs[0].exercises[0], card="own-404")
    program = replace(CASE.programs[0], exercises=(exercise,))

    with pytest.raises(Refused):
        bring_in(replace(CASE, programs=(program,)), by=other)


def test_a_document_of_another_layout_is_refused_with_a_sentence(case):
    bundle = document(gather(case), source_of(case, at=NOW))
    foreign = copy.deepcopy(bundle)
    foreign["meta"]["profile"] = ["http://example.org/other"]

    for one in (foreign, [], {"resourceType": "Bundle"}):
        with pytest.raises(Unreadable, match="not a case as this software exports it"):
            read(one)


def test_a_document_that_lost_a_part_is_refused(case):
    bundle = document(gather(case), source_of(case, at=NOW))
    bundle["entry"] = [
        one for one in bundle["entry"] if one["resource"]["resourceType"] != "Provenance"
    ]

    with pytest.raises(Unreadable, match="can't be read"):
        read(bundle)
