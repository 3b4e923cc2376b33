import datetime
from urllib.parse import urlencode

import pytest
from django.urls import reverse

from assessments.clinical.pain import Context
from assessments.models import GripTest, GripTrial, PainRating, QuestionnaireResponse
from clinic.models import AuditEvent
from tests.factories.assessments import COMPLETE, create_grip, create_pain, create_questionnaire
from tests.factories.cases import create_case, create_signed_visit, create_visit
from tests.factories.clinic import PASSWORD, create_physiotherapist
from tests.pages import TYPING

pytestmark = pytest.mark.django_db

READINGS = {
    "pain_free_left": ("30", "30,5", "29.5"),
    "pain_free_right": ("12", "13", "12.5"),
    "maximal_left": ("34", "35", "36"),
    "maximal_right": ("25", "26", "27"),
}


@pytest.fixture
def visit(physiotherapist):
    return create_visit(case=create_case(lead=physiotherapist))


def url(visit):
    return reverse("assessments:measures", args=[visit.pk])


def entry(**changes):
    """Fields by their short names, as the page sends them."""
    return {f"measures-{name}": value for name, value in ({"unit": "kgf"} | changes).items()}


def full(**changes):
    """Everything measured at one visit, in kg, but for `changes`."""
    pains = {f"pain_{context.value}": str(at) for at, context in enumerate(Context)}
    trials = {
        f"{test}_{number}": value
        for test, values in READINGS.items()
        for number, value in enumerate(values, start=1)
    }
    items = {f"item_{number}": str(value) for number, value in enumerate(COMPLETE, start=1)}
    return entry(**(pains | trials | items | changes))


def opened(client, visit):
    """The stamp of a page that was opened now."""
    return {"measures-opened_with": client.get(url(visit)).context["form"]["opened_with"].value()}


def forces(visit):
    tests = GripTest.objects.at(visit).order_by("effort", "side")
    return {f"{test.effort} {test.side}": test.forces_n() for test in tests}


def errors(response):
    return {name: list(texts) for name, texts in response.context["form"].errors.items()}


def test_a_full_entry_stores_exactly_what_was_typed_in_newtons(physiotherapist, signed_in, visit):
    response = signed_in(physiotherapist).post(url(visit), full())

    assert response.url == reverse("rehab:case", args=[visit.case_id])
    assert {rating.context: rating.value for rating in visit.pain_ratings.all()} == {
        context.value: at for at, context in enumerate(Context)
    }
    assert forces(visit) == {
        "maximal left": pytest.approx((333.4261, 343.23275, 353.0394)),
        "maximal right": pytest.approx((245.16625, 254.9729, 264.77955)),
        "pain_free left": pytest.approx((294.1995, 299.102825, 289.296175)),
        "pain_free right": pytest.approx((117.6798, 127.48645, 122.583125)),
    }
    assert visit.questionnaires.get().items == list(COMPLETE)


def test_the_shown_figures_follow_from_what_was_typed(physiotherapist, signed_in, visit):
    client = signed_in(physiotherapist)
    client.post(url(visit), full())

    results = client.get(url(visit)).context["measures"].results

    assert results.pain_free.affected_n == pytest.approx(122.583125)
    assert results.pain_free.ratio == pytest.approx(12.5 / 30)
    assert results.pain_free.adjusted_ratio == pytest.approx(12.5 / 30 / 1.1272)
    assert results.pain_free.deficit_n == pytest.approx(17.5 * 9.80665)
    assert (results.score.pain, results.score.function, results.score.total) == (23, 26, 49)


def test_the_page_shows_again_what_the_dial_showed(physiotherapist, signed_in, visit):
    client = signed_in(physiotherapist)
    client.post(url(visit), full())

    form = client.get(url(visit)).context["form"]

    assert form["unit"].value() == "kgf"
    assert form["pain_free_left_2"].value() == 30.5
    assert form["maximal_right_1"].value() == 25


def test_sending_the_page_back_unchanged_writes_nothing(physiotherapist, signed_in, visit):
    client = signed_in(physiotherapist)
    client.post(url(visit), full())
    before = list(GripTrial.objects.values_list("pk", flat=True))

    client.post(url(visit), full() | opened(client, visit))

    assert list(GripTrial.objects.values_list("pk", flat=True)) == before
    assert AuditEvent.objects.order_by("pk").last().detail == {"parts": []}


def test_emptied_fields_are_taken_away(physiotherapist, signed_in, visit):
    client = signed_in(physiotherapist)
    client.post(url(visit), full())

    client.post(url(visit), entry() | opened(client, visit))

    rows = (PainRating, GripTest, GripTrial, QuestionnaireResponse)
    assert [model.objects.count() for model in rows] == [0, 0, 0, 0]


