import pytest
from django.urls import reverse
from django.utils.html import escape

from assessments.clinical.measures import MEASURES
from assessments.register import families

PAGE = "/measures/"


def test_measures_with_the_same_figures_stand_together():
    found = [[measure.key for measure in family.measures] for family in families(MEASURES)]

    assert found == [
        [
            "pain_at_rest",
            "pain_worst_24h",
            "pain_on_gripping",
            "pain_during_exercise",
            "pain_next_morning",
        ],
        ["grip_pain_free"],
        ["prtee"],
        ["prtee_pain"],
        ["prtee_function"],
        ["activities"],
        ["global_rating"],
    ]


@pytest.mark.django_db
def test_every_figure_is_shown_with_all_that_is_known_of_it(signed_in, physiotherapist):
    page = signed_in(physiotherapist).get(PAGE).content.decode()

    rows = [row for family in families(MEASURES) for row in family.errors + family.important]
    words = (
        (row.population, row.method, row.horizon, row.figure.source, row.figure.status)
        for row in rows
    )
    unsaid = [text for known in words for text in known if escape(text) not in page]
    assert (unsaid, page.count('data-head="Source and status"')) == ([], len(rows) + 4)


@pytest.mark.django_db
def test_the_place_to_look_for_it_says_why_a_questionnaire_is_not_there(signed_in, physiotherapist):
    page = signed_in(physiotherapist).get(PAGE).content.decode()

    assert page.count("DASH and QuickDASH are not included") == 1
    assert page.count("dash.iwh.on.ca/licences") == 1


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_who_reads_the_register(request, signed_in, who, status):
    assert reverse("assessments:register") == PAGE
    assert signed_in(request.getfixturevalue(who)).get(PAGE).status_code == status


@pytest.mark.django_db
def test_the_register_is_only_read(signed_in, physiotherapist):
    assert signed_in(physiotherapist).post(PAGE).status_code == 405
