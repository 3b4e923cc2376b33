import re
from types import SimpleNamespace

import pytest
from django.template.loader import render_to_string

from assessments.clinical.protocol import WAYS
from cases.clinical.sides import Side


@pytest.mark.parametrize(
    ("side", "words"), [(Side.RIGHT, "Right arm: "), (Side.LEFT, "Left arm: ")]
)
def test_each_way_of_squeezing_is_drawn_for_the_affected_arm(side, words):
    ways = [SimpleNamespace(way=way, sides=[], folds=False, questions=[]) for way in WAYS]
    sheet = SimpleNamespace(form=SimpleNamespace(affected=side), ways=ways)

    page = render_to_string("assessments/grip_fields.html", {"sheet": sheet})

    end = "wrist straight, hand closed. The hand squeezes the dynamometer."
    assert re.findall("<title>(.+?)</title>", page) == [
        f"{words}elbow straight, palm down, {end}",
        f"{words}elbow at a right angle, palm down, {end}",
        f"{words}elbow at a right angle, thumb up, {end}",
    ]
