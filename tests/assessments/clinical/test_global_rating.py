import pytest

from assessments.clinical.global_rating import rated_change


@pytest.mark.parametrize(
    ("rating", "beyond", "reached"),
    # Kamper 2009 J Man Manip Ther 17:163–70, from memory: error 0.45, important 2; 2.5 in Bobos 2020.
    [(-3, True, []), (0, False, []), (1, True, []), (2, True, [2]), (3, True, [2, 2.5])],
)
def test_a_rating_is_the_change_itself(rating, beyond, reached):
    change = rated_change(rating)

    assert (change.amount, change.beyond_error) == (rating, beyond)
    assert [met.figure.value for met in change.reached] == reached


@pytest.mark.parametrize("rating", [-6, 6, 7, 2.5, True])
def test_a_rating_out_of_range_is_refused(rating):
    with pytest.raises(ValueError, match="from -5 to 5"):
        rated_change(rating)
