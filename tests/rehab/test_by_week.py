"""The published schedules beside the exercises of a draft."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.factories.rehab import create_draft, create_issued

LIFT = {"card": "lift-and-lower", "sets": 3, "repetitions": 15, "load_kg": 1.0, "days_per_week": 7}
BAR = {"card": "twist-bar", "sets": 3, "repetitions": 15, "days_per_week": 7}
ROW = {"card": "row", "sets": 2, "repetitions": 12, "days_per_week": 3}


@pytest.fixture
def url(case):
    return reverse("rehab:program", args=[case.pk])


def issued(case, *rows, days_ago: int, version: int = 1):
    at = timezone.now() - datetime.timedelta(days=days_ago)
    return create_issued(case=case, rows=rows, version=version, at=at)


def reached(page) -> list[list[tuple[str, int | None]]]:
    return [
        [(one.schedule.name, one.week) for one in dose.published] for dose in page.context["doses"]
    ]


def test_each_exercise_has_its_own_schedule_and_most_have_none(browser, url, case):
    create_draft(case=case, rows=[LIFT, BAR, ROW])

    assert reached(browser.get(url)) == [
        [("Lifting and lowering, 0.1 kg more each week", None)],
        [("Twist bar", None)],
        [],
    ]


@pytest.mark.parametrize(("days", "week"), [(0, 1), (6, 1), (7, 2), (21, 4)])
def test_the_week_counts_from_the_day_of_issue(browser, url, case, days, week):
    issued(case, LIFT, days_ago=days)
    create_draft(case=case, rows=[LIFT])

    page = browser.get(url)

    (shown,) = page.context["doses"].forms[0].published
    assert [str(row.weeks) for row, is_now in shown.rows if is_now] == [str(week)]
    assert f"This exercise is in week {week}." in page.content.decode()


def test_a_new_version_goes_on_counting_and_a_new_exercise_begins(browser, url, case):
    first = issued(case, LIFT, days_ago=21)
    first.end(at=timezone.now())
    issued(case, LIFT, BAR, days_ago=7, version=2)
    create_draft(case=case, rows=[LIFT, BAR], version=3)

    assert [dose[0][1] for dose in reached(browser.get(url))] == [4, 2]


def test_an_exercise_that_was_left_out_begins_anew(browser, url, case):
    for version, rows in enumerate([[LIFT], [ROW], [LIFT]], start=1):
        program = issued(case, *rows, days_ago=28 - 7 * version, version=version)
        if version < 3:
            program.end(at=timezone.now())
    create_draft(case=case, rows=[LIFT], version=4)

    assert [dose[0][1] for dose in reached(browser.get(url))] == [2]


def test_the_schedule_says_its_source_and_how_far_it_is_known(browser, url, case):
    create_draft(case=case, rows=[BAR])

    page = " ".join(browser.get(url).content.decode().split())

    assert "<summary>As published, week by week</summary>" in page
    assert "Tyler 2010, J Shoulder Elbow Surg 19:917–922 · published, read second-hand</p>" in page
