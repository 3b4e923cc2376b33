"""What a chart shows, and how it is laid out on a sheet."""

import datetime
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from assessments.charting import on_dial
from assessments.charts import (
    Chart,
    Mark,
    MarkKind,
    Overview,
    Panel,
    Slope,
    Span,
    Target,
    Waited,
)
from assessments.clinical.force import Unit
from assessments.drawing.chart import draw
from assessments.drawing.overview import draw_overview
from assessments.drawing.primitives import Anchor, Role, Shape
from assessments.drawing.scale import PAGE, PAPER, PHONE, ticks
from assessments.drawing.svg import svg
from assessments.drawing.widths import STRONGER, text_width
from clinic.templatetags.clinic_tags import written

START = datetime.date(2026, 3, 2)
FRAMES = (PAGE, PHONE, PAPER)


def day(number: int) -> datetime.date:
    return START + datetime.timedelta(days=number)


def chart(**changes) -> Chart:
    """Pain-free grip at three visits, with its error."""
    plain = {
        "title": "Pain-free grip",
        "unit": "N",
        "points": ((day(0), 120), (day(14), 160), (day(42), 213)),
        "places": 0,
        "error": 92,
        "error_words": ("within the measurement error of the start", "within error"),
    }
    return Chart(**(plain | changes))


def full(**changes) -> Chart:
    """A chart with everything that a chart can show."""
    everything = {
        "beside": ((day(0), 300), (day(42), 310)),
        "beside_label": "the other side",
        "spans": (
            Span(label="isometric", short="1", since=day(0), until=day(14)),
            Span(label="light isotonic", short="2", since=day(14)),
        ),
        "marks": (
            Mark(day=day(10), kind=MarkKind.INJECTION, label="corticosteroid injection"),
            Mark(day=day(20), kind=MarkKind.FLARE, label="too much"),
            Mark(day=day(22), kind=MarkKind.FLARE, label="too much"),
        ),
        "targets": (Target(value=250, words=("250: asked for stage 4", "target 250")),),
        "slope": Slope(
            start=(day(0), 125), end=(day(42), 210), words=("14 N a week better (9 to 20)",)
        ),
        "waited": (Waited(day=day(40), words=("89 % of untreated people", "89 %")),),
    }
    return chart(**(everything | changes))


def words(drawing, role=None) -> list[str]:
    return [text.words for text in drawing.texts if role in (None, text.role)]


def overlapping(drawing) -> list[tuple[str, str]]:
    texts = drawing.texts
    return [
        (one.words, other.words)
        for place, one in enumerate(texts)
        for other in texts[place + 1 :]
        if one.box.meets(other.box)
    ]


def outside(drawing) -> list[str]:
    return [
        text.words
        for text in drawing.texts
        if text.box.left < -0.1
        or text.box.top < 0
        or text.box.right > drawing.width + 0.1
        or text.box.bottom > drawing.height
    ]


def test_each_value_is_a_point_at_its_height():
    drawing = draw(chart())
    ys = [marker.at[1] for marker in drawing.of(Role.POINT)]
    axis, *grid = [
        path.points[0][1] for path in (*drawing.of(Role.AXIS)[:1], *drawing.of(Role.GRID))
    ]

    height = axis - grid[-1]
    assert [round((axis - y) / height * 250) for y in ys] == [120, 160, 213]


def test_a_force_is_drawn_as_the_dial_shows_it():
    drawn = on_dial(full(points=((day(0), 98.0665), (day(42), 196.133)), error=98.0665), Unit.KGF)

    assert [round(value, 9) for _day, value in (*drawn.points, (None, drawn.error))] == [10, 20, 10]
    assert [round(value, 2) for _day, value in drawn.beside] == [30.59, 31.61]
    assert (drawn.unit, drawn.slope, drawn.targets) == ("kg", None, ())
    assert "20" in words(draw(drawn), Role.VALUE)


@pytest.mark.parametrize(
    ("places", "values", "shown"),
    [(None, (6, 5, 0), None), (None, (30.7, 33, 44.5), 1), (2, (0.5, 1), 2)],
)
def test_the_values_of_a_table_have_as_many_decimals_as_each_other(places, values, shown):
    points = tuple((day(number), value) for number, value in enumerate(values))
    assert chart(points=points, places=places).column_places == shown


def test_points_lie_along_time_as_their_days_do():
    xs = [marker.at[0] for marker in draw(chart()).of(Role.POINT)]

    assert (xs[1] - xs[0]) / (xs[2] - xs[0]) == pytest.approx(14 / 42, abs=0.001)


def test_the_error_band_lies_around_the_first_value():
    drawing = draw(chart())
    [band], first = drawing.of(Role.ERROR_BAND), drawing.of(Role.POINT)[0]

    assert band.y + band.height / 2 == pytest.approx(first.at[1], abs=0.1)


