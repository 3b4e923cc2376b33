import datetime
import re
import xml.etree.ElementTree as ET

import pytest

from assessments.charting import chart_of
from assessments.charts import Chart, Span, draw, labelled_days, scale_of
from assessments.course import course_of
from tests.factories.assessments import create_grip
from tests.factories.cases import create_case, create_visit

DAYS = tuple(datetime.date(2026, 3, 2) + datetime.timedelta(days=n) for n in (0, 14, 42))


def chart(**changes):
    """Pain-free grip at three visits, with its error."""
    plain = {
        "title": "Pain-free grip",
        "unit": "N",
        "points": tuple(zip(DAYS, (120, 160, 213), strict=True)),
        "error": 92,
        "error_label": "within error",
    }
    return Chart(**(plain | changes))


def shapes(drawn, kind):
    return [shape for shape in ET.fromstring(drawn).iter() if shape.get("class") == kind]


def words(drawn):
    return [text.text for text in ET.fromstring(drawn).iter("text")]


def test_each_value_is_a_point_at_its_height_on_the_scale():
    scale = scale_of(chart())
    points = [(float(p.get("cx")), float(p.get("cy"))) for p in shapes(draw(chart()), "point")]

    assert (scale.low, scale.high) == (0, 400)
    assert points == [(scale.x(day), scale.y(value)) for day, value in chart().points]
    assert [x for x, _y in points] == [56, pytest.approx(298.7), 784]


def test_the_error_band_lies_around_the_first_value():
    [band] = shapes(draw(chart()), "error-band")
    scale = scale_of(chart())

    top, height = float(band.get("y")), float(band.get("height"))
    assert top == scale.y(120 + 92)
    assert top + height == pytest.approx(scale.y(120 - 92))


def test_without_a_published_error_there_is_no_band():
    assert shapes(draw(chart(error=None)), "error-band") == []


def test_the_axis_has_its_unit_and_the_dates_are_written_out():
    assert words(draw(chart(error=None))) == [
        "0", "100", "200", "300", "400 N", "2 Mar 2026", "16 Mar 2026", "13 Apr 2026",
    ]  # fmt: skip


def test_a_ratio_is_labelled_with_as_many_decimals_as_it_needs():
    ratio = chart(unit="", error=None, places=2, points=((DAYS[0], 0.42), (DAYS[1], 0.72)))

    assert words(draw(ratio))[:5] == ["0.00", "0.20", "0.40", "0.60", "0.80"]


def test_dates_that_would_run_into_each_other_are_left_out_but_never_the_last():
    close = tuple((DAYS[0] + datetime.timedelta(days=n), 100) for n in (0, 1, 2, 90, 91))

    days = labelled_days(chart(points=close), scale_of(chart(points=close)))

    assert days == (close[0][0], close[-1][0])


def test_stages_are_shaded_in_turn_and_named():
    spans = (
        Span(label="isometric", since=DAYS[0], until=DAYS[1]),
        Span(label="light isotonic", since=DAYS[1]),
    )
    drawn = draw(chart(spans=spans))

    assert len(shapes(drawn, "stage-shade")) == 1
    assert words(drawn)[:2] == ["isometric", "light isotonic"]


def test_a_chart_is_told_to_those_who_do_not_see_it():
    drawn = draw(chart(title="Grip <b>", description="3 values"))

    root = ET.fromstring(drawn)
    assert (root.get("role"), root[0].text, root[1].text) == ("img", "Grip <b>", "3 values")


def test_a_chart_carries_no_style():
    spans = (Span(label="isometric", since=DAYS[0]),)

    assert re.findall(r"style=|<style|\son\w+=", draw(chart(spans=spans))) == []


def test_one_value_is_drawn_as_one_point():
    drawn = draw(chart(points=((DAYS[0], 120),)))

    assert (len(shapes(drawn, "point")), len(shapes(drawn, "series"))) == (1, 0)


def test_a_chart_without_values_is_refused():
    with pytest.raises(ValueError, match="at least one point"):
        draw(chart(points=()))


@pytest.mark.django_db
def test_the_grip_chart_shows_the_other_side_and_the_error_of_its_trials():
    case = create_case()
    visit = create_visit(case=case)
    create_grip(visit=visit, trials_n=(118, 126, 121))
    create_grip(visit=visit, trials_n=(300, 310, 305), side=case.affected.other)

    drawn = chart_of(course_of(case), "grip_pain_free")

    assert (drawn.points, drawn.error) == (((visit.on, pytest.approx(121.6667)),), 92)
    assert drawn.beside == ((visit.on, 305),)


@pytest.mark.django_db
def test_a_measure_without_values_has_no_chart():
    assert chart_of(course_of(create_case()), "prtee") is None
