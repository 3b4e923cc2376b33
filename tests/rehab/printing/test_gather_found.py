"""What the tests gave and what was asked, from the records to the course summary."""

import datetime

import pytest
from django.utils import timezone

from rehab.printing.gather_summary import summary
from tests.factories.cases import OPENED, create_case, create_clear_screening, create_visit
from tests.factories.findings import create_battery, create_finding

NOW = datetime.datetime(2026, 3, 30, 12, 0, tzinfo=datetime.UTC)
WEEK = datetime.timedelta(weeks=1)

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist)


def of(case):
    return summary(case, now=NOW)


def test_each_test_stands_beside_the_first_round(case):
    for weeks, pain in ((0, 6), (1, 5), (2, 2)):
        visit = create_visit(case=case, on=case.opened + weeks * WEEK)
        battery = create_battery(visit=visit, resting_pain=1)
        create_finding(battery=battery, pain=pain)
        create_finding(battery=battery, side="left", answer="none", pain=None)
        if weeks == 2:
            create_finding(battery=battery, test="palpation", pain=4)
            create_finding(
                battery=battery, test="supination", answer="none", pain=None, strength="weak"
            )
            create_finding(
                battery=battery, test="finger-extension", finger=3, answer="other", pain=2,
                where="below-epicondyle", tingling=True,
            )  # fmt: skip
        visit.sign(by=case.lead, at=timezone.now())
    tested = of(case).round

    assert (tested.on, tested.first_on) == (OPENED + 2 * WEEK, OPENED)
    assert (tested.done, tested.hurt, tested.other_side, tested.resting_pain) == (4, 2, 0, 1)
    assert [(str(spot.test), spot.now, spot.first) for spot in tested.spots] == [
        ("Resisted wrist extension", 2, 6),
        ("Palpation of the common extensor origin", 4, None),
    ]
    assert [(str(test), what) for test, what in tested.elsewhere] == [
        ("Resisted supination", "weak, without pain"),
        ("Resisted extension of one finger, middle finger",
         "pain elsewhere, 3–5 cm below the epicondyle"),
        ("Resisted extension of one finger, middle finger", "new tingling"),
    ]  # fmt: skip


def test_answers_that_must_be_acted_on_come_first_with_what_was_done(case):
    screening = create_clear_screening(
        case=case, steroid_injection="yes", locking="yes", neck_nerve_root="unknown"
    )
    neck = screening.answers.get(question="neck-nerve-root")
    neck.act("Letter to the family doctor.", by=case.lead, at=NOW)
    screened = of(case).screened

    assert (screened.asked, screened.left, screened.held_up) == (21, 0, True)
    assert [
        (flag.known, flag.must_act, flag.done, str(flag.defers)) for flag in screened.flags
    ] == [
        (False, True, "Letter to the family doctor.", ""),
        (True, True, "", ""),
        (True, False, "", "maximal grip and heavy load for the first weeks"),
    ]
    assert screened.flags[0].done_on == datetime.date(2026, 3, 30)


def test_signs_that_were_found_are_told_and_those_looked_for_in_vain_are_not(case):
    screening = create_clear_screening(case=case)
    screening.write_signs({("spurling", ""): "found", ("chair-sign", ""): "absent"})

    assert [str(title) for title, _words in of(case).screened.signs] == [
        "Neck, four tests counted together"
    ]
