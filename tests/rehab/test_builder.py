"""Building a program: its week, what the patient owns, what the rules think, and the version before."""

import pytest
from django.urls import reverse

from rehab.models import Equipment, Program
from tests.factories.cases import create_case, create_clear_screening
from tests.factories.rehab import create_draft, create_issued
from tests.rehab.drafts import filled

LIFT = {"card": "lift-and-lower", "sets": 3, "repetitions": 15, "load_kg": 1.0, "days_per_week": 7}
HEAVY = {
    "card": "straight-arm-lift", "sets": 3, "repetitions": 15, "load_kg": 2.0, "up_s": 3, "down_s": 3,
    "rest_s": 120, "days_per_week": 3,
}  # fmt: skip
FIVE = [
    {"card": card, "sets": 2, "repetitions": 10, "days_per_week": 7}
    for card in ("lift-and-lower", "thumb-up-lift", "turn-palm", "ball-squeeze", "twist-bar")
]


@pytest.fixture
def url(case):
    return reverse("rehab:program", args=[case.pk])


def draft_of(case, *rows, **fields) -> Program:
    return create_draft(case=case, rows=rows, **fields)


def page_of(browser, url) -> str:
    return " ".join(browser.get(url).content.decode().split())


def test_the_days_that_the_patient_can_train_are_kept(browser, url, case):
    draft = draft_of(case, LIFT | {"days_per_week": 2})

    answer = browser.post(url, filled(browser.get(url), weekdays=[1, 4], save=1))

    draft.refresh_from_db()
    assert (answer.status_code, draft.weekdays) == (302, [1, 4])


def test_the_next_version_keeps_the_days(case, today):
    issued = create_issued(
        case=case, version=1, weekdays=[0, 2, 4], rows=[LIFT | {"days_per_week": 3}]
    )

    draft = Program.draft(case, stage=issued.rung, policy=issued.rule, on=today)

    assert draft.weekdays == [0, 2, 4]


@pytest.mark.parametrize(
    ("weekdays", "said"),
    [(range(7), False), ([0, 3], True)],
)
def test_the_case_page_names_the_days_that_are_not_all(browser, case, weekdays, said):
    row = LIFT | {"days_per_week": 2}
    create_issued(case=case, version=1, rows=[row], weekdays=list(weekdays))

    page = page_of(browser, reverse("rehab:case", args=[case.pk]))

    assert ("The patient can train on Monday and Thursday." in page) is said


APART = (
    "These days leave no 48 hours between the heavy sessions. Choose days with a day between them, "
    "or fewer sessions a week."
)


@pytest.mark.parametrize(
    ("stage", "row", "weekdays", "errors"),
    [
        (2, LIFT, range(7), ({}, {})),
        (2, LIFT, [], ({"weekdays": ["Choose at least one day."]}, {})),
        (2, LIFT, [0, 2],
         ({}, {"days_per_week": ["The patient can train on 2 days a week."]})),
        (3, HEAVY, [0, 2, 4], ({}, {})),
        (3, HEAVY, [0, 1, 2, 3], ({"weekdays": [APART]}, {})),
        (3, HEAVY, [0, 1],
         ({}, {"days_per_week": ["The patient can train on 2 days a week."]})),
        (3, HEAVY | {"days_per_week": 4}, range(7),
         ({}, {"days_per_week": ["Heavy work is 48 hours apart: 3 days a week at most."]})),
        (2, HEAVY | {"card": "turn-palm", "days_per_week": 4}, range(7), ({}, {})),
        (3, HEAVY | {"card": "row", "days_per_week": 4}, [0, 1, 2, 3], ({}, {})),
    ],
)  # fmt: skip
def test_days_that_do_not_hold_the_sessions_are_answered_at_their_field(
    browser, url, case, stage, row, weekdays, errors
):
    draft_of(case, row, stage=stage)

    answer = browser.post(url, filled(browser.get(url), weekdays=list(weekdays), save=1))

    found = answer.context and (
        answer.context["form"].errors,
        answer.context["doses"].forms[0].errors,
    )
    assert (found or ({}, {})) == errors


def test_the_week_shows_which_exercise_is_done_when_and_how_long_it_takes(browser, url, case):
    light = {"card": "row", "sets": 2, "hold_s": 30, "rest_s": 30, "days_per_week": 2}
    draft_of(case, HEAVY, light, stage=3)

    build = browser.get(url).context["build"]

    marks = ["".join("x" if day else "." for day in row.days) for row in build.planned]
    assert marks == ["x.x.x..", "x..x..."]
    assert [day.minutes for day in build.week] == [12, 0, 10, 2, 10, 0, 0]
    assert "About <strong>12 minutes</strong> on the longest day" in page_of(browser, url)


def test_a_fifth_exercise_asks_why(browser, url, case):
    draft_of(case, *FIVE[:4])
    page = browser.get(url)

    asked = browser.post(url, filled(page, {"add": "twist-bar"}))
    told = browser.post(url, filled(page, {"add": "twist-bar", "more_because": "Plays the viola."}))

    draft = Program.objects.draft_of(case)
    assert asked.context["form"].errors == {
        "more_because": ["Say why there are more than four exercises."]
    }
    assert (told.status_code, draft.exercises.count()) == (302, 5)
    assert draft.more_because == "Plays the viola."


