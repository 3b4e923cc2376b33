"""Printing the self-check sheet of a case."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.forms.battery_rows import row_name
from clinic.models import AuditEvent
from rehab.models import Handout
from rehab.printing.gather_self_check import self_check
from tests.factories.cases import (
    create_case,
    create_clear_screening,
    create_patient,
    create_visit,
)
from tests.factories.clinic import create_front_desk
from tests.rehab.printing.sheets import sizes_of, text_of

POINTS = [f"point-{code}-{side}" for code in ("epicondyle", "below") for side in ("left", "right")]


@pytest.fixture
def case(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, record_number=217)
    return create_case(lead=physiotherapist, patient=patient)


def sheet(case) -> str:
    return reverse("rehab:self_check", args=[case.pk])


def test_the_sheet_is_printed_before_any_program_and_the_trail_has_it(signed_in, front_desk, case):
    answer = signed_in(front_desk).get(sheet(case))

    event = AuditEvent.objects.get(verb="printed")
    name = f"self-check-0217-{timezone.localdate():%Y-%m-%d}.pdf"
    assert answer["Content-Disposition"] == f'inline; filename="{name}"'
    assert (event.actor, event.object_id, event.detail) == (
        front_desk, case.pk, {"what": "self-check sheet", "sha": Handout.objects.get().mark},
    )  # fmt: skip
    assert text_of(answer.content).startswith(f"{case.patient} Right elbow · self-check at home")


@pytest.mark.parametrize(("size", "smallest"), [("normal", 12), ("large", 18)])
def test_it_is_printed_in_the_patients_size(signed_in, front_desk, case, size, smallest):
    case.patient.print_size = size
    case.patient.save()

    assert sorted(sizes_of(signed_in(front_desk).get(sheet(case)).content))[1] == smallest


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_of_the_clinic_may_print_it(request, signed_in, case, role):
    assert signed_in(request.getfixturevalue(role)).get(sheet(case)).status_code == 200


def test_typed_back_from_top_to_bottom_the_form_asks_in_the_order_of_the_sheet(
    signed_in, physiotherapist, case
):
    visit = create_visit(case=case)
    page = signed_in(physiotherapist).get(reverse("cases:battery", args=[visit.pk]))
    names = re.findall(r'name="battery-([^"]+)"', page.content.decode())
    at_home = [row_name(expected) for expected in self_check(case, now=timezone.now()).asked]
    on_paper = ["resting_pain", "performed_by", *at_home, *POINTS]

    assert [name for name in dict.fromkeys(names) if name in on_paper] == on_paper


def test_of_another_clinic_there_is_no_sheet(signed_in, front_desk, case):
    assert signed_in(create_front_desk()).get(sheet(case)).status_code == 404
    assert signed_in(front_desk).post(sheet(case)).status_code == 405


def test_a_closed_case_has_no_sheet_and_no_link_to_one(signed_in, physiotherapist, case):
    browser = signed_in(physiotherapist)
    page = reverse("rehab:case", args=[case.pk])
    linked = sheet(case) in browser.get(page).content.decode()
    case.close("discharged", on=timezone.localdate(), reason="recovered")

    assert linked
    assert sheet(case) not in browser.get(page).content.decode()
    assert browser.get(sheet(case)).status_code == 404


def test_a_name_that_can_not_be_printed_is_refused_in_words(signed_in, front_desk, case):
    case.patient.family_name = "王"
    case.patient.save()

    answer = signed_in(front_desk).get(sheet(case))

    assert answer.status_code == 422
    assert not AuditEvent.objects.filter(verb="printed").exists()


@pytest.mark.parametrize(
    ("answer", "reason"),
    [
        ({"hot_joint": "yes"}, "Emergency, same day: hot, red, swollen joint or fever."),
        ({"fracture": "yes"}, "Stop and refer: fracture or dislocation."),
        ({"tendon_tear": "unknown"}, "Not known: torn biceps or extensor tendon."),
    ],
)
def test_while_a_screening_answer_must_be_acted_on_no_test_goes_home(
    signed_in, physiotherapist, case, answer, reason
):
    screening = create_clear_screening(case=case, **answer)
    browser = signed_in(physiotherapist)
    refused = browser.get(sheet(case))
    linked = sheet(case) in browser.get(reverse("rehab:case", args=[case.pk])).content.decode()
    given = screening.answers.exclude(answer="no").get()
    given.act("Seen by the doctor.", by=physiotherapist, at=timezone.now())

    assert (refused.status_code, linked) == (409, False)
    assert reason in refused.content.decode()
    assert not Handout.objects.exists()
    assert AuditEvent.objects.get(verb="refused").detail == {"what": "self-check sheet"}
    assert browser.get(sheet(case)).status_code == 200


def test_the_front_desk_reads_that_the_sheet_waits_and_not_why(signed_in, front_desk, case):
    create_clear_screening(case=case, hot_joint="yes")
    page = signed_in(front_desk).get(sheet(case))

    words = page.content.decode()
    assert page.status_code == 409
    assert f"handed out yet: {case.lead} has to act first." in words
    assert [word for word in ("hot", "joint", "Emergency", "screening") if word in words] == []


def test_the_newest_screening_counts(signed_in, physiotherapist, case):
    create_clear_screening(case=case, hot_joint="yes")
    create_clear_screening(case=case)

    assert signed_in(physiotherapist).get(sheet(case)).status_code == 200
