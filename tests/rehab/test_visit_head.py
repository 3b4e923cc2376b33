"""What a visit says at its head before anything is measured: the diary, and how the arm was the last time."""

import datetime

from django.utils import timezone

from clinic.templatetags.clinic_tags import written
from tests.factories.assessments import create_pain, create_questionnaire
from tests.factories.cases import create_visit
from tests.factories.rehab import create_diary
from tests.rehab.test_visit import case_page, create_earlier, visit_page


def head_of(browser, visit):
    said = " ".join(browser.get(visit_page(visit)).content.decode().split())
    return said.partition('class="lead"')[2].partition("</nav>")[0]


def test_the_lead_begins_with_the_diary_as_long_as_it_is_behind(browser, visit, program):
    behind = head_of(browser, visit)
    create_diary(program=program, days=1, first=visit.on - datetime.timedelta(days=1))
    typed = head_of(browser, visit)

    assert "at this visit yet: type the diary in, ask for pain, then" in behind
    assert "at this visit yet: ask for pain, then" in typed


def test_what_was_not_typed_in_yet_is_no_reason_to_talk_about_the_exercises(
    browser, visit, program
):
    behind = head_of(browser, visit)
    create_diary(program=program, days=1, first=visit.on - datetime.timedelta(days=1))
    typed = head_of(browser, visit)

    assert "Not enough to judge: 0 of 14 sessions done (0 %)." in behind
    assert "Talk about the exercises" not in behind
    assert "Talk about the exercises:</strong> Ask what gets in the way" in typed


def test_days_left_empty_before_the_last_one_are_counted_at_the_head(browser, visit, program):
    began = timezone.localdate(program.issued_at)
    create_diary(program=program, days=1, first=visit.on - datetime.timedelta(days=1))
    one_typed = head_of(browser, visit)
    create_diary(program=program, days=(visit.on - began).days - 1)
    all_typed = head_of(browser, visit)

    assert "13 days of the last two weeks are empty in the diary; they count as not" in one_typed
    assert "empty in the diary" not in all_typed


def test_the_day_of_the_visit_is_named_once(browser, visit):
    page = browser.get(visit_page(visit)).content.decode()

    assert f"visit of {written(visit.on)}" in " ".join(page.split())
    assert '<p class="stamp"></p>' in page


def changes_said(page):
    rows = page.context["measures"].results.course.rows_so_far
    return {line.measure.key: read.since_start for line, read, _note in rows}


def test_until_it_is_measured_today_a_change_goes_up_to_the_visit_before(browser, case, today):
    create_earlier(case, days_ago=30)
    last = create_earlier(case, days_ago=14)
    visit = create_visit(case=case, on=today)
    page = browser.get(visit_page(visit))
    create_pain(visit=visit, on_gripping=2)
    begun = browser.get(visit_page(visit))
    said, up_to = begun.content.decode(), f">up to {written(last.on)}<"
    compared = [change for change in changes_said(begun).values() if change]

    assert f"Change up to {written(last.on)}" in page.content.decode()
    assert changes_said(page)["pain_on_gripping"].amount == 0
    assert changes_said(begun)["pain_on_gripping"].amount == -3
    assert changes_said(begun)["pain_worst_24h"].amount == 0
    assert f"Change up to {written(last.on)}" not in said
    assert said.count(up_to) == len(compared) - 1


def test_the_page_of_a_case_goes_by_the_visit_before_until_the_draft_holds_anything(
    browser, case, today
):
    earlier = create_earlier(case, days_ago=14)
    visit = create_visit(case=case, on=today)
    empty = browser.get(case_page(case)).context["course"].today
    create_pain(visit=visit, on_gripping=2)

    assert empty.visit == earlier.pk
    assert browser.get(case_page(case)).context["course"].today.visit == visit.pk


def test_a_case_whose_first_visit_is_begun_is_not_called_new(browser, case, visit):
    page = " ".join(browser.get(case_page(case)).content.decode().split())

    assert "A new case." not in page
    assert "Nothing is measured at this visit yet: ask for pain" in page


def test_a_first_visit_has_nothing_to_compare_with(browser, visit):
    create_pain(visit=visit, on_gripping=4)
    page = " ".join(browser.get(visit_page(visit)).content.decode().split())
    lead, ledger = (
        head_of(browser, visit),
        page.partition('id="changed"')[2].partition("</table>")[0],
    )

    assert "first rating" not in lead
    assert "Today</th>" in ledger
    assert "Start</th>" not in ledger
    assert "first value" not in ledger


def test_what_the_rules_wait_for_is_named_at_the_head(browser, case, today, diary):
    create_earlier(case, days_ago=14)
    visit = create_visit(case=case, on=today)
    before = head_of(browser, visit)
    create_questionnaire(visit=visit)
    after = head_of(browser, visit)

    assert "Not known yet: PRTEE not worse" in before
    assert "PRTEE not worse" not in after