def test_a_trial_left_out_keeps_its_place(physiotherapist, signed_in, visit):
    signed_in(physiotherapist).post(
        url(visit), entry(unit="N", pain_free_right_1="100", pain_free_right_3="110")
    )

    trials = GripTrial.objects.values_list("number", "force_n")
    assert list(trials) == [(1, 100.0), (3, 110.0)]


def test_a_half_filled_questionnaire_is_kept_and_says_why_it_has_no_score(
    physiotherapist, signed_in, visit
):
    client = signed_in(physiotherapist)
    client.post(url(visit), entry(item_1="3", item_9="0"))

    results = client.get(url(visit)).context["measures"].results

    assert QuestionnaireResponse.objects.get().answers()[9] == 0
    assert results.score is None
    assert str(results.not_scorable) == "4 of 5 pain items are missing; at most 1 may be."


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("pain_at_rest", "11", "11 is not a whole number from 0 to 10."),
        ("pain_at_rest", "3.5", "3.5 is not a whole number from 0 to 10."),
        ("item_4", "12", "12 is not a whole number from 0 to 10."),
        ("item_4", "x", "x is not a whole number from 0 to 10."),
        (
            "pain_free_right_1",
            "-3",
            "-3 is not a grip. Type a number such as 34.5, or leave it empty.",
        ),
        (
            "pain_free_right_1",
            "nan",
            "nan is not a grip. Type a number such as 34.5, or leave it empty.",
        ),
        ("pain_free_right_1", "340", "340 kg is more than a hand can squeeze (101 kg)."),
    ],
)
def test_a_wrong_number_is_refused_at_its_field_and_the_rest_is_kept(
    physiotherapist, signed_in, visit, field, value, sentence
):
    response = signed_in(physiotherapist).post(
        url(visit), entry(**{"pain_on_gripping": "5", field: value})
    )

    assert (response.status_code, errors(response)) == (422, {field: [sentence]})
    assert response.context["form"][field].value() == value
    assert [str(rating) for rating in visit.pain_ratings.all()] == ["on_gripping: 5"]


@pytest.mark.parametrize(("unit", "most"), [("N", "1001"), ("lbf", "225")])
def test_the_limit_is_told_in_the_unit_that_was_typed(
    physiotherapist, signed_in, visit, unit, most
):
    response = signed_in(physiotherapist).post(url(visit), entry(unit=unit, maximal_left_1=most))

    shown = {"N": "N (1000 N)", "lbf": "lb (224 lb)"}[unit]
    text = f"{most} {shown}".replace(" (", " is more than a hand can squeeze (")
    assert errors(response) == {"maximal_left_1": [f"{text}."]}


def test_40_newtons_of_maximal_grip_is_asked_about_and_not_swallowed(
    physiotherapist, signed_in, visit
):
    readings = {"maximal_left_1": "40", "pain_free_right_1": "22"}

    response = signed_in(physiotherapist).post(url(visit), entry(unit="N", **readings))

    assert errors(response) == {
        "right": ["Below 60 N for a grip that pain does not stop: is the dial in kg?"]
    }
    assert response.context["form"]["maximal_left_1"].value() == "40"
    assert GripTest.objects.count() == 0


def test_a_low_reading_that_is_right_is_kept_and_not_asked_about_again(
    physiotherapist, signed_in, visit
):
    client = signed_in(physiotherapist)
    typed = entry(unit="N", maximal_left_1="40")
    asked = client.post(url(visit), typed).context["measures"].sheet.grip
    client.post(url(visit), typed | {"measures-right": asked.tokens})

    shown = client.get(url(visit)).context["measures"].sheet.grip

    assert forces(visit) == {"maximal left": (40.0,)}
    assert (len(shown.questions), shown.is_answered) == (1, True)


def test_pain_may_stop_the_affected_side_at_any_force(physiotherapist, signed_in, visit):
    signed_in(physiotherapist).post(url(visit), entry(unit="N", pain_free_right_1="1"))

    assert forces(visit) == {"pain_free right": (1.0,)}


def test_another_unit_for_the_same_numbers_is_another_force(physiotherapist, signed_in, visit):
    client = signed_in(physiotherapist)
    client.post(url(visit), entry(unit="kgf", maximal_left_1="80"))

    client.post(url(visit), entry(unit="lbf", maximal_left_1="80") | opened(client, visit))

    assert forces(visit) == {"maximal left": (pytest.approx(80 * 0.45359237 * 9.80665),)}


def test_while_typing_only_the_state_is_answered(physiotherapist, signed_in, visit):
    response = signed_in(physiotherapist).post(url(visit), full(), **TYPING)

    page = response.content.decode()
    assert [page.count(text) for text in ("<html", 'id="measures-state"', "<form")] == [0, 1, 0]
    assert page.count('hx-swap-oob="true"') == 19
    assert PainRating.objects.count() == 5