def test_without_a_published_error_there_is_no_band():
    drawing = draw(chart(error=None))

    assert drawing.of(Role.ERROR_BAND) + drawing.of(Role.ERROR_EDGE) == ()


def test_the_axis_has_its_unit_and_the_dates_are_written_out():
    drawing = draw(chart(error=None))

    assert words(drawing, Role.LABEL) == [
        "0", "50", "100", "150", "200", "250 N",
        "13 Apr 2026", "2 Mar 2026", "16 Mar 2026", "120",
    ]  # fmt: skip
    assert words(drawing, Role.VALUE) == ["213"]


@pytest.mark.parametrize(
    ("low", "high", "reach", "places", "expected"),
    [
        (0, 10, 6, 0, (0, 2, 4, 6, 8, 10)),
        (0, 100, 49, 0, (0, 20, 40, 60, 80, 100)),
        (-5, 5, 3, 0, (-5, 0, 5)),
        (0, None, 600, 0, (0, 200, 400, 600)),
        (0, None, 0.97, 2, (0, 0.2, 0.4, 0.6, 0.8, 1)),
        (0, None, 0, 0, (0, 1)),
    ],
)
def test_an_axis_is_divided_as_people_count(low, high, reach, places, expected):
    assert ticks(low, high, reach=reach, places=places) == pytest.approx(expected)


def test_stages_are_shaded_in_turn_and_named():
    drawing = draw(full())

    assert len(drawing.of(Role.STAGE_SHADE)) == 1
    assert words(drawing)[:2] == ["isometric", "light isotonic"]


def test_a_stage_too_short_for_its_name_has_its_number():
    spans = (
        Span(label="isometric", short="1", since=day(0), until=day(2)),
        Span(label="light isotonic", short="2", since=day(2)),
    )

    assert words(draw(full(spans=spans)))[:2] == ["1", "light isotonic"]


def test_an_injection_and_a_flare_differ_by_shape_and_word():
    drawing = draw(full())

    marks = [marker.shape for marker in drawing.of(Role.MARK)]
    assert marks == [Shape.TRIANGLE, Shape.SQUARE, Shape.SQUARE]
    assert [w for w in words(drawing) if w in ("corticosteroid injection", "too much")] == [
        "corticosteroid injection",
        "too much",
    ]
    assert len(drawing.of(Role.MARK_LINE)) == 1


def test_what_the_lines_are_is_written_at_them():
    drawing = draw(full())

    at_lines = ["the other side", "250: asked for stage 4", "14 N a week better (9 to 20)"]
    assert [text for text in words(drawing) if text in at_lines] == at_lines


def test_the_untreated_stand_under_the_axis_and_on_no_scale():
    drawing = draw(full())
    line, ring = drawing.of(Role.UNTREATED)

    assert (
        ring.at[1] == line.points[0][1] > max(path.points[0][1] for path in drawing.of(Role.AXIS))
    )
    assert [w for w in words(drawing) if "untreated" in w] == ["89 % of untreated people"]


def test_a_share_that_was_observed_later_than_the_chart_ends_is_not_drawn():
    late = (Waited(day=day(400), words=("89 %",)),)

    assert draw(full(waited=late)).of(Role.UNTREATED) == ()


def test_a_mark_before_the_first_day_is_not_drawn():
    early = (Mark(day=day(-30), kind=MarkKind.INJECTION, label="injection"),)

    assert draw(full(marks=early)).of(Role.MARK) == ()


def test_one_value_is_one_point_with_its_figure_and_no_line():
    drawing = draw(chart(points=((day(0), 120),)))

    assert (len(drawing.of(Role.POINT)), drawing.of(Role.SERIES)) == (1, ())
    assert words(drawing, Role.VALUE) == ["120"]


def test_the_last_date_is_written_even_where_others_have_no_room():
    close = tuple((day(number), 100) for number in (0, 1, 2, 90, 91))
    dates = [text for text in words(draw(chart(points=close, error=None))) if "2026" in text]

    assert dates == ["1 Jun 2026", "2 Mar 2026"]


def test_a_chart_without_values_is_refused():
    with pytest.raises(ValueError, match="at least one point"):
        chart(points=())


VALUES = st.lists(
    st.tuples(st.integers(0, 730), st.integers(0, 600)), min_size=1, max_size=60, unique_by=lambda v: v[0]
)  # fmt: skip


