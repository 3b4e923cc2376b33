"""The caseload: what became of the cases, who is missing, and the counts to take along."""

import csv
import datetime
import random

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.clinical.intake import Duration, duration_class
from cases.models import Appointment, Case
from clinic.models import AuditEvent
from rehab.caseload import Chosen, at_horizons, attendance, overview, stage_times
from rehab.clinical.caseload import COUNTED, COUNTED_BY_KEY, Missing, why_missing
from rehab.clinical.ladder import Stage
from tests.factories.assessments import create_measured
from tests.factories.cases import (
    OPENED,
    create_appointment,
    create_case,
    create_signed_visit,
    create_visit,
)
from tests.factories.clinic import create_physiotherapist
from tests.factories.rehab import create_issued

TODAY = OPENED + datetime.timedelta(days=500)
PAGE, CSV = "/caseload/", "/caseload.csv"
QUESTIONNAIRE = COUNTED_BY_KEY["prtee"]


def after(days: int) -> datetime.date:
    return OPENED + datetime.timedelta(days=days)


def measured(case: Case, *, sign: bool = True, key: str = "prtee", **on_day: float) -> Case:
    """Measure a case on days after its opening: `measured(case, d0=49, d84=36)`."""
    for day, value in on_day.items():
        on = case.opened + datetime.timedelta(days=int(day[1:]))
        visit = create_visit(case=case, on=on)
        create_measured(visit=visit, **{key: value})
        if sign:
            visit.sign(by=case.lead, at=timezone.now())
    return case


def counts(of, *, today: datetime.date = TODAY, key: str = "prtee", **chosen):
    """Measured and missing at 12 weeks."""
    found = at_horizons(Chosen(clinic=of.clinic, **chosen), COUNTED_BY_KEY[key], today=today)[1]
    return found.started, found.measured, {why.value: n for why, n in found.missing.items() if n}


def test_a_case_is_counted_with_its_value_nearest_to_12_weeks(physiotherapist):
    measured(create_case(lead=physiotherapist), d0=49, d66=45, d90=38, d100=20)

    found = at_horizons(Chosen(clinic=physiotherapist.clinic), QUESTIONNAIRE, today=TODAY)[1]

    reached = {row.mark.figure.value: row.share.count for row in found.reached}
    assert reached == {9.7: 1, 7: 1, 22: 1, 11: 1, 37: 0, 14.8: 0, 31.33: 0}


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        ({"d0": 49, "d84": 30}, (1, 1, {})),
        ({"d14": 49, "d63": 30}, (1, 1, {})),
        ({"d14": 49, "d105": 30}, (1, 1, {})),
        ({"d0": 49, "d62": 30}, (1, 0, {"lost": 1})),
        ({"d0": 49, "d106": 30}, (1, 0, {"lost": 1})),
        ({"d15": 49, "d84": 30}, (0, 0, {})),
    ],
)
def test_only_values_within_the_windows_count(physiotherapist, days, expected):
    measured(create_case(lead=physiotherapist), **days)

    assert counts(physiotherapist) == expected


@pytest.mark.parametrize(
    ("today", "closed", "why"),
    [
        (105, None, "not_due"),
        (106, None, "lost"),
        (400, 62, "closed"),
        (400, 63, "lost"),
        (90, 80, "lost"),
    ],
)
def test_who_is_missing_is_counted_by_the_reason(physiotherapist, today, closed, why):
    case = measured(create_case(lead=physiotherapist), d0=49)
    if closed:
        case.close("discharged", on=after(closed), reason="went well")

    assert counts(physiotherapist, today=after(today)) == (1, 0, {why: 1})


def test_an_unsigned_value_does_not_count(physiotherapist):
    case = measured(create_case(lead=physiotherapist), d0=49)
    measured(case, d84=30, sign=False)

    assert counts(physiotherapist) == (1, 0, {"lost": 1})


def test_another_clinic_is_never_counted(physiotherapist):
    measured(create_case(), d0=49, d84=30)

    assert counts(physiotherapist) == (0, 0, {})
    assert (
        overview(Chosen(clinic=physiotherapist.clinic), QUESTIONNAIRE, now=timezone.now()).cases
        == 0
    )


