"""Load figures of the intake against the printed ones."""

import datetime

import pytest

from cases.clinical import exposure
from cases.clinical.intake import Duration, duration_class
from clinic.evidence import Status


@pytest.mark.parametrize(
    ("figure", "printed"),
    [
        (exposure.FORCE_AND_REPETITION, 5.6),  # Shiri 2006: odds ratio 5.6 (1.9–16.5)
        (exposure.BENT_WRIST[0], 3.2),  # Herquelot 2013: men 3.2 (1.5–6.4)
        (exposure.BENT_WRIST[1], 3.3),  # Herquelot 2013: women 3.3 (1.4–7.6)
        (exposure.HOURS_WITHOUT_PAIN, 5.5),  # 150 amateur players, 1986, pubmed 3767495
        (exposure.HOURS_BEFORE_PAIN, 8),
        (exposure.HEAD_AREA[0], 613),
        (exposure.HEAD_AREA[1], 570),
        (exposure.GRIP_SIZE_NO_CHANGE, 0.25),  # Hatch 2006: 1/4 inch more or less
    ],
)
def test_a_published_figure_is_the_printed_one(figure, printed):
    assert (figure.value, figure.status) == (printed, Status.PUBLISHED)


def test_string_tension_and_acceleration_are_the_printed_pairs():
    # Mohandhas et al. 2016 Shoulder Elbow 8:184–91: 200, 222 and 245 N.
    assert [figure.value for figure in exposure.STRING_TENSION] == [5.58, 6.83, 7.45]


@pytest.mark.parametrize(("pounds", "newton"), [(45, 200), (50, 222), (55, 245)])
def test_the_printed_tensions_are_whole_pounds(pounds, newton):
    # Computed: 45, 50 and 55 lb are the newtons that the study prints.
    assert exposure.tension_n(pounds, "lbf") == pytest.approx(newton, abs=0.5)


def test_what_is_from_memory_says_so():
    assert exposure.HOURS_A_DAY.status is Status.FROM_MEMORY
    assert exposure.PLAYERS_EVER.status is Status.SECOND_HAND


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (41, Duration.UNDER_6_WEEKS),
        (42, Duration.FROM_6_TO_12_WEEKS),
        (84, Duration.FROM_6_TO_12_WEEKS),
        (85, Duration.OVER_12_WEEKS),
    ],
)
def test_duration_classes_turn_at_6_and_12_weeks(days, expected):
    today = datetime.date(2026, 3, 12)

    assert duration_class(today - datetime.timedelta(days=days), today=today) is expected
