"""Printing the record of one visit."""

import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from assessments.clinical.force import Unit
from assessments.clinical.pain import Context
from assessments.clinical.protocol import PAIN_FREE_STRAIGHT, Squeeze, Struck
from assessments.course import course_of
from assessments.models import GripTest
from cases.models import Addendum
from clinic.models import AuditEvent
from rehab.clinical.progression import propose
from rehab.inputs import Records, arm_today
from rehab.models import Decision, Handout, Program
from rehab.printing.gather_visit import visit_record
from rehab.printing.visit_facts import Added, FindingRow, MeasureRow, ProgramFacts, Written
from rehab.printing.visit_record import visit_record_pdf
from tests.factories.assessments import create_grip, create_pain, create_questionnaire
from tests.factories.cases import create_case, create_patient, create_signed_visit, create_visit
from tests.factories.clinic import create_physiotherapist
from tests.factories.findings import create_battery, create_finding
from tests.rehab.printing.sheets import text_of


def address(visit) -> str:
    return reverse("rehab:visit_record", args=[visit.pk])


def seen_once(case, *, on, pain: int):
    """A signed visit with pain, grip, questionnaire and one finding."""
    visit = create_visit(case=case, on=on)
    examine(visit, pain=pain)
    visit.sign(by=visit.practitioner, at=timezone.now())
    return visit


def examine(visit, *, pain: int) -> None:
    create_pain(visit=visit, **{Context.ON_GRIPPING.value: pain})
    create_grip(visit=visit)
    create_questionnaire(visit=visit)
    create_finding(battery=create_battery(visit=visit), pain=pain, strength="weak")


@pytest.fixture
def first(case):
    return seen_once(case, on=case.opened, pain=6)


@pytest.fixture
def decided(case, first, program, diary, visit):
    """Today's draft visit, examined, with the decision to do otherwise than proposed."""
    examine(visit, pain=3)
    arm = arm_today(visit, program, course_of(case, visit=visit), records=Records(case))
    Decision.make(
        visit, program, propose(arm), made="stop and review", made_step="keep",
        reason="Off to sea.", by=case.lead, at=timezone.now(),
    )  # fmt: skip
    return visit


@pytest.fixture
def signed(decided):
    decided.minutes, decided.plan = 40, "Rest & wait."
    decided.save()
    decided.sign(by=decided.practitioner, at=timezone.now())
    Addendum.objects.create(
        visit=decided, text="X-ray came in.", reason="Late.", written_by=decided.practitioner
    )
    return decided


def test_the_record_holds_what_was_written_and_added(signed):
    sheet = visit_record(signed, now=timezone.now())
    added = signed.addenda.get()

    assert sheet.notes == (Written(label="Plan", text="Rest & wait."),)
    assert (sheet.minutes, sheet.seen_by) == (40, str(signed.practitioner))
    assert sheet.addenda == (
        Added(text="X-ray came in.", reason="Late.", by=str(added.written_by), at=added.written_at),
    )
    assert (sheet.signature.name, sheet.signature.registration) == (
        signed.signed_name,
        signed.signed_registration,
    )


def test_the_record_holds_the_findings_and_how_they_changed(signed):
    battery = visit_record(signed, now=timezone.now()).battery

    assert battery.findings == (
        FindingRow(
            test="Resisted wrist extension", side="right", answer="familiar pain", pain="3",
            remark="strength: weak",
        ),
    )  # fmt: skip
    against = [said for said in battery.reading if str(said.title).startswith("Against the round")]
    assert [str(words) for said in against for words in said.sentences] == [
        "Still hurting, but less: 1, by 3 points."
    ]


@pytest.mark.parametrize(
    ("by", "sentences"),
    [
        ("clinician", []),
        ("partner", ["Done with a partner, without a clinician."]),
        ("self", ["Done by the patient alone, without a clinician."]),
    ],
)
def test_a_round_without_a_clinician_says_so_on_paper(visit, by, sentences):
    create_finding(battery=create_battery(visit=visit, performed_by=by))

    printed = text_of(visit_record_pdf(visit_record(visit, now=timezone.now())))

    assert re.findall(r"Done (?:by|with) [^.]*\.", printed) == sentences


def test_the_record_holds_the_measures_with_error_and_source(signed, case):
    facts = visit_record(signed, now=timezone.now()).measures
    first = f"6\n{timezone.localdate() - datetime.timedelta(days=14):%-d %b %Y}"

    assert facts.rows[0] == MeasureRow(
        name="Pain on gripping", mark="a", start="6", last=first, here="3",
        change="−3, beyond error (1.4)",
    )  # fmt: skip
    assert facts.footnotes[0].source.endswith("10.1080/09593985.2025.2450090")


def test_the_record_holds_the_decision_with_criteria_as_they_stood(signed):
    facts = visit_record(signed, now=timezone.now()).decision
    stored = signed.decision.as_proposed()

    assert (facts.made, facts.reason) == ("stop and review, keep the load", "Off to sea.")
    assert facts.proposed.startswith(signed.decision.get_proposed_display())
    rows = [row.words for group in facts.criteria for row in group.rows]
    assert sorted(map(str, rows)) == sorted(str(row.words) for row in stored.criteria)
    marks = {row.mark for group in facts.criteria for row in group.rows}
    assert marks == {note.mark for note in facts.footnotes}


def test_a_program_that_was_stopped_at_the_visit_is_named_with_its_end(signed, program, today):
    issued = timezone.localdate(program.issued_at)

    assert visit_record(signed, now=timezone.now()).program == ProgramFacts(
        version=1, stage=2, stage_name=program.rung.label, issued_on=issued, ended_on=today
    )


