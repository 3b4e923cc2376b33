"""What helps in daily life, checked against what its sources say."""

import re

import pytest

from clinic.evidence import Status
from rehab.clinical.daily_life import TIPS
from rehab.clinical.plain_words import LONGEST_SENTENCE
from tests.rehab.printing.reading import reading_ease, words_of


def about(title: str):
    (found,) = [tip for tip in TIPS if tip.about == title]
    return found


def said(title: str) -> str:
    return " ".join(about(title).sentences)


# An NHS provider's page on tennis elbow (chcpmsk.org.uk): palm up, elbow bent, load close to the body.
@pytest.mark.parametrize("words", ["palm up", "elbow bent", "close to your body"])
def test_lifting_is_told_as_the_source_has_it(words):
    assert words in said("Lifting")


# Another (healthshareoxfordshire.org.uk): the strap sits 2–3 cm below the crease of the elbow.
def test_the_strap_sits_where_the_source_has_it():
    low, high, inches = map(
        int, re.search(r"(\d)–(\d) cm \(about (\d) inch", said("Strap")).groups()
    )

    assert (low, high) == (2, 3)
    # One inch is 2.54 cm, exactly (international yard and pound agreement, 1959).
    assert low < inches * 2.54 < high


def test_what_a_trial_of_31_people_showed_is_no_promise():
    assert "may ease" in said("Strap")
    assert "may ease" in said("Heat and ice")


def test_nobody_wears_a_strap_without_asking():
    """It is deferred where a nerve may be the cause (screening, radial tunnel)."""
    assert "Ask us first" in said("Strap")


def test_the_weaker_source_gives_the_status():
    assert {tip.about: tip.status for tip in TIPS} == {
        "Lifting": Status.SECOND_HAND,
        "Changing tasks": Status.SECOND_HAND,
        "Work": Status.SECOND_HAND,
        "Breaks": Status.CONVENTION,
        "Size of a racket's grip": Status.PUBLISHED,
        "Heat and ice": Status.SECOND_HAND,
        "Strap": Status.SECOND_HAND,
    }


def test_whatever_is_more_than_common_practice_names_its_source():
    assert [
        tip.about for tip in TIPS if bool(tip.source) != (tip.status != Status.CONVENTION)
    ] == []


@pytest.mark.parametrize("tip", TIPS, ids=lambda tip: tip.about)
def test_each_is_plain(tip):
    assert reading_ease(" ".join(tip.sentences)) >= 70
    assert max(len(words_of(one)) for one in tip.sentences) <= LONGEST_SENTENCE.value
