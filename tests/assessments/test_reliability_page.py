"""How well the clinic's own grip trials repeat: which are taken, and what the page says of them."""

import datetime

import pytest
from django.utils import timezone

from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_STRAIGHT, WAYS, Squeeze, Struck
from assessments.clinical.reliability import MIN_PAIRS, MeanSquares
from assessments.models import GripTest
from assessments.repeated import published_pairs, repeated
from tests.factories.assessments import create_grip
from tests.factories.cases import create_case, create_visit

PAGE = "/reliability/"
NEEDED = int(MIN_PAIRS.value)


def squeezed(
    lead, trials_n=(118, 126, 121), *, case=None, days: int = 0, sign: bool = True, **fields
):
    """A case whose affected side was tested pain-free; signed unless told otherwise."""
    case = case or create_case(lead=lead)
    visit = create_visit(case=case, on=case.opened + datetime.timedelta(days=days))
    create_grip(visit=visit, trials_n=trials_n, **fields)
    if sign:
        visit.sign(by=lead, at=timezone.now())
    return case


def counted(lead) -> dict[tuple[str, bool], int]:
    return {
        (row.way.slug, row.affected): row.subjects for row in repeated(lead.clinic) if row.subjects
    }


def test_each_way_and_side_has_a_row(physiotherapist):
    assert [(row.way, row.affected) for row in repeated(physiotherapist.clinic)] == [
        (way, affected) for way in WAYS for affected in (True, False)
    ]


def test_sides_and_ways_are_counted_apart(physiotherapist):
    case = squeezed(physiotherapist)
    squeezed(physiotherapist, case=case, days=7, side=case.affected.other)
    squeezed(physiotherapist, way=MAXIMAL_BENT)

    assert counted(physiotherapist) == {
        ("pain_free", True): 1, ("pain_free", False): 1, ("maximal", True): 1,
    }  # fmt: skip


@pytest.mark.parametrize(
    "fields", [{"trials_n": (118, 126)}, {"sign": False}], ids=["two trials", "not signed"]
)
def test_a_test_that_is_not_full_and_signed_does_not_count(physiotherapist, fields):
    squeezed(physiotherapist, **fields)

    assert counted(physiotherapist) == {}


def test_a_trial_that_was_struck_out_counts_for_nothing(physiotherapist):
    visit = create_visit(case=create_case(lead=physiotherapist))
    forces = (118, 400, 126, 121)
    squeezes = {n: Squeeze(force_n=force) for n, force in enumerate(forces, start=1)}
    squeezes[2] = Squeeze(force_n=400, struck=Struck.TOO_FAST)
    key = (PAIN_FREE_STRAIGHT, visit.case.affected)
    GripTest.objects.write(visit, unit="N", trials={key: squeezes})
    visit.sign(by=physiotherapist, at=timezone.now())

    assert counted(physiotherapist) == {("pain_free", True): 1}


def test_another_clinic_is_never_counted(physiotherapist):
    other = create_case()
    squeezed(other.lead, case=other)

    assert counted(physiotherapist) == {}


def test_each_case_gives_its_first_full_test(physiotherapist):
    tables = []
    for number in range(NEEDED):
        trials_n = (100.0 + number, 104.0 + number / 2, 99.0 + number)
        case = squeezed(physiotherapist, trials_n)
        squeezed(physiotherapist, (200, 300, 400), case=case, days=7)
        tables.append(trials_n)

    assert repeated(physiotherapist.clinic)[0].squares == MeanSquares.of(tables)


def test_under_twenty_it_says_how_many_are_needed(signed_in, physiotherapist):
    squeezed(physiotherapist)

    page = signed_in(physiotherapist).get(PAGE)

    assert page.context["shown"] == []
    row = page.context["few"][0]
    assert (row.subjects, row.missing) == (1, NEEDED - 1)
    assert "from <strong>20</strong> on" in page.content.decode()


def test_from_twenty_on_it_stands_beside_the_published_figure(signed_in, physiotherapist):
    for number in range(NEEDED):
        squeezed(physiotherapist, (100 + 5 * number, 104 + 5 * number, 99 + 4 * number))

    page = signed_in(physiotherapist).get(PAGE)

    (row,) = page.context["shown"]
    assert (row.way, row.affected, row.subjects, row.published.value) == (
        PAIN_FREE_STRAIGHT, True, NEEDED, 125,
    )  # fmt: skip
    assert "Says nothing about another day" in page.content.decode()


def test_the_published_errors_are_shown_whole():
    # Hill et al. 2023 Physiother Theory Pract 39(5):1007–15.
    rows = [(row.position.value, row.within_visit, row.one, row.three) for row in published_pairs()]

    assert rows == [
        ("straight", True, 125, 46),
        ("straight", False, 118, 92),
        ("bent", True, 79, 52),
        ("bent", False, 133, 90),
    ]


@pytest.mark.parametrize(
    ("role", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_who_reads_clinical_records_may_open_it(request, signed_in, role, status):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == status


def test_nothing_can_be_posted(signed_in, physiotherapist):
    assert signed_in(physiotherapist).post(PAGE).status_code == 405


@pytest.mark.parametrize("number", [1, 3])
def test_the_page_costs_the_same_however_many_tests(
    signed_in, physiotherapist, number, django_assert_num_queries
):
    for _ in range(number):
        squeezed(physiotherapist)
    client = signed_in(physiotherapist)

    with django_assert_num_queries(2):
        client.get(PAGE)
