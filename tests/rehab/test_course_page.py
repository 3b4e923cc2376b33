"""The course of a case: on the page, on paper, and what goes on around the values."""

import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from assessments.charts import MarkKind
from assessments.clinical.pain import Context
from assessments.clinical.untreated import UNTREATED
from assessments.course import course_of
from assessments.models import GlobalRating, TimeOffWork
from cases.models import Injection
from clinic.models import AuditEvent
from rehab.around import around, stage_spans
from rehab.clinical.ladder import Stage
from rehab.clinical.targets import TARGETS, targets_of
from rehab.clinical.thresholds import DEFAULTS
from rehab.inputs import Records
from rehab.models import Handout, Program
from rehab.whole_course import WholeCourse
from tests.factories.assessments import create_grip, create_pain, create_questionnaire
from tests.factories.cases import create_case, create_signed_visit, create_visit
from tests.factories.clinic import create_physiotherapist
from tests.factories.rehab import create_diary, create_issued
from tests.rehab.printing.sheets import text_of

WEEK = datetime.timedelta(days=7)


def measured(case, *, weeks: int, pain: int, grip_n: float = 120):
    """A visit so many weeks after opening, with pain, grip of both sides and the questionnaire."""
    visit = create_visit(case=case, on=case.opened + weeks * WEEK)
    create_pain(visit=visit, **{Context.ON_GRIPPING.value: pain})
    create_grip(visit=visit, trials_n=(grip_n,) * 3)
    create_grip(visit=visit, trials_n=(300, 300, 300), side=case.affected.other)
    create_questionnaire(visit=visit)
    visit.sign(by=case.lead, at=timezone.now())
    return visit


def fallen(case, pains=(6, 5, 3, 2)):
    """Pain on gripping that falls from visit to visit, two weeks apart."""
    for number, pain in enumerate(pains):
        measured(case, weeks=2 * number, pain=pain, grip_n=120 + 50 * number)
    return case


@pytest.fixture
def course_case(physiotherapist):
    today = timezone.localdate()
    return create_case(lead=physiotherapist, opened=today - 12 * WEEK)


def page_of(client, case) -> str:
    return " ".join(client.get(reverse("rehab:course", args=[case.pk])).content.decode().split())


def gathered(case):
    programs = [program for program in Program.objects.of_case(case) if program.is_issued]
    return around(Records(case), course_of(case), programs)


def test_the_page_says_first_how_far_the_arm_has_come(browser, course_case):
    page = page_of(browser, fallen(course_case))

    lead = "Pain on gripping is <strong>2</strong> and was 6 at the start: better by 4, beyond error (1.4)."
    assert lead in page


def test_each_measure_has_its_chart_its_slope_and_its_published_figures(browser, course_case):
    page = page_of(browser, fallen(course_case))

    heads = re.findall(r'<h2 id="([a-z_]+)-head">', page)
    assert heads == [
        "overview", "pain_on_gripping", "grip_pain_free", "grip_ratio", "prtee",
        "prtee_pain", "prtee_function",
    ]  # fmt: skip
    assert len(re.findall(r'<svg class="plot wide"', page)) == len(heads)
    assert "Thin line: 0.7 points a week better (0.5 to 1)." in page
    assert page.count("points rule, chronic pain") == 1


def test_all_values_are_one_key_away_without_a_script(browser, course_case):
    page = page_of(browser, fallen(course_case))
    table = page.split('<summary accesskey="v">All values</summary>')[1].split("</table>")[0]

    assert len(re.findall(r"<th scope=\"row\"", table)) == 4
    assert page.count('accesskey="v"') == 1


def test_the_drawing_says_in_words_what_it_shows(browser, course_case):
    Injection.objects.create(
        case=course_case, given_on=course_case.opened + WEEK, substance="other"
    )
    page = page_of(browser, fallen(course_case))
    told = page.split("<title>Pain on gripping</title><desc>")[1].split("</desc>")[0]

    first, newest = ((course_case.opened + n * WEEK).strftime("%-d %b %Y") for n in (0, 6))
    assert told.startswith(
        f"4 values. Start: 6 on {first}. Newest: 2 on {newest}: better by 4, beyond error (1.4). "
        f"Best: 2 on {newest}; worst: 6 on {first}. Slope: 0.7 points a week better (0.5 to 1)."
    )
    assert "Triangle: other injection," in told