def test_the_next_save_while_typing_carries_the_new_stamp(physiotherapist, signed_in, visit):
    client = signed_in(physiotherapist)
    first = client.post(url(visit), entry(pain_at_rest="2"), **TYPING)
    stamp = {"measures-opened_with": first.context["form"]["opened_with"].value()}

    second = client.post(url(visit), entry(pain_at_rest="3") | stamp, **TYPING)

    assert errors(second) == {}
    assert PainRating.objects.get().value == 3


def test_two_people_who_save_one_draft_see_both_versions(physiotherapist, signed_in, visit):
    client = signed_in(physiotherapist)
    stale = opened(client, visit)
    create_pain(visit=visit, at_rest=0, on_gripping=4)

    response = client.post(url(visit), entry(pain_at_rest="3", pain_on_gripping="4") | stale)

    conflicts = response.context["form"].conflicts
    assert [(c.label, c.theirs, c.mine) for c in conflicts] == [("Pain at rest", 0, 3)]
    assert response.context["form"]["pain_at_rest"].value() == "3"
    assert PainRating.objects.get(context="at_rest").value == 0


def test_a_signed_visit_refuses_with_a_sentence_and_keeps_what_was_typed_on_the_page(
    physiotherapist, signed_in
):
    visit = create_signed_visit(case=create_case(lead=physiotherapist))

    response = signed_in(physiotherapist).post(url(visit), entry(pain_at_rest="3"))

    sentence = "This visit is signed. Nothing was saved; copy it into an addendum."
    assert errors(response) == {"__all__": [sentence]}
    assert response.context["form"]["pain_at_rest"].value() == "3"
    assert PainRating.objects.count() == 0


def test_a_signed_visit_is_shown_to_read_only(physiotherapist, signed_in):
    visit = create_visit(case=create_case(lead=physiotherapist))
    create_grip(visit=visit)
    create_questionnaire(visit=visit)
    visit.sign(by=physiotherapist, at=datetime.datetime.now(tz=datetime.UTC))

    page = signed_in(physiotherapist).get(url(visit)).content.decode()

    assert page.count(' name="measures-') == 0
    assert page.count("118 · 126 · 121") == 1


def test_what_was_typed_after_the_session_ended_is_there_after_signing_in(client, visit):
    lead = visit.case.lead
    signing_in = {"username": lead.username, "password": PASSWORD}
    client.post(reverse("clinic:sign_in"), signing_in)
    client.session.flush()
    client.cookies.pop("sessionid")

    client.post(url(visit), entry(pain_at_rest="7"))
    client.post(f"{reverse('clinic:sign_in')}?{urlencode({'next': url(visit)})}", signing_in)
    form = client.get(url(visit)).context["form"]

    assert (form.is_bound, form["pain_at_rest"].value()) == (True, "7")
    assert PainRating.objects.count() == 0


def test_opening_and_saving_are_in_the_audit_trail_without_clinical_text(
    physiotherapist, signed_in, visit
):
    client = signed_in(physiotherapist)
    client.get(url(visit))
    client.post(url(visit), entry(pain_at_rest="7"))

    events = AuditEvent.objects.order_by("pk").values_list("verb", "object_id", "detail")
    assert list(events) == [
        ("opened", visit.pk, {}),
        ("measured", visit.pk, {"parts": ["pain"]}),
    ]


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize(
    ("role", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_those_who_treat_may_measure(request, signed_in, visit, role, status, method):
    client = signed_in(request.getfixturevalue(role))
    answer = getattr(client, method)(url(visit), entry(), follow=False)

    expected = 302 if (method, status) == ("post", 200) else status
    assert answer.status_code == expected


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_visit_of_another_clinic_does_not_exist(signed_in, visit, method):
    client = signed_in(create_physiotherapist())

    assert getattr(client, method)(url(visit), entry()).status_code == 404


def test_other_methods_are_refused(physiotherapist, signed_in, visit):
    assert signed_in(physiotherapist).put(url(visit)).status_code == 405


@pytest.mark.parametrize("visits", [1, 3])
def test_the_page_costs_the_same_however_many_visits(
    physiotherapist, signed_in, visits, django_assert_num_queries
):
    case = create_case(lead=physiotherapist)
    for week in range(visits):
        visit = create_visit(case=case, on=case.opened + datetime.timedelta(weeks=week))
        create_pain(visit=visit, on_gripping=5)
        create_grip(visit=visit)
        create_grip(visit=visit, side=case.affected.other)
        create_questionnaire(visit=visit)
        if week < visits - 1:
            visit.sign(by=physiotherapist, at=datetime.datetime.now(tz=datetime.UTC))
    client = signed_in(physiotherapist)

    with django_assert_num_queries(11):
        client.get(url(visit))