def test_the_reason_goes_with_the_fifth_exercise(browser, url, case):
    draft = draft_of(case, *FIVE, more_because="Plays the viola.")

    browser.post(url, filled(browser.get(url), {"dose-4-DELETE": "on", "save": 1}))

    draft.refresh_from_db()
    assert (draft.exercises.count(), draft.more_because) == (4, "")


@pytest.mark.parametrize("count", [2, 4])
def test_why_more_is_asked_from_the_fourth_exercise_on(browser, url, case, count):
    draft_of(case, *FIVE[:count])

    assert ("Why more than four exercises" in page_of(browser, url)) is (count == 4)


@pytest.mark.parametrize(
    ("load_kg", "sentence"),
    [(1.5, None), (0, None), ("", None), (1.2, "The patient owns 1, 1.5 and 2 kg.")],
)
def test_a_load_that_the_patient_does_not_own_is_refused(browser, url, case, load_kg, sentence):
    draft_of(case, LIFT)
    Equipment.objects.create(case=case, weights_kg=[1, 1.5, 2], has_bottle=False)

    answer = browser.post(url, filled(browser.get(url), {"dose-0-load_kg": load_kg, "save": 1}))

    found = answer.context and answer.context["doses"].forms[0].errors
    assert (found or None) == ({"load_kg": [sentence]} if sentence else None)


def test_where_nothing_is_recorded_every_load_is_taken(browser, url, case):
    draft_of(case, LIFT)

    answer = browser.post(url, filled(browser.get(url), {"dose-0-load_kg": 1.23, "save": 1}))

    assert answer.status_code == 302


def test_what_is_owned_takes_the_place_of_the_smallest_step(browser, url, case):
    draft_of(case, LIFT)
    Equipment.objects.create(case=case, weights_kg=[1], has_bottle=False)

    page = browser.get(url)

    assert "smallest_step_kg" not in page.context["form"].fields
    assert "The patient owns 1 kg." in page.content.decode()


def test_a_draft_with_a_load_that_is_not_owned_is_not_issued(browser, case):
    draft_of(case, LIFT)
    Equipment.objects.create(case=case, weights_kg=[2], has_bottle=False)

    answer = browser.post(reverse("rehab:program_issue", args=[case.pk]))

    said = [str(reason) for reason in answer.context["reasons"]]
    assert (answer.status_code, said) == (422, ["A load in it is not one that the patient owns."])


@pytest.mark.parametrize("rows", [[], [LIFT], [LIFT, LIFT | {"card": "ball-squeeze"}]])
def test_the_limit_of_the_policy_leads_to_its_source_once(browser, url, case, rows):
    draft_of(case, *rows)
    page = browser.get(url).content.decode()

    assert page.count('href="#source-policy"') == 1
    assert page.count('id="source-policy"') == 1


@pytest.mark.parametrize("page", ["rehab:program", "rehab:program_issue"])
@pytest.mark.parametrize(
    ("weight", "screened", "screening", "equipment"),
    [(2, True, False, True), (1, False, True, False), (2, False, True, True)],
)
def test_why_it_waits_leads_to_what_helps(
    browser, physiotherapist, page, weight, screened, screening, equipment
):
    case = create_case(lead=physiotherapist)
    if screened:
        create_clear_screening(case=case)
    draft_of(case, LIFT)
    Equipment.objects.create(case=case, weights_kg=[weight], has_bottle=False)

    answer = browser.get(reverse(page, args=[case.pk])).content.decode()
    waits = answer.split('aria-labelledby="wait"')[1].split("</section>")[0]

    assert (f"/cases/{case.pk}/screening/" in waits) == screening
    assert (f"/cases/{case.pk}/equipment/" in waits) == equipment


def test_what_the_rules_think_is_said_beside_the_field_and_does_not_stop(browser, url, case):
    create_issued(case=case, version=1, rows=[LIFT])
    draft_of(case, LIFT | {"load_kg": 1.5})
    words = "From 1 to 1.5 kg is 50 % more: the rules add 10 % at most, or 0.1 kg."

    page, again = browser.get(url), reverse("rehab:program_issue", args=[case.pk])

    load = page.context["doses"].forms[0]["load_kg"]
    place = f'id="{load.auto_id}_thought">Load, kg: {words}'
    assert place in " ".join(page.content.decode().split())
    assert f'aria-describedby="{load.auto_id}_thought"' in str(load)
    assert f"Lift and lower: {words}" in page_of(browser, again)
    assert browser.post(again).status_code == 302


def test_a_skipped_stage_is_said(browser, url, case):
    create_issued(
        case=case,
        version=1,
        stage=1,
        rows=[{"card": "wrist-hold", "sets": 5, "hold_s": 30, "days_per_week": 7}],
    )
    draft_of(case, HEAVY, stage=3)

    assert "Stage 2 is skipped: the rules go one at a time." in page_of(browser, url)