def test_the_program_in_force_is_that_of_the_day_of_the_visit(case, program, today):
    before = create_visit(case=case, on=today - datetime.timedelta(days=20))
    Program.objects.current_of(case).end(at=timezone.now())

    assert visit_record(before, now=timezone.now()).program is None
    before.on = today - datetime.timedelta(days=1)
    assert visit_record(before, now=timezone.now()).program.ended_on is None


def test_only_a_screening_up_to_the_day_of_the_visit_is_read(decided, case):
    create_finding(battery=decided.battery, test="finger-extension", finger=3, pain=2)

    def readings_after(days: int):
        screening = case.screenings.create(
            on=decided.on + datetime.timedelta(days=days), asked_by=case.lead, clinic=case.clinic
        )
        screening.answers.create(question="finger-drop", answer="yes", clinic=case.clinic)
        return visit_record(decided, now=decided.saved_at).battery.reading

    before = visit_record(decided, now=decided.saved_at).battery.reading

    assert readings_after(days=1) == before
    assert readings_after(days=0) != before


def test_the_record_opens_under_a_name_without_the_patients(browser, physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, record_number=217)
    visit = create_signed_visit(case=create_case(lead=physiotherapist, patient=patient))

    response = browser.get(address(visit))

    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == 'inline; filename="visit-0217-2026-03-02.pdf"'
    assert response["Cache-Control"] == "no-store"


def test_a_draft_is_printed_as_a_draft(browser, decided):
    text = text_of(browser.get(address(decided)).content)

    assert "This is a draft; nobody has signed it." in text
    assert text.count("Draft, not signed") >= 2


def test_each_print_is_one_row_of_the_audit_trail(browser, physiotherapist, signed):
    browser.get(address(signed))

    events = AuditEvent.objects.filter(verb="printed").values_list(
        "actor", "object_type", "object_id", "detail"
    )
    detail = {"what": "visit record", "sha": Handout.objects.get().mark}
    assert list(events) == [(physiotherapist.pk, "visit", signed.pk, detail)]


@pytest.mark.parametrize(
    ("role", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_who_may_read_clinical_records_prints_them(request, signed_in, visit, role, status):
    assert signed_in(request.getfixturevalue(role)).get(address(visit)).status_code == status


def test_a_visit_of_another_clinic_does_not_exist(signed_in, visit):
    assert signed_in(create_physiotherapist()).get(address(visit)).status_code == 404
    assert not AuditEvent.objects.filter(verb="printed").exists()


def test_printing_is_only_reading(browser, visit):
    assert browser.post(address(visit)).status_code == 405


def test_nobody_prints_without_signing_in(client, visit):
    assert client.get(address(visit)).url.startswith(reverse("clinic:sign_in"))


def test_a_text_that_can_not_be_printed_is_refused_in_words(browser, visit):
    visit.plan = "王"
    visit.save()

    response = browser.get(address(visit))

    assert response.status_code == 422
    assert "“王” can&#x27;t be printed" in response.content.decode()
    assert not AuditEvent.objects.filter(verb="printed").exists()


def test_the_page_of_a_signed_visit_leads_to_its_record(browser, signed):
    page = browser.get(reverse("rehab:visit", args=[signed.pk])).content.decode()

    assert f'href="{address(signed)}"' in page
    assert "Print the record" in page


@pytest.mark.parametrize("earlier", [1, 3])
def test_the_record_costs_the_same_however_many_visits_and_addenda(
    browser, case, physiotherapist, django_assert_num_queries, earlier
):
    for number in range(earlier):
        seen_once(case, on=case.opened + datetime.timedelta(days=number), pain=5)
    visit = seen_once(case, on=timezone.localdate(), pain=3)
    for _number in range(earlier):
        Addendum.objects.create(
            visit=visit, text="More.", reason="Late.", written_by=physiotherapist
        )

    # Five of them keep the sheet as it was handed out.
    with django_assert_num_queries(23):
        browser.get(address(visit))


def test_a_struck_trial_is_printed_struck_with_its_reason(case):
    visit = create_visit(case=case)
    trials = {
        1: Squeeze(force_n=118),
        2: Squeeze(force_n=203, struck=Struck.TOO_FAST),
        3: Squeeze(force_n=122),
    }
    key = (PAIN_FREE_STRAIGHT, case.affected)
    GripTest.objects.write(visit, unit=Unit.N, trials={key: trials})

    record = visit_record(visit, now=timezone.now())

    assert [row.trials for row in record.measures.trials] == [
        (("118", ""), ("203", "squeezed too fast"), ("122", ""))
    ]
    printed = " ".join(text_of(visit_record_pdf(record)).split())
    assert (
        "Pain-free, elbow straight · Right, affected: "
        "118 · 203 (struck out: squeezed too fast) · 122"
    ) in printed


@pytest.mark.parametrize("page", ["rehab:visit", "rehab:sign"])
def test_the_notes_of_a_page_are_one_run_of_letters(browser, decided, page):
    if page == "rehab:visit":
        decided.sign(by=decided.practitioner, at=timezone.now())
    shown = browser.get(reverse(page, args=[decided.pk])).content.decode()
    notes = re.findall(r'id="([a-z-]+)">\s*<p><strong><span class="ref">(\w)</span>', shown)
    run = "abcdefghijklmnopqrstuvwxyz"[: len(notes)]

    assert {note.rsplit("-", 1)[0] for note, _mark in notes} == {"course-note", "threshold"}
    assert "".join(mark for _note, mark in notes) == run
    assert set(re.findall(r'class="ref" href="#([a-z-]+)"', shown)) == {note for note, _ in notes}
