import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.clinical.screening import (
    BY_CODE,
    QUESTIONS,
    STOPPING,
    Answer,
    GivenAnswer,
    deferred,
    may_issue,
    must_wait,
    open_items,
    unanswered,
    unsettled,
)
from cases.clinical.screening_questions import Action

CODES = [question.code for question in QUESTIONS]
STOPS = [question.code for question in QUESTIONS if question.action in STOPPING]
GOES_ON = [question.code for question in QUESTIONS if question.action not in STOPPING]

subsets = st.lists(st.sampled_from(CODES), unique=True)


def form(*, without=(), **changes):
    """Every question answered no, but for `without` and for answers by code."""
    answers = {code.replace("_", "-"): answer for code, answer in changes.items()}
    return tuple(
        answers.get(code) or GivenAnswer(code=code, answer=Answer.NO)
        for code in CODES
        if code not in without
    )


def yes(code, action_taken=""):
    return GivenAnswer(code=code, answer=Answer.YES, action_taken=action_taken)


def unknown(code, action_taken=""):
    return GivenAnswer(code=code, answer=Answer.UNKNOWN, action_taken=action_taken)


def one(answer):
    return (*form(without=[answer.code]), answer)


def test_each_code_is_used_once_and_fits_an_address():
    assert len(BY_CODE) == len(QUESTIONS)
    assert [code for code in CODES if not code.replace("-", "").isalnum() or len(code) > 40] == []


def test_every_condition_of_the_form_has_its_action():
    assert {question.code: question.action for question in QUESTIONS} == {
        "hot-joint": Action.EMERGENCY,
        "septic-bursitis": Action.EMERGENCY,
        "fracture": Action.REFER,
        "heart-or-chest": Action.EMERGENCY,
        "neck-nerve-root": Action.REFER,
        "spinal-cord": Action.REFER,
        "nerve-deficit": Action.REFER,
        "finger-drop": Action.REFER,
        "radial-tunnel": Action.CAUTION,
        "instability": Action.REFER,
        "locking": Action.REFER,
        "snapping": Action.CAUTION,
        "tendon-tear": Action.REFER,
        "inflammatory": Action.REFER,
        "cancer": Action.REFER,
        "regional-pain": Action.REFER,
        "fluoroquinolone-now": Action.REFER,
        "fluoroquinolone-recent": Action.CAUTION,
        "steroid-injection": Action.CAUTION,
        "recent-surgery": Action.REFER,
        "long-holds": Action.DEFER,
    }


@pytest.mark.parametrize("question", QUESTIONS, ids=CODES)
def test_every_question_says_what_to_ask_test_and_do_and_where_it_is_from(question):
    words = (question.question, question.finding, question.advice, question.source)

    assert [word for word in words if not word.strip()] == []


@pytest.mark.parametrize("code", [q.code for q in QUESTIONS if q.action is Action.EMERGENCY])
def test_an_emergency_puts_everything_off(code):
    assert BY_CODE[code].defers == "everything"


def test_a_form_of_no_lets_the_program_go():
    assert may_issue(form()) == (True, ())


@pytest.mark.parametrize("code", STOPS)
def test_one_yes_that_belongs_elsewhere_stops_until_the_action_is_written_down(code):
    assert open_items(one(yes(code))) == (BY_CODE[code],)
    assert may_issue(one(yes(code)))[0] is False
    assert may_issue(one(yes(code, "Sent to the fracture clinic"))) == (True, ())


def test_blanks_are_not_an_action():
    assert may_issue(one(yes("fracture", "   ")))[0] is False


@pytest.mark.parametrize("code", STOPS)
def test_what_stops_a_program_stops_a_test_at_home_too(code):
    for answer in (yes(code), unknown(code)):
        assert must_wait(one(answer)) == may_issue(one(answer))[1] != ()
    assert must_wait(one(yes(code, "Sent to the fracture clinic"))) == ()


@given(subsets)
def test_questions_not_asked_stop_no_test_at_home(left_out):
    assert must_wait(form(without=left_out)) == ()


@pytest.mark.parametrize("code", GOES_ON)
def test_a_caution_does_not_stop_a_program(code):
    assert may_issue(one(yes(code))) == (True, ())


@pytest.mark.parametrize("code", STOPS)
def test_not_known_stops_like_yes_until_something_is_written_down(code):
    assert unsettled(one(unknown(code))) == (BY_CODE[code],)
    assert may_issue(one(unknown(code)))[0] is False
    assert may_issue(one(unknown(code, "X-ray booked"))) == (True, ())


@given(subsets)
def test_questions_not_asked_stop_a_program_whatever_they_are(left_out):
    may, reasons = may_issue(form(without=left_out))

    assert may is (not left_out)
    assert len(reasons) == len(left_out)


def test_no_answers_at_all_leave_every_question():
    assert unanswered(()) == QUESTIONS


def test_reasons_are_sentences_with_the_most_urgent_first():
    answers = form(
        without=["cancer"],
        fracture=yes("fracture"),
        heart_or_chest=yes("heart-or-chest"),
        locking=unknown("locking"),
    )

    assert [str(reason) for reason in may_issue(answers)[1]] == [
        "Emergency, same day: pain from the heart or chest. "
        "Write down what was done before going on.",
        "Stop and refer: fracture or dislocation. Write down what was done before going on.",
        "Not known: joint surface, loose body or arthritis at the radial head. "
        "Write down how it will be found out.",
        "Not asked yet: malignancy.",
    ]


@pytest.mark.parametrize("answer", [yes("finger-drop", "referred"), unknown("finger-drop")])
def test_what_is_put_off_stays_put_off_when_the_action_is_written(answer):
    assert [question.defers for question in deferred(one(answer))] == ["resisted finger extension"]


def test_nothing_is_put_off_by_no():
    assert deferred(form()) == ()


def test_an_answer_needs_a_question():
    with pytest.raises(ValueError, match="no screening question 'gout'"):
        yes("gout")


@pytest.mark.parametrize("ask", [open_items, unsettled, deferred, may_issue])
def test_a_question_has_one_answer(ask):
    with pytest.raises(ValueError, match="two answers"):
        ask((*form(), yes("fracture")))
