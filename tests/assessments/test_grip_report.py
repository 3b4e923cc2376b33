"""What a page says of the grip of one visit, beside whom and when it can't."""

import pytest
from django.urls import reverse

from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_BENT, PAIN_FREE_STRAIGHT
from assessments.course import course_of
from assessments.grip_report import GripReport, Person
from assessments.results import Results
from tests.factories.assessments import create_grip
from tests.factories.cases import create_case, create_patient, create_visit
from tests.factories.findings import create_battery, create_finding

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(physiotherapist):
    """Everything squeezed at one visit: sore right arm, right-handed."""
    visit = create_visit(case=create_case(lead=physiotherapist))
    left = visit.case.affected.other
    for way, mine, other in (
        (PAIN_FREE_STRAIGHT, (100, 110, 120), (300, 310, 305)),
        (PAIN_FREE_BENT, (140, 140, 140), (320, 320, 320)),
        (MAXIMAL_BENT, (220, 220, 220), (330, 330, 330)),
    ):
        create_grip(visit=visit, way=way, trials_n=mine)
        create_grip(visit=visit, way=way, trials_n=other, side=left)
    return visit


def report(visit):
    results = Results(course=course_of(visit.case, visit=visit))
    return GripReport(results=results, person=Person.at(visit))


def page(client, visit):
    response = client.get(reverse("assessments:measures", args=[visit.pk]))
    return " ".join(response.content.decode().split())


def test_pain_free_grip_is_shown_as_a_share_of_both_maxima(visit):
    shares = [(s.way.slug, round(s.of_other, 1), round(s.of_own, 1)) for s in report(visit).shares]

    assert shares == [("pain_free", 33.3, 50.0), ("pain_free_bent", 42.4, 63.6)]


def test_the_loss_to_the_straight_elbow_is_shown_for_both_sides(visit):
    losses = [(name, round(loss.difference.lost_n)) for name, loss in report(visit).losses]

    assert losses == [("Left", 15), ("Right, affected", 30)]


def test_only_the_maximal_grip_is_set_beside_both_tables(visit):
    stands = report(visit).stands

    forces = [(side.name, {one.force_n for one in side.standings}) for side in stands]
    assert forces == [("Left", {330}), ("Right, affected", {220})]
    assert [one.reference.key for one in stands[0].standings] == [
        "massy_westropp_2011",
        "mathiowetz_1985",
    ]


def test_the_tables_are_read_at_the_age_of_the_visit(visit):
    born = visit.case.patient.born

    assert report(visit).person.age == visit.on.year - born.year - (
        (visit.on.month, visit.on.day) < (born.month, born.day)
    )


def test_nothing_but_the_maximum_has_a_table(physiotherapist):
    visit = create_visit(case=create_case(lead=physiotherapist))
    create_grip(visit=visit)

    assert (report(visit).stands, report(visit).tables, report(visit).shares) == ((), (), ())


def test_the_page_names_the_formula_and_what_the_other_one_would_give(visit):
    rule = str(report(visit).handedness_rule)

    assert rule == (
        "Right-handed: dominant hand (D) 12.72 % stronger than the other (N), read as (D − N) / N. "
        "Read as (D − N) / D the adjusted ratio would be 0.315, 0.382, 0.582"
    )


def test_where_the_hand_is_not_stated_nothing_is_adjusted_and_the_page_says_so(visit):
    visit.case.patient.handedness = "unset"
    visit.case.patient.save()
    shown = report(visit)

    assert str(shown.handedness_rule) == (
        "Handedness is not stated, so nothing is adjusted for it; right-handers are 12.72 % "
        "stronger in the dominant hand"
    )
    assert [one.adjusted_ratio == one.ratio for _way, one in shown.grips] == [True] * 3


def test_a_left_hander_is_expected_to_have_equal_hands(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, handedness="left")
    visit = create_visit(case=create_case(lead=physiotherapist, patient=patient))
    create_grip(visit=visit)

    assert str(report(visit).handedness_rule) == (
        "Not right-handed: both hands are expected to be equal"
    )


@pytest.mark.parametrize(("answer", "pain", "sore"), [("familiar", 4, True), ("none", None, False)])
def test_the_battery_says_whether_the_other_side_is_a_yardstick(visit, answer, pain, sore):
    create_finding(battery=create_battery(visit=visit), side="left", answer=answer, pain=pain)

    assert report(visit).person.other_side_sore is sore
    assert report(visit).is_compared is not sore


def test_an_other_side_that_nobody_tested_is_said_to_be_unknown(visit):
    assert report(visit).person.other_side_sore is None
    assert str(report(visit).yardstick).startswith(
        "Whether the other elbow is well is not on record"
    )


def test_an_open_case_of_the_other_elbow_forbids_every_comparison(
    signed_in, physiotherapist, visit
):
    create_case(lead=physiotherapist, patient=visit.case.patient, side="left")

    shown = page(signed_in(physiotherapist), visit)

    assert (
        "<strong>110 N</strong>. The other elbow is sore too, so the sides are not compared."
        in shown
    )
    assert shown.count("The other elbow is sore too, so it is no yardstick") == 1
    heads = ("Ratio", "For handedness", "Affected side is weaker by")
    assert [head for head in heads if f">{head}<" in shown] == []


def test_the_page_says_mean_best_and_spread_of_each_side(signed_in, physiotherapist, visit):
    shown = page(signed_in(physiotherapist), visit)

    assert "best 120, spread 18 %" in shown
    assert "best 310, spread 3 %" in shown


def test_the_page_says_both_rules_and_that_a_visit_holds_one_set(signed_in, physiotherapist, visit):
    shown = page(signed_in(physiotherapist), visit)

    assert "Between two visits: more than 92 N" in shown
    assert "Within one visit: more than 52 N" in shown
    assert "A visit holds one set of trials of each kind" in shown


def test_a_doubtful_cell_is_shown_with_its_doubt(signed_in, physiotherapist):
    # Mathiowetz 1985, women of 45–49 years, left hand: the spread does not fit its standard error.
    patient = create_patient(clinic=physiotherapist.clinic, sex="female")
    visit = create_visit(case=create_case(lead=physiotherapist, patient=patient))
    patient.born = visit.on.replace(year=visit.on.year - 47)
    patient.save()
    create_grip(visit=visit, way=MAXIMAL_BENT)
    create_grip(visit=visit, way=MAXIMAL_BENT, side=visit.case.affected.other)

    shown = page(signed_in(physiotherapist), visit)

    assert shown.count("probably misprinted in the reprint that was read") == 1