def test_a_choice_narrows_the_cases(physiotherapist):
    colleague = create_physiotherapist(clinic=physiotherapist.clinic)
    mine = create_case(lead=physiotherapist, onset=after(-30))
    theirs = create_case(lead=colleague, onset=after(-100))
    create_issued(case=mine, stage=3)
    for case in (mine, theirs):
        measured(case, d0=49)

    lost = (1, 0, {"lost": 1})
    assert counts(physiotherapist) == (2, 0, {"lost": 2})
    assert counts(physiotherapist, lead=colleague) == lost
    assert counts(physiotherapist, stage=Stage(3)) == lost
    assert counts(physiotherapist, stage=Stage(4)) == (0, 0, {})
    assert counts(physiotherapist, duration=Duration.OVER_12_WEEKS) == lost
    assert counts(physiotherapist, key="activities") == (0, 0, {})


@pytest.mark.parametrize("days", [0, 41, 42, 84, 85])
def test_the_database_sorts_durations_as_the_rules_do(physiotherapist, days):
    case = create_case(lead=physiotherapist, onset=after(-days))
    rule = duration_class(case.onset, today=case.opened)

    found = [d for d in Duration if Chosen(clinic=case.clinic, duration=d).cases.exists()]

    assert found == [rule]


@pytest.mark.parametrize("counted", COUNTED, ids=lambda row: row.measure.key)
def test_the_database_counts_as_the_rules_do(physiotherapist, counted):
    chance, cases = random.Random(20261125), []
    for number in range(12):
        case = create_case(lead=physiotherapist, opened=after(20 * number))
        values = {
            f"d{day}": chance.choice([0, 2, 3, 5, 30, 150.5]) for day in (0, 42, 80, 180, 360)
        }
        kept = dict(chance.sample(sorted(values.items()), chance.randint(1, 5)))
        measured(case, key=counted.measure.key, **{"d0": chance.choice([0, 5, 60])} | kept)
        if chance.random() < 0.5:
            case.close(
                "discharged",
                on=case.opened + datetime.timedelta(days=chance.randint(0, 400)),
                reason="x",
            )
        cases.append(
            (case, {"d0": case.measured_values.order_by("visit__on").first().value} | kept)
        )

    found = at_horizons(Chosen(clinic=physiotherapist.clinic), counted, today=TODAY)

    for at, day in zip(found, ("d42", "d80", "d180", "d360"), strict=True):
        there = [(v["d0"], v[day]) for _case, v in cases if day in v]
        better = counted.measure.better
        assert at.measured == len(there)
        assert [row.share.count for row in at.reached] == [
            sum(bool(mark.reached(*pair, better=better)) for pair in there)
            for mark in counted.marks
        ]
        assert [row.share.total for row in at.reached] == [
            sum(not mark.in_percent or start > 0 for start, _ in there) for mark in counted.marks
        ]
        reasons = [
            why_missing(at.horizon, opened=case.opened, closed=case.closed, today=TODAY)
            for case, v in cases
            if day not in v
        ]
        assert dict(at.missing) == {why: reasons.count(why) for why in Missing}


def test_a_stay_ends_with_the_next_stage_or_with_the_case(physiotherapist):
    case = create_case(lead=physiotherapist)
    at_nine = datetime.datetime.combine(OPENED, datetime.time(9), datetime.UTC)
    for version, (stage, day) in enumerate([(1, 0), (2, 14), (2, 20), (3, 40)], start=1):
        moment = at_nine + datetime.timedelta(days=day)
        create_issued(case=case, version=version, stage=stage, at=moment)

    chosen = Chosen(clinic=physiotherapist.clinic)
    running = {stage.value: (dict(t.weeks), t.running) for stage, t in stage_times(chosen).items()}
    case.close("discharged", on=after(61), reason="went well")
    over = {stage.value: (dict(t.weeks), t.running) for stage, t in stage_times(chosen).items()}

    nothing = {4: ({}, 0), 5: ({}, 0)}
    assert running == {1: ({2: 1}, 0), 2: ({3: 1}, 0), 3: ({}, 1)} | nothing
    assert over == {1: ({2: 1}, 0), 2: ({3: 1}, 0), 3: ({3: 1}, 0)} | nothing


