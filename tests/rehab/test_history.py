"""The ladder of a case as one picture, and every decision with who and why."""

import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from assessments.course import course_of
from assessments.drawing.primitives import Role, Shape
from assessments.drawing.scale import PAGE, PHONE
from clinic.models import AuditEvent
from clinic.templatetags.clinic_tags import written
from rehab.clinical.ladder import Stage
from rehab.clinical.progression import Decision as Verdict
from rehab.clinical.progression import LoadStep, Proposal
from rehab.clinical.sessions import SessionState
from rehab.history import History
from rehab.ladder_drawing import DECIDED, MARKS, draw_ladder
from rehab.models import Decision
from tests.factories.cases import create_case, create_visit
from tests.factories.rehab import create_diary, create_issued

WEEK = datetime.timedelta(days=7)


@pytest.fixture
def climbed(case, physiotherapist):
    """Four weeks: stage 2 with 1.2 kg, then stage 3 with 2 kg; a week of each is written down."""
    now = timezone.now()
    first = create_issued(
        case=case, at=now - 4 * WEEK, version=1, stage_since=(now - 4 * WEEK).date()
    )
    create_diary(program=first, days=5)
    create_diary(program=first, days=1, first=(now - 3 * WEEK).date(), worst_pain=7)
    create_diary(program=first, days=1, first=(now - 2.5 * WEEK).date(), next_morning_pain=2)
    decide(case, first, days_ago=14, made="move up", by=physiotherapist, reason="")
    rows = [
        {
            "card": "straight-arm-lift",
            "sets": 3,
            "repetitions": 15,
            "load_kg": 2,
            "days_per_week": 3,
        }
    ]
    second = create_issued(case=case, at=now - 2 * WEEK, version=2, stage=3, rows=rows)
    create_diary(program=second, days=2, worst_pain=None)
    decide(case, second, days_ago=1, made="stay", by=physiotherapist, reason="Regatta this week.")
    return case


def decide(case, program, *, days_ago: int, made: str, by, reason: str) -> Decision:
    proposal = Proposal(
        decision=Verdict.MOVE_UP, load_step=LoadStep.KEEP, next_stage=Stage(program.stage + 1)
    )
    visit = create_visit(case=case, on=timezone.localdate() - datetime.timedelta(days=days_ago))
    decision = Decision.objects.create(
        visit=visit,
        program=program,
        proposed=str(proposal.decision),
        proposed_step=str(proposal.load_step),
        made=made,
        made_step="keep",
        reason=reason,
        proposal=proposal.as_json(),
        decided_by=by,
        decided_at=timezone.now(),
    )
    visit.sign(by=by, at=timezone.now())
    return decision


def page(case) -> str:
    return reverse("rehab:history", args=[case.pk])


def history(case) -> History:
    return History.of_case(case, course_of(case))


def marks(drawing, role) -> list:
    return [item.shape for item in drawing.of(role)]


def test_every_state_has_a_shape_of_its_own_and_every_decision_too():
    assert set(MARKS) == set(SessionState)
    assert set(DECIDED) == set(Decision.Choice)
    assert [len({shape for shape, _role in MARKS.values()}), len(set(DECIDED.values()))] == [4, 4]


def test_each_session_is_a_mark_by_its_state(climbed):
    drawing = draw_ladder(history(climbed))

    assert history(climbed).tally == [
        (SessionState.SETTLED, 4),
        (SessionState.WATCH, 1),
        (SessionState.TOO_MUCH, 1),
        (SessionState.UNCLASSIFIED, 3),
    ]
    assert marks(drawing, Role.SETTLED) == [Shape.DOT] * 4
    assert marks(drawing, Role.WATCH) == [Shape.HALF]
    assert marks(drawing, Role.TOO_MUCH) == [Shape.SQUARE]
    assert marks(drawing, Role.UNCLASSIFIED) == [Shape.RING] * 3


def test_stages_and_loads_are_steps_and_decisions_point_the_way(climbed):
    drawing = draw_ladder(history(climbed))
    stages, loads = drawing.of(Role.SERIES)

    assert [len(stages.points), len(loads.points)] == [4, 4]
    assert stages.points[1][1] > stages.points[2][1]
    assert stages.points[1][0] == stages.points[2][0]
    assert marks(drawing, Role.MARK) == [Shape.UP, Shape.DIAMOND]
    words = [text.words for text in drawing.texts]
    assert [
        word for word in ("light isotonic", "slow resistance", "1.2", "2") if word not in words
    ] == []


