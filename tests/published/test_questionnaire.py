"""Scoring of the 15-item tennis elbow questionnaire, and its change, against worked values."""

import pytest

from assessments.clinical.measures import BY_KEY
from assessments.clinical.questionnaires.tennis_elbow import score


def answers(pain, specific, usual):
    return dict(enumerate((*pain, *specific, *usual), start=1))


PAIN, SPECIFIC, USUAL = (3, 6, 5, 1, 8), (4, 6, 5, 7, 3, 6), (2, 5, 6, 8)


@pytest.mark.parametrize(
    ("pain", "specific", "usual", "expected"),
    # Computed from MacDermid's formula (user manual 2007; from memory): pain, function, total.
    [
        (PAIN, SPECIFIC, USUAL, (23, 26.0, 49.0)),
        (PAIN, SPECIFIC, (2, 5, 6, None), (23, 24.4444, 47.4444)),
        ((3, 6, 5, None, 8), SPECIFIC, USUAL, (27.5, 26.0, 53.5)),
        ((0,) * 5, (0,) * 6, (0,) * 4, (0, 0, 0)),
        ((10,) * 5, (10,) * 6, (10,) * 4, (50, 50, 100)),
    ],
)
def test_scores_agree_with_the_worked_cases(pain, specific, usual, expected):
    result = score(answers(pain, specific, usual))

    assert (result.pain, result.function, result.total) == pytest.approx(expected, abs=0.0001)


def test_one_change_meets_some_figures_and_not_others():
    # 49 → 36, computed. Figures: 7, 22 %, 11, 37 % Poltawski & Watson (from memory); 14.8 doi
    # 10.1080/09593985.2025.2450090; 31.33 Persian version, abjs.mums.ac.ir/article_21013.
    change = BY_KEY["prtee"].change(49, 36)

    assert change.percent == pytest.approx(-26.5, abs=0.05)
    assert [(row.figure.value, row.figure.unit, row.met) for row in change.important] == [
        (7, "points", True),
        (22, "%", True),
        (11, "points", True),
        (37, "%", False),
        (14.8, "points", False),
        (31.33, "points", False),
    ]


def test_the_same_change_is_beyond_the_printed_error():
    # MDC90 9.7, doi 10.1080/09593985.2025.2450090.
    assert BY_KEY["prtee"].change(49, 36).beyond_error is True
