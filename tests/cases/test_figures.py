import re
import xml.etree.ElementTree as ET

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from cases.clinical.battery_optional import MANEUVERS
from cases.clinical.drawing import Circle, Figure, Line, Outline, Role
from cases.clinical.positions import BUILT, figure
from cases.clinical.sides import Side
from cases.figures import svg
from clinic.wording import say
from tests.factories.cases import create_case, create_visit

SMALL = Figure(
    primitives=(
        Outline(role=Role.LIMB, parts=(((0, 0), (10, 0), (10, 10.4)), ((1, 1), (2, 1), (2, 2)))),
        Line(role=Role.BAND, points=((0.6, 0), (3, 4), (3.2, 4))),
        Circle(role=Role.THING, center=(5, 6), radius=2),
    ),
    alt=say("An arm <bent>."),
    box=(20, 10),
)


def test_each_primitive_becomes_one_element_with_its_role_as_class():
    title, *parts = ET.fromstring(svg(SMALL))

    assert title.text == "An arm <bent>."
    assert [part.attrib for part in parts] == [
        {"class": "limb", "d": "M0,0l10,0 0,10zM1,1l1,0 0,1z"},
        {"class": "band line", "d": "M1,0l2,4"},
        {"class": "thing", "cx": "5", "cy": "6", "r": "2"},
    ]


@pytest.mark.parametrize("code", BUILT)
def test_a_figure_carries_no_style_no_id_and_a_title(code):
    drawn = svg(figure(code, "end", Side.RIGHT))

    assert re.findall(r"\s(?:style|id|on\w+|fill|stroke)=", drawn) == []
    assert re.search("<title>(.+?)</title>", drawn)[1].startswith("Right arm")


def test_the_component_shows_the_figure_and_its_caption():
    page = render_to_string("components/figure.html", {"figure": SMALL, "caption": "Start"})

    assert [part.strip() for part in page.strip().splitlines()] == [
        '<figure class="position">',
        str(svg(SMALL)),
        "<figcaption>Start</figcaption>",
        "</figure>",
    ]


def test_the_battery_shows_start_and_end_of_each_test_for_the_affected_arm(
    signed_in, physiotherapist
):
    visit = create_visit(case=create_case(lead=physiotherapist))

    page = signed_in(physiotherapist).get(reverse("cases:battery", args=[visit.pk]))

    titles = re.findall('<svg class="figure".*?<title>(.+?)</title>', page.content.decode())
    shown = [
        figure(test.code, phase, Side.RIGHT) for test in MANEUVERS for phase in ("start", "end")
    ]
    assert titles == [str(each.alt) for each in shown]
