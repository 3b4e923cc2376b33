"""The page that says what the patient owns, and what the loads make of it."""

import pytest
from django.urls import reverse

from clinic.models import AuditEvent
from rehab.clinical.stages import Policy, Stage
from rehab.models import Equipment, Program
from tests.factories.cases import create_case
from tests.factories.rehab import create_draft
from tests.pages import typed


@pytest.fixture
def url(case):
    return reverse("rehab:equipment", args=[case.pk])


def test_what_the_patient_owns_is_kept_and_leads_back_to_the_program(browser, url, case):
    given = {"weights_kg": "2 1,5 1", "has_bottle": "on", "hammer_kg": "0,6", "hammer_m": ".25"}

    answer = browser.post(url, typed(browser.get(url), given))

    owned = Equipment.objects.get(case=case)
    assert answer.url == reverse("rehab:program", args=[case.pk])
    assert (owned.weights_kg, owned.hammer_kg, owned.hammer_m) == ([1, 1.5, 2], 0.6, 0.25)
    assert AuditEvent.objects.get(verb="changed").object_id == owned.pk


@pytest.mark.parametrize(
    ("text", "kg"),
    [
        ("0.5 1 1.5 2", [0.5, 1, 1.5, 2]),
        ("2; 1,25;1", [1, 1.25, 2]),
        ("0,5, 1, 2,", [0.5, 1, 2]),
        ("1kg 2 kg 2", [1, 2]),
        ("50", [50]),
        ("", []),
        (".5", [0.5]),
    ],
)
def test_weights_are_read_as_people_write_them(browser, url, text, kg):
    browser.post(url, typed(browser.get(url), weights_kg=text))

    assert Equipment.objects.get().weights_kg == kg


NUMBER = "Type a number such as 2.5, or leave it empty."


@pytest.mark.parametrize(
    ("given", "field", "sentence"),
    [
        ({"weights_kg": "1 two"}, "weights_kg",
         "“two” is not a weight. Type numbers with spaces between, such as 0.5 1 2."),
        ({"weights_kg": "1 -2"}, "weights_kg",
         "“-2” is not a weight. Type numbers with spaces between, such as 0.5 1 2."),
        ({"weights_kg": "1,2,3"}, "weights_kg",
         "“1,2,3” is not a weight. Type numbers with spaces between, such as 0.5 1 2."),
        ({"weights_kg": "1 50.1"}, "weights_kg",
         "50.1 kg can't be: weights are above 0 and up to 50 kg."),
        ({"weights_kg": "0"}, "weights_kg", "0 kg can't be: weights are above 0 and up to 50 kg."),
        ({"weights_kg": " ".join(map(str, range(1, 42)))}, "weights_kg", "Type up to 40 weights."),
        ({"band_at_50_n": 30, "band_at_100_n": 20}, "band_at_100_n",
         "A band pulls more at double length than at half as long again."),
        ({"band_at_50_n": 30}, "band_at_100_n",
         "Pull the band to both lengths, or leave both empty."),
        ({"band_at_50_n": 30, "band_at_100_n": 501}, "band_at_100_n",
         "A band pulls up to 500 N; this is more."),
        ({"band_at_50_n": 0, "band_at_100_n": 5}, "band_at_50_n",
         "Type a number above 0, or leave it empty."),
        ({"hammer_kg": 1}, "hammer_m", "Give both the weight and its length, or leave both empty."),
        ({"hammer_kg": 6, "hammer_m": 0.3}, "hammer_kg",
         "An offset weight is up to 5 kg; this is more."),
        ({"hammer_kg": 1, "hammer_m": 25}, "hammer_m",
         "The length is in meters, up to 1 m; this is more."),
        ({"hammer_kg": "heavy", "hammer_m": 0.3}, "hammer_kg", NUMBER),
    ],
)  # fmt: skip
def test_what_can_not_be_is_answered_at_its_field(browser, url, given, field, sentence):
    answer = browser.post(url, typed(browser.get(url), given))

    assert (answer.status_code, Equipment.objects.count()) == (422, 0)
    assert answer.context["form"].errors == {field: [sentence]}


def test_two_who_change_it_see_both_versions(browser, url, case):
    Equipment.objects.create(case=case, weights_kg=[1])
    page = browser.get(url)
    Equipment.objects.update(weights_kg=[1, 2])

    answer = browser.post(url, typed(page, weights_kg="3"))

    shown = [(one.theirs, one.mine) for one in answer.context["form"].conflicts]
    assert (answer.status_code, shown) == (422, [([1, 2], [3.0])])


def test_a_closed_case_keeps_what_it_has(browser, url, case, today):
    case.close("discharged", on=today, reason="settled")

    assert browser.post(url, {"weights_kg": "1"}).url == reverse("rehab:case", args=[case.pk])
    assert Equipment.objects.count() == 0


@pytest.mark.parametrize("who", ["front_desk", "manager"])
def test_only_who_treats_writes_it_down(request, signed_in, url, who):
    assert signed_in(request.getfixturevalue(who)).get(url).status_code == 403


def test_a_case_in_another_clinic_does_not_exist(browser):
    url = reverse("rehab:equipment", args=[create_case().pk])

    assert (browser.get(url).status_code, browser.post(url).status_code) == (404, 404)


def test_it_is_not_deleted(browser, url):
    assert browser.delete(url).status_code == 405


@pytest.mark.parametrize(
    ("weights", "load_kg"), [([0.5, 0.8, 1.5], 0.8), ([1], 1), ([1.5, 2], 0), ([], 0)]
)
def test_a_first_load_is_the_heaviest_owned_that_is_not_above_the_published_start(
    case, today, weights, load_kg
):
    Equipment.objects.create(case=case, weights_kg=weights, has_bottle=False)

    draft = Program.draft(case, stage=Stage.LIGHT_ISOTONIC, policy=Policy.STANDARD, on=today)

    assert (draft.main.load_kg, draft.load_kg) == (load_kg, load_kg)


def test_the_loads_of_the_main_exercise_are_those_that_are_owned(case):
    rows = [{"card": "turn-palm", "sets": 3, "repetitions": 15, "days_per_week": 3}]
    hammered = create_draft(case=case, rows=rows)
    assert hammered.owned_kg is None

    Equipment.objects.create(
        case=case, weights_kg=[1, 2], has_bottle=False, hammer_kg=0.6, hammer_m=0.25
    )

    assert Program.objects.draft_of(case).owned_kg == (0.6, 1, 2)


@pytest.mark.parametrize("card", ["row", "lift-and-carry"])
def test_a_band_and_a_box_are_not_counted_in_weights(case, card):
    Equipment.objects.create(case=case, weights_kg=[1])
    row = {"card": card, "sets": 3, "repetitions": 12, "load_kg": 7, "days_per_week": 3}
    draft = create_draft(case=case, rows=[row])

    assert (draft.owned_kg, draft.not_owned) == (None, [])