def test_missed_visits_are_counted_of_those_whose_time_has_come(physiotherapist):
    case, now, status = create_case(lead=physiotherapist), timezone.now(), Appointment.Status
    given = [status.SEEN, status.MISSED, status.CANCELLED, status.BOOKED]
    for number, mark in enumerate(given):
        past = now - datetime.timedelta(days=number + 1)
        create_appointment(practitioner=physiotherapist, starts_at=past, case=case, status=mark)
    create_appointment(
        practitioner=physiotherapist, starts_at=now + datetime.timedelta(days=1), case=case
    )

    found = attendance(Chosen(clinic=physiotherapist.clinic), now=now)

    assert (found.due, found.missed, found.unmarked) == (3, 1, 1)


def test_the_page_says_it_in_sentences(signed_in, physiotherapist):
    measured(create_case(lead=physiotherapist), d0=49, d84=30)

    page = signed_in(physiotherapist).get(PAGE)

    assert page.status_code == 200
    assert [str(sentence) for sentence in page.context["caseload"].sentences] == [
        "Of the one case with the questionnaire at the start, 1 was measured again at 12 weeks.",
        "1 of these 1 improved by 11 points or more (much better, points); by the other thresholds "
        "it is 0 to 1.",
    ]


def test_thresholds_with_the_same_source_share_a_note_and_keep_their_numbers(
    signed_in, physiotherapist
):
    measured(create_case(lead=physiotherapist), d0=49, d84=30)

    page = signed_in(physiotherapist).get(PAGE)

    caseload = page.context["caseload"]
    numbered = [one for _figure, marks in caseload.thresholds for one in marks]
    assert numbered == list(enumerate((mark for mark, _shares in caseload.by_mark), start=1))
    assert len(caseload.thresholds) < len(numbered)
    for figure, marks in caseload.thresholds:
        assert {
            (mark.figure.limits, mark.figure.source, mark.figure.status) for _n, mark in marks
        } == {(figure.limits, figure.source, figure.status)}
    words = page.content.decode()
    assert all(words.count(f'id="threshold-{number}"') == 1 for number, _mark in numbered)


def test_a_physiotherapist_begins_with_their_own_cases_and_the_manager_with_all(
    client, physiotherapist, manager
):
    create_case(lead=physiotherapist)
    create_case(lead=create_physiotherapist(clinic=physiotherapist.clinic))
    shown = {}
    for who, address in [
        (physiotherapist, PAGE),
        (physiotherapist, f"{PAGE}?lead="),
        (manager, PAGE),
    ]:
        client.force_login(who)
        shown[who.role, address] = client.get(address).context["caseload"].cases

    assert list(shown.values()) == [1, 2, 2]


