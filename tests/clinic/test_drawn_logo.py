"""A logo as SVG: what is drawn, and what is refused in which words."""

import pytest
from django.core.exceptions import ValidationError
from reportlab.graphics.shapes import Rect

from clinic.drawn_logo import drawing
from clinic.logo import as_address, check_logo
from tests.clinic.logos import svg

BOMB = '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
FILE = '<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
SCRIPT = "The drawing holds a script."
OUTSIDE = "The drawing refers to something outside its file."
ENTITY = "The drawing holds entities."
USE = '<use href="#a"/>'
COPIES = "The drawing copies parts that hold copies themselves."
TOO_MANY = "The drawing has more than 5000 parts."
NEITHER = "The file is neither a PNG nor an SVG picture."


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (svg("<script>alert(1)</script>"), SCRIPT),
        (svg('<SCRIPT href="#a"/>'), SCRIPT),
        (svg('<g onclick="go()"/>'), SCRIPT),
        (svg(root='viewBox="0 0 9 9" onload="go()"'), SCRIPT),
        (svg('<a xlink:href=" java&#10;script:go()"/>'), SCRIPT),
        (svg('<use xlink:href="https://example.org/a.svg#b"/>'), OUTSIDE),
        (svg('<use href="other.svg#b"/>'), OUTSIDE),
        (svg('<use href="data:image/svg+xml;base64,AAAA"/>'), OUTSIDE),
        (svg('<rect fill="url(https://example.org/a.svg#b)"/>'), OUTSIDE),
        (svg("<rect style=\"fill: url( 'a.svg#b' )\"/>"), OUTSIDE),
        (svg("<style>@import 'https://example.org/a.css';</style>"), OUTSIDE),
        (svg("<style>rect { fill: url(a.svg) }</style>"), OUTSIDE),
        (svg(before='<?xml-stylesheet href="a.css"?>'), OUTSIDE),
        (svg("&b;", before=BOMB), ENTITY),
        (svg("&a;", before=FILE), ENTITY),
        (svg("<foreignObject><p>Hello</p></foreignObject>"), "The drawing holds foreign content."),
        (svg('<image href="#a"/>'), "The drawing holds another picture."),
        (
            svg('<image xlink:href="data:image/png;base64,AAAA"/>'),
            "The drawing holds another picture.",
        ),
        (svg('<filter><feImage href="#a"/></filter>'), "The drawing holds another picture."),
        (
            svg("<text>Quayside</text>"),
            "The drawing holds text. Turn the text into outlines before you save it.",
        ),
        (svg('<g id="a"><g id="b"/><use href="#b"/></g><use xlink:href="#a"/>'), COPIES),
        (svg('<g id="a"><use href="#a"/></g>'), COPIES),
        (svg(f'<g id="a">{"<g/>" * 500}</g>{9 * USE}'), TOO_MANY),
        (svg("<g/>" * 5000), TOO_MANY),
        (svg(root='width="0" height="0"'), "The drawing can't be read."),
        (svg('<path d="M nonsense"/>'), "The drawing can't be read."),
        (svg("<g>" * 4000 + "</g>" * 4000), "The drawing can't be read."),
        (svg("<g>"), NEITHER),
        (b"<html xmlns='http://www.w3.org/1999/xhtml'/>", NEITHER),
        (b"<svg/>", NEITHER),
        (b"not a drawing", NEITHER),
        (b"", NEITHER),
    ],
)
def test_a_drawing_that_is_not_taken_is_refused_in_one_sentence(data, sentence):
    with pytest.raises(ValidationError) as refusal:
        check_logo(data)

    assert refusal.value.messages == [sentence]


@pytest.mark.parametrize(
    "data",
    [
        svg(),
        svg('<defs><g id="a"/></defs><use xlink:href="#a"/>'),
        svg('<linearGradient id="s"/><circle r="5" fill="url(#s)" style="stroke: url( \'#s\' )"/>'),
        svg("<style>rect { fill: #0e5f66 }</style>"),
        svg(before='<?xml version="1.0" encoding="UTF-8"?>'),
        svg(before='<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd">'),
    ],
)
def test_a_drawing_of_its_own_lines_and_areas_is_taken(data):
    check_logo(data)

    assert as_address(data).startswith("data:image/svg+xml;base64,")


def test_a_drawing_has_the_proportion_of_its_frame():
    drawn = drawing(svg())

    assert drawn.width / drawn.height == pytest.approx(5)


def test_a_copied_part_is_drawn_where_it_is_copied_to():
    copied = drawing(svg('<defs><rect id="a" width="3" height="2"/></defs><use href="#a"/>'))

    assert list(widths(copied)) == [100, 3]


def widths(part):
    if isinstance(part, Rect):
        yield part.width
    for inner in getattr(part, "contents", ()):
        yield from widths(inner)