def test_a_case_without_a_measure_says_where_measures_come_from(browser, course_case):
    page = page_of(browser, course_case)

    assert "Nothing has been measured in this case yet." in page
    assert ("No measure yet" in page, page.count('<svg class="plot')) == (True, 0)


def test_one_value_is_compared_with_nothing(browser, course_case):
    page = page_of(browser, fallen(course_case, pains=(6,)))

    assert "Pain on gripping is <strong>6</strong>. One value: nothing to compare yet." in page
    assert "Thin line" not in page


def test_three_dates_are_too_few_for_a_slope(browser, course_case):
    assert "Thin line" not in page_of(browser, fallen(course_case, pains=(6, 5, 3)))


def test_opening_the_course_is_written_down(browser, course_case):
    page_of(browser, course_case)

    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.object_id, event.page) == (
        "opened", course_case.pk, "rehab:course",
    )  # fmt: skip


@pytest.mark.parametrize("name", ["rehab:course", "rehab:course_pdf"])
@pytest.mark.parametrize(
    ("role", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_clinical_readers_alone_see_the_course(request, signed_in, course_case, name, role, status):
    staff = request.getfixturevalue(role)

    answer = signed_in(staff).get(reverse(name, args=[course_case.pk]))

    assert answer.status_code == status


@pytest.mark.parametrize("name", ["rehab:course", "rehab:course_pdf"])
def test_another_clinics_case_does_not_exist(signed_in, course_case, name):
    stranger = signed_in(create_physiotherapist())

    assert stranger.get(reverse(name, args=[course_case.pk])).status_code == 404
    assert stranger.post(reverse(name, args=[course_case.pk])).status_code == 405


def rich(case, *, visits: int) -> None:
    """Visits, programs, injections and diary days, so many of each."""
    for number in range(visits):
        measured(case, weeks=number, pain=6 - number % 5)
        day = case.opened + number * WEEK
        Injection.objects.create(case=case, given_on=day, substance="other")
        at = timezone.make_aware(datetime.datetime.combine(day, datetime.time(9)))
        program = create_issued(case=case, at=at, version=number + 1, stage_since=day)
        create_diary(program=program, days=3, first=day)
        program.end(at=at)


# Five more keep the printed course as it was handed out.
@pytest.mark.parametrize(("name", "most"), [("rehab:course", 16), ("rehab:course_pdf", 22)])
def test_the_course_costs_the_same_however_long_it_is(
    browser, physiotherapist, django_assert_max_num_queries, name, most
):
    counts = []
    for visits in (1, 6):
        case = create_case(lead=physiotherapist, opened=timezone.localdate() - 12 * WEEK)
        rich(case, visits=visits)
        with django_assert_max_num_queries(most) as queries:
            assert browser.get(reverse(name, args=[case.pk])).status_code == 200
        counts.append(len(queries))

    assert counts == [counts[0]] * 2


def test_a_session_that_was_too_much_is_a_mark_of_its_day(course_case):
    at = timezone.now() - 3 * WEEK
    program = create_issued(case=course_case, at=at, version=1)
    create_diary(program=program, days=5)
    flare, *_rest = create_diary(
        program=program, days=1, first=timezone.localdate(at) + WEEK, worst_pain=8
    )
    measured(course_case, weeks=1, pain=5)

    shown = gathered(course_case)

    assert [(mark.kind, mark.day) for mark in shown.marks] == [(MarkKind.FLARE, flare.on)]
    assert shown.until == flare.on


def test_a_day_of_rest_is_no_flare(course_case):
    program = create_issued(case=course_case, at=timezone.now() - 3 * WEEK, version=1)
    create_diary(program=program, days=2, sets_done=0, night_wakings=3)
    measured(course_case, weeks=1, pain=5)

    assert gathered(course_case).marks == ()


def test_a_stage_lasts_until_the_next_one_begins(course_case):
    days = [course_case.opened + n * WEEK for n in (0, 1, 3)]
    programs = [
        Program(stage=stage, stage_since=since)
        for stage, since in zip((1, 1, 2), (days[0], days[0], days[2]), strict=True)
    ]

    spans = stage_spans(programs)

    assert [(span.short, span.since, span.until) for span in spans] == [
        ("1", days[0], days[2]),
        ("2", days[2], None),
    ]
    assert stage_spans([]) == ()


def test_the_untreated_count_from_the_first_measure(course_case):
    measured(course_case, weeks=2, pain=5)

    [year] = gathered(course_case).waited

    assert year.day == course_case.opened + 54 * WEEK
    assert year.figures == tuple(row.share for row in UNTREATED)
    assert year.words[-1] == "89 % / 83 %"


def test_a_case_without_measures_has_no_year_to_count_from(course_case):
    shown = gathered(course_case)

    assert (shown.since, shown.until, shown.waited) == (None, None, ())


@pytest.mark.parametrize("stage", Stage)
def test_every_stage_has_its_gates_ahead(stage):
    gates = targets_of(stage)

    assert {key: row.code for key, (row,) in gates.items()} == TARGETS[stage]
    assert all(row is DEFAULTS[row.code] for (row,) in gates.values())


def test_a_part_names_each_published_figure_and_whether_it_was_reached(course_case):
    whole = WholeCourse.of_case(course_case, course_of(fallen(course_case)))
    part = whole.parts[0]

    assert [(row.figure.value, row.since_last, row.since_start) for row in part.reached] == [
        (2, False, True),
        (30, True, True),
        (2.3, False, True),
    ]


def test_a_source_stands_in_the_notes_of_its_first_part_alone(course_case):
    create_pain(
        visit=create_visit(case=course_case, on=course_case.opened), worst_24h=7, on_gripping=6
    )
    create_pain(visit=measured_later(course_case), worst_24h=4, on_gripping=3)
    whole = WholeCourse.of_case(course_case, course_of(course_case))

    marks = [note.mark for part in whole.parts for note in part.notes]
    assert marks == sorted(set(marks))


def measured_later(case):
    case.visits.get().sign(by=case.lead, at=timezone.now())
    return create_visit(case=case, on=case.opened + WEEK)


def test_the_case_page_keeps_two_charts_and_leads_to_the_course(browser, course_case):
    fallen(course_case)
    page = browser.get(reverse("rehab:case", args=[course_case.pk])).content.decode()

    assert page.count('<svg class="plot wide"') == 2
    assert reverse("rehab:course", args=[course_case.pk]) in page
    assert page.count('accesskey="v"') == 1


def test_the_printed_course_says_what_the_page_says(browser, course_case):
    fallen(course_case)
    answer = browser.get(reverse("rehab:course_pdf", args=[course_case.pk]))
    words = text_of(answer.content)

    lead = "Pain on gripping is 2 and was 6 at the start: better by 4, beyond error (1.4)."
    assert (lead in words, f"record {course_case.patient.record}" in words) == (True, True)
    assert answer["Content-Disposition"].startswith(
        f'inline; filename="course-{course_case.patient.record}-'
    )
    mark = Handout.objects.get().mark
    assert AuditEvent.objects.latest("pk").detail == {"what": "course", "sha": mark}


def test_a_rating_that_is_itself_a_change_and_days_off_are_not_compared(browser, course_case):
    for number in (0, 1):
        visit = create_visit(case=course_case, on=course_case.opened + number * WEEK)
        GlobalRating.objects.write(visit, 2 + number)
        TimeOffWork.objects.write(visit, 5)
        visit.sign(by=course_case.lead, at=timezone.now())

    words = text_of(browser.get(reverse("rehab:course_pdf", args=[course_case.pk])).content)

    assert "Global rating of change 3; better by 3, beyond error (0.45)" in words
    assert "Time off work 5, start 5; not compared: the periods differ in length" in words


def test_the_printed_course_of_nothing_says_so(browser, course_case):
    answer = browser.get(reverse("rehab:course_pdf", args=[course_case.pk]))

    assert "Nothing has been measured in this case yet." in text_of(answer.content)


def test_a_signed_visit_without_measures_draws_nothing(browser, course_case):
    create_signed_visit(case=course_case)

    assert '<svg class="plot' not in page_of(browser, course_case)


def test_each_change_is_said_in_the_patients_words(browser, course_case):
    page = page_of(browser, fallen(course_case))

    assert page.count("In plain words, for the patient") == 6
    told = "Your pain when you grip went from 6 to 2 out of 10."
    assert told in page


def test_one_value_is_said_in_the_patients_words(browser, course_case):
    create_pain(visit=create_visit(case=course_case), on_gripping=4)

    assert "Your pain when you grip: 4 out of 10." in page_of(browser, course_case)