@pytest.mark.parametrize("frame", [PAGE, PHONE])
def test_nothing_is_drawn_outside_of_the_sheet_and_no_word_over_another(climbed, frame):
    drawing = draw_ladder(history(climbed), frame)
    boxes = [text.box for text in drawing.texts]

    ends = [(box.left >= -0.1, box.right <= drawing.width + 0.1) for box in boxes]
    meeting = [a for n, a in enumerate(boxes) for b in boxes[n + 1 :] if a.meets(b)]
    assert (set(ends), meeting) == ({(True, True)}, [])


def test_a_break_between_two_programs_is_a_gap_in_the_line(case):
    now = timezone.now()
    create_issued(case=case, at=now - 4 * WEEK, version=1).end(at=now - 3 * WEEK)
    create_issued(case=case, at=now - WEEK, version=2)

    stages, again, *loads = draw_ladder(history(case)).of(Role.SERIES)

    assert stages.points[-1][0] < again.points[0][0]
    assert len(loads) == 2


def test_a_ladder_of_holds_has_no_part_for_loads(case):
    held = {"card": "fist-hold", "sets": 5, "hold_s": 30, "days_per_week": 7}
    create_issued(case=case, version=1, stage=1, rows=[held])

    drawing = draw_ladder(history(case))

    names = [text.words for text in drawing.texts if text.role is Role.NAME]
    assert names == ["Stage", "Decisions", "Sessions"]


def test_the_picture_is_said_in_words(climbed):
    told, now = history(climbed).description, timezone.localdate()

    assert told == (
        f"Stage 2, light isotonic, from {written(now - 4 * WEEK)}. "
        f"Stage 3, slow resistance, from {written(now - 2 * WEEK)}. "
        f"Load of the main exercise: 1.2 kg ({written(now - 4 * WEEK)}), 2 kg ({written(now - 2 * WEEK)}). "
        "Sessions: 4 settled, 1 watch, 1 too much, 3 unclassified. "
        f"{written(now - 2 * WEEK)}: move up, keep the load. "
        f"{written(now - datetime.timedelta(days=1))}: stay, keep the load."
    )


def test_the_page_lists_who_decided_what_and_why(browser, climbed, physiotherapist):
    text = re.sub(r"<[^>]+>", " ", browser.get(page(climbed)).content.decode())
    words = " ".join(text.split())

    assert (
        f"stay , keep the load {physiotherapist} Regatta this week. Proposed was: move up, keep the load."
        in words
    )
    assert "Stage 3, slow resistance" in words


def test_the_same_is_there_as_tables(browser, climbed):
    answer = browser.get(page(climbed))

    rows = [
        (issue.program.version, issue.load_kg) for issue in answer.context["history"].newest_issues
    ]
    counted = [sum(week.counts) for week in answer.context["history"].weeks]
    assert (rows, sum(counted)) == ([(2, 2.0), (1, 1.2)], 9)
    assert 'accesskey="v"' in answer.content.decode()


def test_opening_it_is_one_row_of_the_trail(browser, climbed, physiotherapist):
    browser.get(page(climbed))

    event = AuditEvent.objects.get(verb="opened")
    assert (event.actor, event.object_id, event.page) == (
        physiotherapist, climbed.pk, "rehab:history",
    )  # fmt: skip


def test_a_case_without_a_program_says_so(browser, case):
    answer = browser.get(page(case)).content.decode()

    assert "No program has been issued in this case yet." in answer
    assert '<svg class="plot' not in answer


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 200)]
)
def test_who_may_see_the_ladder(request, signed_in, climbed, who, status):
    assert signed_in(request.getfixturevalue(who)).get(page(climbed)).status_code == status


def test_a_ladder_of_another_clinic_does_not_exist_and_none_is_posted(browser, climbed):
    assert browser.get(page(create_case())).status_code == 404
    assert browser.post(page(climbed)).status_code == 405


@pytest.mark.parametrize("rows", [1, 3])
def test_the_ladder_costs_the_same_however_long_it_is(
    browser, case, physiotherapist, rows, django_assert_num_queries
):
    for number in range(rows):
        at = timezone.now() - datetime.timedelta(days=14 - number)
        program = create_issued(case=case, at=at, version=number + 1)
        create_diary(program=program, days=1)
        decide(case, program, days_ago=10 - number, made="move up", by=physiotherapist, reason="")

    with django_assert_num_queries(10):
        browser.get(page(case))
