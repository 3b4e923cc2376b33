"""A follow-up visit without touching the mouse, and how many key strokes it takes beside what is typed."""

import datetime

import pytest
from django.utils import timezone

from assessments.models import QuestionnaireResponse
from cases.models import Intake, Visit
from rehab.models import Decision, DiaryDay, Program
from tests.browser.keyboard import Keyboard
from tests.factories.cases import create_case, create_clear_screening, create_visit
from tests.factories.rehab import create_diary, create_issued

pytestmark = pytest.mark.django_db(transaction=True)

MOST_STROKES = 110
WEEK = 7


@pytest.fixture
def case(physiotherapist):
    """Two weeks of a program of stage 2; of the second week the diary is not typed yet."""
    began = timezone.now() - datetime.timedelta(days=2 * WEEK)
    case = create_case(lead=physiotherapist, opened=began.date())
    Intake.objects.create(case=case, nights_woken=0, rest_pain=1, worst_pain=3)
    create_clear_screening(case=case)
    first = create_visit(case=case, on=began.date())
    QuestionnaireResponse.objects.create(visit=first, instrument="prtee", items=[4] * 15)
    first.sign(by=physiotherapist, at=began)
    create_diary(program=create_issued(case=case, at=began, version=1), days=WEEK)
    return case


def type_the_diary(keys: Keyboard) -> None:
    """One key fills in a day as prescribed, the pain is typed; one day was done in part, two went further."""
    keys.access("d")
    for day in range(WEEK):
        keys.press("a")
        if day == 3:
            correct(keys, back=3, figure="2")
        if day > 4:
            correct(keys, back=2, figure="17")
        for figure in ("2", "1", "0"):
            keys.page.keyboard.type(figure)
            keys.press("Enter")
        keys.press("Enter")
    keys.page.locator("#diary-saved", has_text="Saved").wait_for()


def correct(keys: Keyboard, *, back: int, figure: str) -> None:
    keys.press("ArrowLeft", back)
    keys.page.keyboard.type(figure)
    keys.press("ArrowRight", back)


def measure(keys: Keyboard) -> None:
    keys.access("m")
    for context, pain in (("at_rest", 0), ("worst_24h", 2), ("on_gripping", 2)):
        keys.rate(f"measures-pain_{context}", pain)
    keys.access("t")
    for side, kg in (("left", ("30", "31", "30.5")), ("right", ("22", "22.5", "22.2"))):
        for number in (1, 2, 3):
            keys.type(f"measures-pain_free_{side}_{number}", kg[number - 1])
    for number in range(1, 16):
        keys.type(f"measures-item_{number}", "1")
    keys.page.locator("#measures-saved", has_text="Saved").wait_for()


def decide(keys: Keyboard) -> None:
    keys.page.locator("#gist", has_text="add load").wait_for()
    keys.command("e", to="/program/")


def prescribe(keys: Keyboard) -> None:
    keys.command("s", to="/issue/")
    keys.command("s", to=r"/cases/\d+/")
    with keys.page.context.expect_event("response", lambda r: "home-program.pdf" in r.url) as paper:
        keys.access("p")
    assert paper.value.headers["content-type"] == "application/pdf"


def in_order(keys: Keyboard, day: datetime.date) -> str:
    """The date as this browser's picker takes it: month first or day first, as the system has it."""
    blank = keys.page.context.new_page()
    blank.set_content("<input type=date autofocus>")
    blank.locator("input").focus()
    blank.keyboard.type("01022026")
    day_first = blank.locator("input").input_value() == "2026-02-01"
    blank.close()
    return f"{day:%d%m%Y}" if day_first else f"{day:%m%d%Y}"


def write_and_sign(keys: Keyboard) -> None:
    due = in_order(keys, timezone.localdate() + datetime.timedelta(days=14))
    keys.page.bring_to_front()
    keys.command("s", to=r"/visits/\d+/")
    keys.access("w")
    keys.type("notes-subjective", "Planed boards for an hour.")
    keys.type("notes-due_on", due)
    keys.command("s", to="/sign/")
    keys.command("s", to=r"/cases/\d+/")


def test_a_follow_up_visit_by_keyboard_alone(person, physiotherapist, case):
    someone = person(physiotherapist)
    keys = Keyboard(someone)
    someone.open(f"/cases/{case.pk}/")
    keys.command("s", to=r"/visits/\d+/")

    for part in (type_the_diary, measure, decide, prescribe, write_and_sign):
        part(keys)
        keys.note(part.__name__)

    visit = Visit.objects.of(case.clinic).latest("on")
    assert (visit.signed_name, visit.due_on) == (
        str(physiotherapist),
        timezone.localdate() + datetime.timedelta(days=14),
    )
    days = DiaryDay.objects.of_case(case)[WEEK : 2 * WEEK]
    assert [(day.sets_done, day.last_set_repetitions) for day in days] == (
        [(3, 15)] * 3 + [(2, 15), (3, 15)] + [(3, 17)] * 2
    )
    assert [(day.worst_pain, day.next_morning_pain, day.night_wakings) for day in days] == (
        [(2, 1, 0)] * WEEK
    )
    assert Decision.objects.at(visit).is_as_proposed
    assert Program.objects.current_of(case).version == 2
    assert someone.complaints == []
    assert keys.strokes <= MOST_STROKES, keys.tally
