"""The arithmetic of a draft's loads, folded away on its page."""

import pytest
from django.urls import reverse

from cases.models import Patient
from rehab.models import Equipment
from tests.factories.rehab import create_draft, create_issued

LIFT = {"card": "lift-and-lower", "sets": 3, "repetitions": 15, "load_kg": 1.0, "days_per_week": 7}


@pytest.fixture
def url(case):
    return reverse("rehab:program", args=[case.pk])


def draft_of(case, *rows):
    return create_draft(case=case, rows=rows)


def page_of(browser, url) -> str:
    return " ".join(browser.get(url).content.decode().split())


@pytest.fixture
def man(case):
    Patient.objects.update(sex="male")
    return case


def test_the_seven_equations_stand_side_by_side_with_their_spread(browser, url, case):
    draft_of(case, LIFT | {"load_kg": 2.0, "repetitions": 10})

    said = browser.get(url).context["arithmetic"]

    found = [round(row.kg, 3) for row in said.estimates]
    # Computed from the printed equations for 10 repetitions with 2 kg.
    assert found == [2.667, 2.667, 2.518, 2.619, 2.5, 2.695, 2.681]
    assert [round(kg, 3) for kg in said.spread] == [2.5, 2.695]
    assert said.chart.value == 75


@pytest.mark.parametrize(
    ("repetitions", "words"),
    [
        (15, "no, up to 10 repetitions only"),
        (37, "undefined at so many repetitions"),
        (14, "The chart has no row for 14 repetitions."),
    ],
)
def test_where_an_equation_ends_is_said(browser, url, case, repetitions, words):
    draft_of(case, LIFT | {"repetitions": repetitions})

    assert words in page_of(browser, url)


def test_without_a_weight_there_is_nothing_to_work_out(browser, url, case):
    draft_of(case, {"card": "fist-hold", "sets": 5, "hold_s": 20, "days_per_week": 7})

    said = browser.get(url).context["arithmetic"]

    assert (said.estimates, said.spread, said.torques) == ((), None, ())


def test_the_torque_needs_a_body_mass_that_is_not_kept(browser, url, man):
    draft_of(man, LIFT | {"load_kg": 2.0})

    before, after = browser.get(url), browser.get(url, {"body_kg": "80"})

    assert before.context["arithmetic"].torques == ()
    (row,) = after.context["arithmetic"].torques
    # A man of 80 kg with a 2 kg dumbbell: 1.895 N m, 27 % of ten men's mean.
    assert (round(row.nm, 3), round(row.share)) == (1.895, 27)


@pytest.mark.parametrize("mass", ["19", "301", "heavy"])
def test_no_torque_comes_from_a_body_that_can_not_be(browser, url, man, mass):
    draft_of(man, LIFT)

    said = browser.get(url, {"body_kg": mass}).context["arithmetic"]

    wrong = "Type a number such as 2.5, or leave it empty."
    expected = wrong if mass == "heavy" else "Enter a body mass from 20 to 300 kg."
    assert (said.torques, said.form.errors) == ((), {"body_kg": [expected]})


def test_a_womans_torque_is_set_against_no_mans_strength(browser, url, man):
    Patient.objects.update(sex="female")
    draft_of(man, LIFT)

    (row,) = browser.get(url, {"body_kg": "65"}).context["arithmetic"].torques

    assert (round(row.nm, 3), row.share) == (0.944, None)


def test_a_hammer_turns_the_forearm_by_its_weight_and_length(browser, url, case):
    draft_of(case, {"card": "turn-palm", "sets": 3, "repetitions": 15, "days_per_week": 3})
    Equipment.objects.create(case=case, hammer_kg=0.5, hammer_m=0.25)

    (row,) = browser.get(url).context["arithmetic"].torques

    assert round(row.nm, 3) == 1.226


def test_a_weeks_work_stands_beside_that_of_the_version_before(browser, url, case):
    create_issued(case=case, version=1, rows=[LIFT | {"down_s": 4}])
    draft_of(case, LIFT | {"down_s": 4, "load_kg": 1.1, "days_per_week": 3})

    (row,) = browser.get(url).context["arithmetic"].work

    # 3 × 15 × 1 kg on 7 days, then 3 × 15 × 1.1 kg on 3.
    assert (row.before.week_kg, round(row.now.week_kg, 1)) == (315, 148.5)
    assert round(row.volume_change, 1) == -52.9
    assert (row.before.week_s, row.now.week_s) == (1260, 540)
