"""What the intake asks about place, load and joints, and what does not fit together."""

import pytest
from django.urls import reverse

from cases.models import Injection, Intake
from tests.factories.cases import create_clear_screening
from tests.pages import DONE, TYPING, typed


def address(case):
    return reverse("cases:intake", args=[case.pk])


def write(browser, case, **changes):
    return browser.post(address(case), typed(browser.get(address(case)), **changes) | DONE)


def asked_again(browser, case) -> list[str]:
    return [str(question) for question in browser.get(address(case)).context["intake"].asked_again]


ANSWERS = {
    "found_at": ("below", "below"),
    "spreads_to": (["forearm", "wrist"], ["forearm", "wrist"]),
    "weak_grip": ("true", True),
    "night_pain": ("false", False),
    "stiff_minutes": ("0", 0),
    "racket_sport": ("true", True),
    "racket_years": ("12", 12),
    "racket_hours": ("6,5", 6.5),
    "racket_hours_before": ("4", 4),
    "backhand": ("two", "two"),
    "grip_size": ("L3", "L3"),
    "string_tension": ("52", 52),
    "string_tension_unit": ("lbf", "lbf"),
    "racket_change": ("New strings.", "New strings."),
    "work_force": ("true", True),
    "work_bent_hours": ("2.5", 2.5),
    "screen_hours": ("10", 10),
    "music": ("fiddle", "fiddle"),
    "music_hours": ("3", 3),
    "gardening_hours": ("1", 1),
    "earlier_episodes": ("2", 2),
    "neck_pain": ("false", False),
    "other_joints": ("Left thumb.", "Left thumb."),
}


def test_place_load_and_joints_are_kept(browser, case):
    write(browser, case, **{name: sent for name, (sent, _kept) in ANSWERS.items()})

    kept = {name: getattr(case.intake, name) for name in ANSWERS}
    assert kept == {name: kept for name, (_sent, kept) in ANSWERS.items()}


def test_what_was_kept_is_shown_again_and_saves_unchanged(browser, case):
    sent = {name: sent for name, (sent, _kept) in ANSWERS.items()} | {"racket_hours": "6.5"}
    write(browser, case, **sent)

    form = browser.get(address(case)).context["form"]
    again = write(browser, case)

    assert {name: form[name].value() for name in ANSWERS} == sent | {
        "stiff_minutes": 0,
        "racket_years": 12,
        "earlier_episodes": 2,
    }
    assert (again.status_code, form.conflicts) == (302, [])


@pytest.mark.parametrize(("chosen", "kept"), [("true", True), ("false", False), ("", None)])
def test_not_asked_is_neither_yes_nor_no(browser, case, chosen, kept):
    write(browser, case, work_tools=chosen)

    assert case.intake.work_tools is kept


NUMBER = "Type a number such as 2.5, or leave it empty."
WHOLE = "Type a whole number, or leave it empty."


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"racket_hours": "168.5"}, "racket_hours", "A week has 168 hours."),
        ({"racket_hours": "-1"}, "racket_hours", NUMBER),
        ({"music_hours": "some"}, "music_hours", NUMBER),
        ({"screen_hours": "nan"}, "screen_hours", NUMBER),
        ({"work_bent_hours": "25"}, "work_bent_hours", "A day has 24 hours."),
        ({"racket_years": "91"}, "racket_years", "Years from 0 to 90."),
        ({"racket_years": "2.5"}, "racket_years", WHOLE),
        ({"stiff_minutes": "-5"}, "stiff_minutes", WHOLE),
        ({"stiff_minutes": "1441"}, "stiff_minutes", "A day has 1440 minutes."),
        ({"earlier_episodes": "51"}, "earlier_episodes", "Episodes from 0 to 50."),
        (
            {"string_tension": "52"},
            "string_tension_unit",
            "Choose the unit of the string tension.",
        ),
        (
            {"string_tension": "25", "string_tension_unit": "N"},
            "string_tension_unit",
            "Check the number and its unit.",
        ),
        (
            {"string_tension": "0", "string_tension_unit": "kgf"},
            "string_tension",
            "Check the number and its unit.",
        ),
    ],
)
def test_wrong_input_is_answered_at_its_field(browser, case, changes, field, sentence):
    answer = write(browser, case, **changes)

    assert answer.status_code == 422
    assert answer.context["form"].errors == {field: [sentence]}
    assert {name: answer.context["form"][name].value() for name in changes} == changes


@pytest.mark.parametrize(
    ("screened", "changes", "question"),
    [
        (
            {},
            {"night_pain": "false", "nights_woken": "4"},
            "No pain at night, but woken on 4 nights a week: what wakes the patient?",
        ),
        (
            {},
            {"rest_pain": "5", "worst_pain": "2"},
            "The worst pain in 24 h (2) is below the pain at rest (5): which is right?",
        ),
        (
            {},
            {"racket_sport": "false", "racket_hours": "3"},
            "No racket sport, but answers about it are written down: do they belong here?",
        ),
        (
            {"fluoroquinolone_now": "yes"},
            {"fluoroquinolone": "no"},
            "Fluoroquinolone: the intake says no, the screening says it is taken now. "
            "Ask to see the medicines.",
        ),
        (
            {},
            {"fluoroquinolone": "now"},
            "Fluoroquinolone: the intake says it is taken now, the screening says no. "
            "Ask to see the medicines.",
        ),
        (
            {},
            {"stiff_minutes": "31"},
            "Stiff for 31 minutes in the morning, but the screening says no to over 30 minutes.",
        ),
    ],
)
def test_a_contradiction_is_saved_and_asked_about(browser, case, screened, changes, question):
    create_clear_screening(case=case, **screened)

    answer = write(browser, case, **changes)

    assert answer.url == reverse("cases:screening", args=[case.pk])
    assert asked_again(browser, case) == [question]


def test_a_steroid_injection_against_the_screening_is_asked_about(browser, case):
    create_clear_screening(case=case)
    write(browser, case)
    Injection.objects.create(case=case, given_on=case.opened, substance="corticosteroid")

    assert asked_again(browser, case) == [
        "A steroid injection is on record, but the screening says there was none."
    ]


def test_a_contradiction_is_asked_about_while_typing(browser, case):
    page = browser.get(address(case))

    state = browser.post(
        address(case), typed(page, night_pain="false", nights_woken="4"), **TYPING
    ).content.decode()

    assert "No pain at night, but woken on 4 nights a week" in state
    assert Intake.objects.get().nights_woken == 4


def test_the_load_that_a_source_names_is_shown_with_it(browser, case):
    write(browser, case, work_force="true", work_repetition="true", screen_hours="20")

    page = browser.get(address(case))
    assert [str(one.sentence) for one in page.context["intake"].touched] == [
        "Work is forceful and repetitive."
    ]
    assert "<strong>5.6 times the odds</strong>" in page.content.decode()


def test_evidence_that_disagrees_is_shown_to_disagree(browser, case):
    page = " ".join(browser.get(address(case)).content.decode().split())

    assert (
        "<strong>Sources disagree.</strong> They disagree: muscle work did not change with size"
        in page
    )
