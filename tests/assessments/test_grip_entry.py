"""Grip trials as they are typed: struck out, asked for again, asked about, refused, confirmed."""

import re

import pytest
from django.urls import reverse

from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_BENT
from assessments.models import GripTest, GripTrial
from tests.factories.assessments import create_grip
from tests.factories.cases import create_case, create_visit
from tests.pages import TYPING

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(physiotherapist):
    return create_visit(case=create_case(lead=physiotherapist))


@pytest.fixture
def client(signed_in, physiotherapist):
    return signed_in(physiotherapist)


def url(visit):
    return reverse("assessments:measures", args=[visit.pk])


def trials(*, way="pain_free", side="right", unit="kgf", **more):
    """Trials by number as the page sends them: `trials(t1="30", t2="45f")`."""
    given = {
        f"measures-{way}_{side}_{name.removeprefix('t')}": value
        for name, value in more.items()
        if re.fullmatch(r"t\d(_struck)?", name)
    }
    others = {f"measures-{name}": value for name, value in more.items() if name[0] != "t"}
    return {"measures-unit": unit} | given | others


def stamped(client, visit, **entry):
    """The same, with the stamp of a page that was opened now."""
    form = client.get(url(visit)).context["form"]
    return {"measures-opened_with": form["opened_with"].value()} | trials(**entry)


def on_record():
    rows = GripTrial.objects.order_by("grip_test__side", "number")
    return [(row.number, round(row.force_n, 1), row.struck) for row in rows]


def errors(response):
    return {name: list(texts) for name, texts in response.context["form"].errors.items()}


def ways(response):
    return {rows.way.slug: rows for rows in response.context["measures"].sheet.grip.ways}


@pytest.mark.parametrize(
    ("typed", "struck"),
    [("45f", "too_fast"), ("45 P", "past_pain"), (" 45x ", "slipped"), ("45", "")],
)
def test_a_letter_after_the_number_strikes_the_trial_out(client, visit, typed, struck):
    client.post(url(visit), trials(unit="N", t1=typed))

    assert on_record() == [(1, 45.0, struck)]


def test_the_list_under_the_number_strikes_out_too(client, visit):
    client.post(url(visit), trials(unit="N", t1="100", t2="180", t2_struck="past_pain"))

    assert on_record() == [(1, 100.0, ""), (2, 180.0, "past_pain")]


def test_a_struck_trial_stays_on_the_page_and_can_count_again(client, visit):
    client.post(url(visit), trials(unit="N", t1="100", t2="180f"))
    page = client.get(url(visit))

    assert page.context["form"]["pain_free_right_2"].value() == 180
    assert page.context["form"]["pain_free_right_2_struck"].value() == "too_fast"
    client.post(url(visit), stamped(client, visit, unit="N", t1="100", t2="180", t2_struck=""))
    assert on_record() == [(1, 100.0, ""), (2, 180.0, "")]


def test_a_struck_trial_is_in_no_result(client, visit):
    client.post(url(visit), trials(unit="N", t1="100", t2="180f", t3="110"))

    assert client.get(url(visit)).context["measures"].results.pain_free.affected_n == 105


def test_sending_struck_trials_back_unchanged_writes_nothing(client, visit):
    client.post(url(visit), trials(unit="N", t1="100", t2="180f"))
    before = list(GripTrial.objects.values_list("pk", flat=True))

    client.post(
        url(visit), stamped(client, visit, unit="N", t1="100", t2="180", t2_struck="too_fast")
    )

    assert list(GripTrial.objects.values_list("pk", flat=True)) == before


def test_a_struck_trial_keeps_its_reading(client, visit):
    response = client.post(url(visit), trials(t1_struck="slipped"))

    sentence = "A trial that is struck out keeps its reading. Type it, or let it count."
    assert errors(response) == {"pain_free_right_1": [sentence]}


def test_another_letter_is_no_reading(client, visit):
    response = client.post(url(visit), trials(t1="30q"))

    sentence = "30q is not a grip. Type a number such as 34.5, or leave it empty."
    assert errors(response) == {"pain_free_right_1": [sentence]}
    assert response.context["form"]["pain_free_right_1"].value() == "30q"


def test_a_fourth_trial_that_counts_is_refused_and_nothing_is_lost(client, visit):
    typed = trials(unit="N", t1="100", t2="130", t3="104", t4="102")

    response = client.post(url(visit), typed)

    sentence = "3 trials count at most. Strike one of them out, or empty this field."
    assert errors(response) == {"pain_free_right_4": [sentence]}
    assert response.context["form"]["pain_free_right_4"].value() == "102"


def test_six_trials_are_kept_of_which_three_count(client, visit):
    client.post(
        url(visit), trials(unit="N", t1="100f", t2="130p", t3="104x", t4="102", t5="101", t6="103")
    )

    assert [struck for _number, _force, struck in on_record()] == [
        "too_fast", "past_pain", "slipped", "", "", "",
    ]  # fmt: skip
    assert GripTest.objects.get().forces_n() == (102.0, 101.0, 103.0)


def test_trials_that_scatter_open_a_fourth_cell_and_say_so(client, visit):
    client.post(url(visit), trials(unit="N", t1="80", t2="100", t3="120"))

    page = client.get(url(visit))

    row = ways(page)["pain_free"].sides[1]
    assert row.cells_shown == 4
    words = "40 % apart: squeeze once more, and strike out the one that was not done well."
    assert page.content.decode().count(words) == 1


