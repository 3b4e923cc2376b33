"""What is proposed at a visit, and deciding about it."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from assessments.course import course_of
from cases.models import Intake, ScreeningAnswer
from clinic.models import AuditEvent
from rehab.clinical.progression import Decision as Verdict
from rehab.clinical.progression import LoadStep, Proposal, propose
from rehab.clinical.stages import Stage
from rehab.inputs import arm_today
from rehab.models import Decision, Program, StageCheck
from tests.factories.assessments import create_grip, create_pain, create_questionnaire
from tests.factories.cases import create_case, create_visit
from tests.factories.findings import create_battery, create_finding
from tests.factories.rehab import create_diary, create_issued
from tests.pages import DONE, TYPING, typed


@pytest.fixture
def intake(case):
    return Intake.objects.create(case=case, nights_woken=0, worst_pain=5)


@pytest.fixture
def url(visit, intake, diary):
    return reverse("rehab:decision", args=[visit.pk])


def arm(visit, program):
    return arm_today(visit, program, course_of(visit.case, visit=visit))


def decide(browser, url, **changes):
    page = browser.get(url)
    form = page.context["decision"].form
    return browser.post(url, {name: form[name].value() for name in form.fields} | changes)


def test_settled_sessions_with_repetitions_to_spare_propose_more_load(browser, url):
    proposal = browser.get(url).context["decision"].proposal

    assert (proposal.decision, proposal.load_step, proposal.next_load_kg) == ("stay", "add", 1.3)


def test_the_reasons_are_said_in_words(browser, url):
    said = " ".join(browser.get(url).content.decode().split())

    assert "Stay · stage 2, light isotonic · add load, 1.2 → 1.3 kg" in said
    assert "Settled on 2 sessions running; 17 repetitions in the last set" in said


def test_each_source_is_noted_once(browser, url):
    notes = browser.get(url).context["decision"].judged.notes

    sources = [(note.source, note.status, note.limits) for note in notes]
    assert len(sources) == len(set(sources))
    assert [note.mark for note in notes] == list("abcdefgh"[: len(notes)])


def test_accepting_drafts_the_next_version_with_the_proposed_load(browser, url, case):
    answer = decide(browser, url)

    draft = Program.objects.draft_of(case)
    assert answer.url == reverse("rehab:program", args=[case.pk])
    assert (draft.version, draft.stage, draft.load_kg) == (2, 2, 1.3)


def test_the_proposal_is_kept_as_it_stood(browser, url, visit, program):
    proposal = propose(arm(visit, program))

    decide(browser, url)

    assert Decision.objects.get().as_proposed() == proposal


def test_deciding_is_one_row_of_the_audit_trail(browser, url):
    decide(browser, url)

    event = AuditEvent.objects.get(verb="decided")
    assert event.detail == {"proposed": "stay", "made": "stay", "step": "add"}


def test_deciding_otherwise_needs_a_reason(browser, url):
    answer = decide(browser, url, made_step="keep", reason="  ")

    assert (answer.status_code, Decision.objects.count()) == (422, 0)
    assert answer.context["form"].errors == {"reason": ["Say why you decide otherwise."]}


def test_deciding_otherwise_keeps_proposal_and_reason(browser, url, visit):
    answer = decide(browser, url, made_step="keep", reason="Regatta this week.")

    made = Decision.objects.get()
    assert (made.proposed_step, made.made_step, made.reason) == (
        "add",
        "keep",
        "Regatta this week.",
    )
    assert answer.url == reverse("rehab:visit", args=[visit.pk])
    assert not Program.objects.drafts().exists()


def test_a_load_that_the_rules_did_not_work_out_stays_as_it_is(browser, url, case):
    decide(browser, url, made_step="reduce", reason="Sore from gardening.")

    assert Program.objects.draft_of(case).load_kg == 1.2


def test_a_load_step_decided_otherwise_is_asked_for_until_it_is_set(browser, url, case):
    pages = [reverse(f"rehab:{page}", args=[case.pk]) for page in ("program", "program_issue")]
    decide(browser, url, made_step="reduce", reason="Sore from gardening.")
    asked = [browser.get(page).content.decode() for page in pages]
    Program.objects.draft_of(case).set_main_load(1.1)
    taken = [browser.get(page).content.decode() for page in pages]

    assert all("decided to reduce the load" in page for page in asked)
    assert not any("decided to reduce the load" in page for page in taken)


@pytest.mark.parametrize(
    ("made", "stage", "policy", "card"),
    [
        ("move up", 3, "standard", "straight-arm-lift"),
        ("step back", 1, "strict", "wrist-hold"),
    ],
)
def test_another_stage_drafts_its_exercises(browser, url, case, made, stage, policy, card):
    decide(browser, url, made=made, made_step="keep", reason="Agreed with the patient.")

    draft = Program.objects.draft_of(case)
    assert (draft.stage, draft.policy, draft.main.card) == (stage, policy, card)


def test_high_irritability_keeps_the_pain_policy_strict(browser, url, case, visit):
    create_pain(visit=visit, worst_24h=8)

    decide(browser, url, made="move up", made_step="keep", reason="Agreed with the patient.")

    assert Program.objects.draft_of(case).policy == "strict"


def test_stopping_ends_the_program(browser, url, case):
    answer = decide(browser, url, made="stop and review", made_step="keep", reason="New swelling.")

    assert Program.objects.current_of(case) is None
    assert Program.objects.get().ended_at is not None
    assert answer.url == reverse("rehab:visit", args=[Decision.objects.get().visit_id])


def test_an_open_screening_answer_proposes_to_stop(browser, url):
    ScreeningAnswer.objects.filter(question="hot-joint").update(answer="yes")

    proposal = browser.get(url).context["decision"].proposal

    assert str(proposal.decision) == "stop and review"
    said = str(proposal.reasons[0])
    assert said.startswith("Screening: ")
    assert said.endswith("What was done about it is not written down.")


def test_a_visit_is_decided_once(browser, url, visit):
    form = {"made": "stay", "made_step": "add", "reason": ""}
    browser.post(url, form)

    answer = browser.post(url, form)

    assert answer.url == reverse("rehab:visit", args=[visit.pk])
    assert Decision.objects.count() == 1


def test_a_signed_visit_is_not_decided(browser, url, visit):
    visit.sign(by=visit.practitioner, at=timezone.now())

    browser.post(url, {"made": "stay", "made_step": "add", "reason": ""})

    assert Decision.objects.count() == 0


def test_a_reason_being_typed_outlives_the_new_proposal(browser, url):
    answer = browser.get(url, {"reason": "Regatta"}, **TYPING)

    assert answer.context["decision"].form["reason"].value() == "Regatta"
    assert answer.content.decode().strip().startswith('<section class="leaf" id="proposal"')


def test_a_program_issued_today_is_not_judged(browser, case, visit):
    create_issued(case=case, version=1)

    section = browser.get(reverse("rehab:decision", args=[visit.pk])).context["decision"]

    assert (section.proposal, section.form) == (None, None)


def test_a_first_day_is_judged_by_the_morning_rated_at_the_first_visit(case, program, today):
    first = create_visit(case=case, on=case.opened)
    create_pain(visit=first, next_morning=2)
    first.sign(by=first.practitioner, at=timezone.now())
    visit = create_visit(case=case, on=today)
    create_pain(visit=visit, next_morning=5)

    assert arm(visit, program).usual_morning_pain == 2


def test_what_is_measured_today_for_the_first_time_is_compared_with_nothing(visit, program, case):
    create_questionnaire(visit=visit)
    create_grip(visit=visit)

    today = arm(visit, program)

    assert (today.prtee_start, today.prtee_today) == (None, 49)
    assert (today.grip_start_n, round(today.grip_today_n)) == (None, 122)


def test_the_intakes_worst_pain_is_the_start_of_the_first_rating(visit, program, intake):
    create_pain(visit=visit, worst_24h=2)

    today = arm(visit, program)

    assert (today.worst_pain_start, today.worst_pain_today) == (5, 2)


@pytest.mark.parametrize(
    ("answer", "sore"), [("none", False), ("familiar", True), ("not done", None)]
)
def test_the_battery_says_whether_the_other_side_is_sore(visit, program, answer, sore):
    more = {"not done": {"why_not_done": "no time", "pain": None}, "none": {"pain": None}}
    battery = create_battery(visit=visit)
    create_finding(battery=battery, side="left", answer=answer, **more.get(answer, {}))

    assert arm(visit, program).other_side_sore is sore


def test_an_open_case_at_the_other_elbow_makes_it_no_yardstick(visit, program, case):
    create_case(lead=case.lead, patient=case.patient, side="left")

    assert arm(visit, program).other_side_sore is True


def test_the_stage_check_saves_itself_and_goes_before_the_battery(browser, visit, program):
    url = reverse("rehab:stage_check", args=[visit.pk])
    page = browser.get(url)

    answer = browser.post(
        url, typed(page, other_side_sore="True", test_lift_pain=2, job_is_light="on"), **TYPING
    )

    check = StageCheck.objects.get()
    assert (check.other_side_sore, check.test_lift_pain, check.own_goal_met) == (True, 2, None)
    assert answer.content.decode().strip().startswith('<div id="check-state">')
    assert arm(visit, program).other_side_sore is True


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"test_lift_pain": 11}, "Pain is a whole number from 0 to 10."),
        ({"test_lift_pain": "2.5"}, "Pain is a whole number from 0 to 10."),
        ({"return_steps_done": 22}, "The longest return plan has 21 steps."),
        ({"return_steps_done": -1}, "The longest return plan has 21 steps."),
    ],
)
def test_a_wrong_answer_of_the_stage_check_is_answered_at_its_field(
    browser, visit, program, changes, sentence
):
    url = reverse("rehab:stage_check", args=[visit.pk])
    page = browser.get(url)

    answer = browser.post(url, typed(page, changes) | DONE)

    assert answer.status_code == 422
    assert answer.context["form"].errors == {next(iter(changes)): [sentence]}


def test_a_light_job_stays_light_at_the_next_visit(case, today):
    earlier = create_visit(case=case, on=case.opened)
    StageCheck.objects.create(visit=earlier, job_is_light=True, test_lift_pain=4)
    earlier.sign(by=earlier.practitioner, at=timezone.now())

    check = StageCheck.at(create_visit(case=case, on=today))

    assert (check.pk, check.job_is_light, check.test_lift_pain) == (None, True, None)


VIEWS = ["rehab:decision", "rehab:stage_check"]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_who_treats_decides(request, signed_in, visit, program, view, who, status):
    browser = signed_in(request.getfixturevalue(who))

    assert browser.get(reverse(view, args=[visit.pk])).status_code == status


@pytest.mark.parametrize("view", VIEWS)
def test_a_decision_in_another_clinic_does_not_exist(browser, view):
    elsewhere = reverse(view, args=[create_visit().pk])

    assert (browser.get(elsewhere).status_code, browser.post(elsewhere).status_code) == (404, 404)


@pytest.mark.parametrize("view", VIEWS)
def test_a_decision_is_not_deleted(browser, visit, view):
    assert browser.delete(reverse(view, args=[visit.pk])).status_code == 405


def test_earlier_days_are_judged_against_the_days_before(browser, case, visit, program, intake):
    create_diary(program=program, days=2, next_morning_pain=1)
    create_diary(
        program=program,
        days=1,
        next_morning_pain=4,
        first=timezone.localdate(program.issued_at) + datetime.timedelta(days=2),
    )

    read = browser.get(reverse("rehab:visit", args=[visit.pk])).context["diary"].read

    assert [str(reading.state) for reading in read.values()] == [
        "unclassified",
        "settled",
        "too much",
    ]


@pytest.fixture
def stepped_back(case):
    """Stage 3 with 3 kg, issued on 2 March; stage 2 again since 9 March."""
    rows = ({"card": "straight-arm-lift", "sets": 3, "repetitions": 15, "load_kg": 3.0,
             "days_per_week": 3},)  # fmt: skip
    march = (datetime.datetime(2026, 3, day, 9, tzinfo=datetime.UTC) for day in (2, 9))
    create_issued(case=case, version=2, stage=3, rows=rows, at=next(march))
    return create_issued(case=case, version=3, stage=2, at=next(march))


def test_a_step_back_counts_its_days(stepped_back):
    assert stepped_back.days_back(on=datetime.date(2026, 3, 12)) == 3


def test_going_up_is_no_step_back(case):
    create_issued(case=case, version=2, stage=1)
    up = create_issued(case=case, version=3, stage=2)
    assert up.days_back(on=timezone.localdate()) is None


def test_a_stage_that_the_case_comes_back_to_begins_lighter_than_it_was_left(
    case, stepped_back, physiotherapist
):
    up = Proposal(decision=Verdict.MOVE_UP, load_step=LoadStep.KEEP, next_stage=Stage(3))
    Decision.make(
        create_visit(case=case), stepped_back, up, made="move up", made_step="keep", reason="",
        by=physiotherapist, at=timezone.now(),
    )  # fmt: skip
    assert Program.objects.draft_of(case).load_kg == 2.7