# A steep fall to the foot of the sheet, at its edge.
@example(values=[(0, 0), (442, 71), (443, 0)], marked=[], gate=0)
@given(values=VALUES, marked=st.lists(st.integers(-50, 800), max_size=12), gate=st.integers(0, 600))
def test_no_words_overlap_or_leave_the_sheet(values, marked, gate):
    points = tuple((day(number), value) for number, value in sorted(values))
    marks = tuple(
        Mark(day=day(n), kind=list(MarkKind)[n % 2], label=("injection", "too much")[n % 2])
        for n in marked
    )
    target = Target(value=gate, words=(f"{gate}: asked for stage 4", f"target {gate}"))
    shown = full(points=points, beside=points[::2], marks=marks, targets=(target,), slope=None)

    for frame in FRAMES:
        drawing = draw(shown, frame)
        assert (overlapping(drawing), outside(drawing)) == ([], [])
        assert words(drawing, Role.VALUE) == [str(points[-1][1])]


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("value", [0, 600])
def test_values_at_the_rim_keep_their_figures_inside(frame, value):
    drawing = draw(chart(points=((day(0), value), (day(9), value)), high=600, error=None), frame)

    assert (words(drawing, Role.VALUE), outside(drawing)) == ([str(value)], [])


def overview(count: int = 3) -> Overview:
    panels = tuple(
        Panel(
            chart=full(title=f"PRTEE questionnaire, part {number}"),
            figures="213 N, start 120",
            change="better by 93 N, beyond error (92)",
        )
        for number in range(count)
    )
    shown = panels[0].chart
    return Overview(
        title="All", description="", panels=panels, since=day(0), until=day(60),
        spans=shown.spans, marks=shown.marks, waited=shown.waited,
    )  # fmt: skip


@pytest.mark.parametrize("frame", FRAMES)
def test_an_overview_names_each_measure_and_says_its_figures_without_overlap(frame):
    drawing = draw_overview(overview(), frame)
    said = " ".join(words(drawing))

    assert (overlapping(drawing), outside(drawing)) == ([], [])
    assert [said.count(part) for part in ("213 N", "(92)", "part")] == [3, 3, 3]


def test_all_measures_of_an_overview_stand_on_one_axis_of_time():
    drawing = draw_overview(overview())
    xs = [tuple(x for x, _y in path.points) for path in drawing.of(Role.SERIES)]

    assert xs == [xs[0]] * 3
    dates = [text for text in words(drawing) if "2026" in text]
    assert dates == ["13 Apr 2026", "2 Mar 2026", "16 Mar 2026"]


def test_an_overview_of_nothing_is_refused():
    with pytest.raises(ValueError, match="at least one measure"):
        replace(overview(), panels=())


@pytest.mark.parametrize("frame", FRAMES)
def test_the_page_shows_every_word_and_point_of_the_drawing(frame):
    drawing = draw(full(), frame)
    root = ET.fromstring(svg(drawing))

    assert [text.text for text in root.iter("text")] == words(drawing)
    dots = [dot for dot in root.iter("circle") if dot.get("class") == "point dot"]
    assert [(float(dot.get("cx")), float(dot.get("cy"))) for dot in dots] == [
        marker.at for marker in drawing.of(Role.POINT)
    ]


def test_a_drawing_is_told_to_those_who_do_not_see_it():
    root = ET.fromstring(svg(draw(chart(title="Grip <b>", description="3 values"))))

    assert (root.get("role"), root[0].text, root[1].text) == ("img", "Grip <b>", "3 values")


def test_a_drawing_carries_no_style():
    assert re.findall(r"style=|<style|\son\w+=|fill=|stroke=", svg(draw(full()))) == []


@pytest.mark.parametrize("words", ["Pain-free grip, N", "−0.5 (12–14) ½ áéíóúüñ", "%@W…"])
def test_words_are_as_wide_as_the_type_sets_them(words):
    from reportlab.pdfbase import pdfmetrics

    from rehab.printing import fonts

    fonts.register()
    regular, strong = (
        pdfmetrics.stringWidth(words, f, 12) for f in (fonts.REGULAR, fonts.SEMIBOLD)
    )
    known = "…" not in words
    assert (text_width(words, 12) == pytest.approx(regular)) is known
    assert text_width(words, 12, strong=True) >= strong
    assert text_width(words, 12) * STRONGER >= strong


def test_an_end_of_words_stands_where_its_anchor_says():
    text = draw(chart()).texts[0]
    right = replace(text, anchor=Anchor.END).box.right

    assert (right, replace(text, anchor=Anchor.START).box.left) == (text.x, text.x)


@given(number=st.integers(0, 730), late=st.integers(0, 400))
def test_a_date_is_written_at_its_own_day(number, late):
    points = ((day(0), 5), (day(number), 0))[: 1 + bool(number)]
    shown = full(points=points, beside=(), until=day(number + late), since=day(0))

    for frame in FRAMES:
        drawing = draw(shown, frame)
        dates = {
            text.words: text.box for text in drawing.texts if re.search(r" 20\d\d$", text.words)
        }
        last = drawing.of(Role.POINT)[-1].at[0]
        box = dates[written(points[-1][0])]
        assert box.left - 0.1 <= last <= box.right + 0.1