def test_the_fourth_cell_opens_while_typing(client, visit):
    response = client.post(url(visit), trials(unit="N", t1="80", t2="100", t3="120"), **TYPING)

    cells = dict(
        re.findall(r'id="measures-asks-([\w-]+)"\s+data-cells="(\d)"', response.content.decode())
    )
    assert cells == {
        "pain_free-left": "3", "pain_free-right": "4",
        "pain_free_bent-left": "3", "pain_free_bent-right": "3",
        "maximal-left": "3", "maximal-right": "3",
    }  # fmt: skip


def test_without_scripts_one_button_comes_back_to_the_trials(client, visit):
    response = client.post(url(visit), trials(t1="30") | {"stay": "1", "next": "/due/"})

    assert response.url == f"{url(visit)}?next=%2Fdue%2F#measures-grip-head"


def test_one_trial_in_another_unit_is_asked_about_and_no_grip_is_kept(client, visit):
    typed = trials(side="left", t1="30", t2="31", t3="66", pain_on_gripping="5")

    response = client.post(url(visit), typed)

    sentence = (
        "66 beside 30.5: lb and kg differ by such a factor. Was one trial read in another unit?"
    )
    assert errors(response) == {"right": [sentence]}
    assert response.context["form"]["pain_free_left_3"].value() == "66"
    assert (on_record(), visit.pain_ratings.count()) == ([], 1)


def test_a_question_stands_at_the_table_of_its_field(client, visit):
    response = client.post(url(visit), trials(side="left", t1="30", t2="66"))

    shown = [
        (question.key[:5], field.name) for question, field in ways(response)["pain_free"].questions
    ]
    assert shown == [("mixed", "pain_free_left_2")]
    assert ways(response)["maximal"].questions == ()


def test_ticking_right_as_typed_answers_what_was_asked(client, visit):
    typed = trials(unit="N", t1="0", t2="12")
    tokens = client.post(url(visit), typed).context["measures"].sheet.grip.tokens

    client.post(url(visit), typed | {"measures-right": tokens})

    assert on_record() == [(1, 0.0, ""), (2, 12.0, "")]
    assert client.get(url(visit)).context["measures"].sheet.grip.is_answered


def test_the_answer_to_one_question_is_none_to_the_next(client, visit):
    typed = trials(unit="N", t1="0", t2="12")
    tokens = client.post(url(visit), typed).context["measures"].sheet.grip.tokens

    swapped = {"measures-pain_free_left_1": "70"} | trials(unit="N", t1="0", t2="300")
    response = client.post(url(visit), swapped | {"measures-right": tokens})

    assert errors(response) == {
        "right": ["The affected side is 2.1 times as strong as the other: are the sides swapped?"]
    }


def test_a_question_about_one_test_keeps_the_others(client, visit):
    typed = trials(t1="0") | trials(way="maximal", t1="25")

    client.post(url(visit), typed)

    assert [str(test) for test in GripTest.objects.all()] == ["right, bent, maximal"]


def test_sides_that_look_swapped_are_asked_about(client, visit):
    response = client.post(url(visit), trials(t1="36") | trials(side="left", t1="20"))

    assert errors(response) == {
        "right": ["The affected side is 1.8 times as strong as the other: are the sides swapped?"]
    }
    assert on_record() == []


def test_a_struck_trial_is_not_asked_about(client, visit):
    response = client.post(url(visit), trials(side="left", t1="30", t2="66x"))

    assert (response.status_code, len(on_record())) == (302, 2)


def test_the_first_visit_opens_with_the_maximal_way_and_not_with_the_bent_one(client, visit):
    shown = ways(client.get(url(visit)))

    assert {slug: (rows.folds, rows.is_open) for slug, rows in shown.items()} == {
        "pain_free": (False, False),
        "pain_free_bent": (True, False),
        "maximal": (True, True),
    }


def test_a_later_visit_opens_what_was_measured_before_but_for_the_maximum(client, physiotherapist):
    case = create_case(lead=physiotherapist)
    first = create_visit(case=case, on=case.opened)
    for way in (MAXIMAL_BENT, PAIN_FREE_BENT):
        create_grip(visit=first, way=way)
    first.sign(by=physiotherapist, at=first.saved_at)
    later = create_visit(case=case)

    shown = ways(client.get(url(later)))

    assert [slug for slug, rows in shown.items() if rows.is_open] == ["pain_free_bent"]


def test_a_way_that_holds_something_is_open(client, visit):
    client.post(url(visit), trials(way="pain_free_bent", t1="20"))

    assert ways(client.get(url(visit)))["pain_free_bent"].is_open


@pytest.mark.parametrize("seconds", [30, 60])
def test_the_rest_is_the_clinics(client, visit, seconds):
    visit.clinic.grip_rest_s = seconds
    visit.clinic.save()

    page = client.get(url(visit)).content.decode()

    chosen = re.search(r'<option value="(\d+)"\s+selected>\1 s', page)
    assert chosen[1] == str(seconds)


def test_a_signed_visit_shows_struck_trials_struck_with_their_reason(
    client, visit, physiotherapist
):
    client.post(url(visit), trials(unit="N", t1="100", t2="180f", t3="110"))
    visit.sign(by=physiotherapist, at=visit.saved_at)

    page = client.get(url(visit)).content.decode()

    assert page.count('<s class="struck">180</s> <span class="unit">squeezed too fast</span>') == 1