@pytest.mark.parametrize("address", [PAGE, CSV, f"{CSV}?rows=cases"])
@pytest.mark.parametrize(
    ("role", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_who_reads_clinical_records_may_open_it(request, signed_in, address, role, status):
    assert signed_in(request.getfixturevalue(role)).get(address).status_code == status


@pytest.mark.parametrize("address", [PAGE, CSV])
def test_nothing_can_be_posted(signed_in, physiotherapist, address):
    assert signed_in(physiotherapist).post(address).status_code == 405


def test_a_practitioner_of_another_clinic_is_refused_in_words(signed_in, physiotherapist):
    page = signed_in(physiotherapist).get(PAGE, {"lead": create_physiotherapist().pk})

    assert page.status_code == 422
    assert page.context["form"].errors == {"lead": ["Choose a practitioner of this clinic."]}


@pytest.mark.parametrize("number", [1, 3])
def test_the_page_costs_the_same_however_many_cases(
    signed_in, physiotherapist, number, django_assert_num_queries
):
    for _ in range(number):
        measured(create_case(lead=physiotherapist), d0=49, d84=30)
    client = signed_in(physiotherapist)

    with django_assert_num_queries(8):
        client.get(PAGE)


def rows_of(answer) -> list[dict[str, str]]:
    return list(csv.DictReader(b"".join(answer).decode().splitlines()))


def test_the_table_leaves_as_csv(signed_in, physiotherapist):
    measured(create_case(lead=physiotherapist), d0=49, d84=30)

    rows = rows_of(signed_in(physiotherapist).get(CSV))

    at_12 = [row for row in rows if row["after (weeks)"] == "12"]
    assert [(row["what"], row["count"], row["of (count)"]) for row in at_12[:4]] == [
        ("measured", "1", "1"), ("missing", "0", "1"), ("missing", "0", "1"), ("missing", "0", "1"),
    ]  # fmt: skip
    assert [row["count"] for row in at_12[4:]] == ["1", "1", "1", "1", "1", "1", "0"]


def test_how_cases_end_and_after_how_many_visits(signed_in, physiotherapist):
    for visits in (*[1] * 8, *[4] * 6, *[0] * 7):
        case = create_case(lead=physiotherapist)
        for _number in range(visits):
            create_signed_visit(case=case)
        case.close("discharged", on=timezone.localdate(), reason="Back at the bench.")
    create_visit(case=create_case(lead=physiotherapist))
    client = signed_in(physiotherapist)

    found = client.get(PAGE).context["caseload"].endings
    rows = [row for row in rows_of(client.get(CSV)) if row["what"] == "how cases stand"]

    # By hand: of 7 zeros, 8 ones and 6 fours, in order, the 11th of 21 is a one.
    assert {status.value: (one.cases, one.median_visits) for status, one in found.items()} == {
        "open": (1, None), "discharged": (21, 1), "declined": (0, None),
    }  # fmt: skip
    assert [(row["name"], row["count"], row["of (count)"]) for row in rows] == [
        ("open", "1", "22"), ("discharged", "21", "22"), ("declined", "0", "22"),
    ]  # fmt: skip
    assert rows[1]["median (visits)"] in ("1", "1.0")


def test_one_row_a_case_carries_no_name_of_a_patient(signed_in, physiotherapist):
    physiotherapist.first_name = "=Ida"
    physiotherapist.save()
    case = measured(create_case(lead=physiotherapist), d0=49, d84=30)
    create_issued(case=case, stage=3)

    answer = signed_in(physiotherapist).get(CSV, {"rows": "cases"})

    assert answer.streaming
    assert rows_of(answer) == [
        {
            "case": str(case.pk),
            "led by": f"'{physiotherapist}",
            "stage": "slow resistance",
            "complaint before": "6–12 weeks",
            "measure": "PRTEE questionnaire, total",
            "start (points)": "49.0",
            "after 6 weeks (points)": "",
            "after 12 weeks (points)": "30.0",
            "after 26 weeks (points)": "",
            "after 52 weeks (points)": "",
        }
    ]


def test_an_export_leaves_a_trace_with_its_counts(signed_in, physiotherapist):
    measured(create_case(lead=physiotherapist), d0=49)

    signed_in(physiotherapist).get(CSV, {"rows": "cases"})

    event = AuditEvent.objects.get(verb="exported")
    assert event.detail == {"what": "caseload cases", "measure": "prtee", "cases": 1}


@pytest.mark.parametrize(("role", "times"), [("physiotherapist", 1), ("front_desk", 0)])
def test_the_caseload_stands_in_the_navigation_of_who_may_open_it(request, signed_in, role, times):
    page = signed_in(request.getfixturevalue(role)).get(reverse("cases:day"))

    addresses = [url for url, _label, _now in page.context["nav"]]
    assert addresses.count(reverse("rehab:caseload")) == times


def test_who_leads_no_case_yet_is_told_so_and_shown_the_way(signed_in, physiotherapist):
    page = signed_in(physiotherapist).get("/caseload/").content.decode()

    assert "You lead no case yet" in page
    assert 'href="/caseload/?lead="' in page
