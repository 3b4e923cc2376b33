"""Where a page counts 100 people of a study, and where it says why it does not."""

import html
import re

import pytest
from django.urls import reverse

from tests.factories.cases import create_visit


def words(page) -> str:
    """The page's text without its tags, spaces folded."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page.content.decode())).split())


@pytest.mark.parametrize(
    "rows",
    [
        "Whatever the result – 31 Can't straighten fully 1.89 46 Straightens fully 0.0649 3",
        "Whatever the result – 23 Three found 6.1 65 37–85 Four found 30.3 90 34–92",
    ],
)
def test_the_screening_counts_the_people_of_the_study(signed_in, physiotherapist, case, rows):
    page = words(signed_in(physiotherapist).get(reverse("cases:screening", args=[case.pk])))

    assert page.count(rows) == 1
    assert page.count("is no probability for this patient") == 2


def test_the_grip_difference_says_why_it_counts_nobody(signed_in, physiotherapist, case):
    visit = create_visit(case=case)

    page = words(signed_in(physiotherapist).get(reverse("cases:battery", args=[visit.pk])))

    assert page.count("each arm was held against the same person's other arm") == 1
    assert page.count("Of 100 people in the study") == 0