def test_only_what_differs_from_the_version_before_stands_out(browser, case):
    row = {"card": "row", "sets": 2, "repetitions": 10, "days_per_week": 2}
    squeeze = {"card": "ball-squeeze", "sets": 2, "repetitions": 10, "days_per_week": 2}
    create_issued(case=case, version=1, rows=[LIFT, row])
    draft_of(case, LIFT | {"load_kg": 1.1}, squeeze, weekdays=[0, 3])

    page = browser.get(reverse("rehab:program_issue", args=[case.pk]))

    lines = {str(line.name): line for line in page.context["build"].compared}
    shown = {
        name: tuple(
            [(str(p.words), p.differs) for p in side][:1] for side in (line.before, line.now)
        )
        for name, line in lines.items()
    }
    assert shown == {
        "Lift and lower": ([("3 × 15, 1 kg", True)], [("3 × 15, 1.1 kg", True)]),
        "Row": ([("2 × 10", True)], []),
        "Ball squeeze": ([], [("2 × 10", True)]),
        "Stage": ([("2, light isotonic", False)], [("2, light isotonic", False)]),
        "Pain policy": ([("standard", False)], [("standard", False)]),
        "Days": ([("every day", True)], [("Monday and Thursday", True)]),
        "Remark": ([("Go easy on the winch.", False)], [("Go easy on the winch.", False)]),
    }


def test_a_first_program_is_compared_with_nothing(browser, url, case):
    draft_of(case, LIFT)

    assert browser.get(url).context["build"].compared == ()


@pytest.mark.parametrize("count", [1, 4])
def test_the_page_asks_the_same_of_the_database_however_many_exercises(
    browser, url, case, count, django_assert_max_num_queries
):
    create_issued(case=case, version=1, rows=FIVE[:count])
    draft_of(case, *FIVE[:count])

    with django_assert_max_num_queries(24):
        browser.get(url)


def test_the_reason_for_more_is_kept_by_the_next_version(case, today):
    issued = create_issued(case=case, version=1, rows=FIVE, more_because="Plays the viola.")

    draft = Program.draft(case, stage=issued.rung, policy=issued.rule, on=today)

    assert draft.more_because == "Plays the viola."


def test_what_an_exercise_needs_and_the_patient_lacks_is_said(browser, url, case):
    draft_of(case, FIVE[2])
    Equipment.objects.create(case=case, weights_kg=[1])

    words = "It needs a hammer or another offset weight, and the patient owns none."
    assert words in page_of(browser, url)


def test_two_who_choose_other_days_see_both(browser, url, case):
    draft_of(case, LIFT)
    page = browser.get(url)
    Program.objects.update(weekdays=[0, 2])

    answer = browser.post(url, filled(page, weekdays=[1, 3, 5]))

    shown = [(one.theirs, one.mine) for one in answer.context["form"].conflicts]
    assert shown == [("Monday and Wednesday", "Tuesday, Thursday and Saturday")]


LOST = (
    "An exercise was taken out of this draft meanwhile. The others are as you typed them: "
    "look them over, then save again."
)


def test_an_exercise_of_another_program_is_not_written_to(browser, url, case):
    elsewhere = create_draft(rows=[LIFT]).exercises.get()
    draft_of(case, LIFT)
    given = filled(browser.get(url), {"dose-0-id": elsewhere.pk, "dose-0-sets": 9})

    answer = browser.post(url, given)

    elsewhere.refresh_from_db()
    assert (answer.status_code, elsewhere.sets) == (422, 3)
    assert answer.context["form"].non_field_errors() == [LOST]


def test_when_an_exercise_is_gone_the_others_stay_as_typed(browser, url, case):
    draft = draft_of(case, *FIVE[:3])
    page = browser.get(url)
    draft.exercises.get(position=2).delete()

    told = browser.post(url, filled(page, {"dose-2-sets": 7, "save": 1}, remark="Mine."))
    again = browser.post(url, filled(told, {"save": 1}))

    draft.refresh_from_db()
    sets = [(one.card, one.sets) for one in draft.exercises.all()]
    assert (told.status_code, again.status_code, draft.remark) == (422, 302, "Mine.")
    assert sets == [("lift-and-lower", 2), ("turn-palm", 7)]


@pytest.mark.parametrize("said", ["0", "2", "1000", "-1", "many", ""])
def test_how_many_exercises_a_form_says_it_has_is_not_believed(browser, url, case, said):
    draft = draft_of(case, LIFT)
    counts = {"dose-TOTAL_FORMS": said, "dose-INITIAL_FORMS": said}

    answer = browser.post(url, filled(browser.get(url)) | counts | {"dose-0-sets": 5, "save": 1})

    assert (answer.status_code, draft.exercises.get().sets) == (302, 5)


def test_a_gap_among_the_exercises_of_a_form_is_closed(browser, url, case):
    draft = draft_of(case, LIFT)
    sent = filled(browser.get(url)) | {"save": 1}
    moved = {name.replace("dose-0-", "dose-3-"): value for name, value in sent.items()}

    answer = browser.post(url, moved | {"dose-3-sets": 5})

    assert (answer.status_code, draft.exercises.get().sets) == (302, 5)
