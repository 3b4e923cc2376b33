"""All figures on one page, as Chromium draws them; with ARTIFACTS set, the picture is kept there."""

import os
import pathlib

import pytest

from cases.clinical import positions as tests
from cases.clinical.sides import Side
from cases.figures import svg
from rehab.clinical import positions as exercises

ROOT = pathlib.Path(__file__).resolve().parents[2]
SHEETS = ("variables", "base", "components/figure")
LAYOUT = """
    main { display: grid; grid-template-columns: repeat(4, auto); padding: 1rem }
    .figure { inline-size: 40mm; display: inline-block }
    h2 { font-size: 12px; margin: 0 }
"""
SIZES = """
    figures => figures.map(figure => {
      const frame = figure.getBoundingClientRect();
      const drawn = figure.getBBox();
      const box = figure.viewBox.baseVal;
      return {
        seen: frame.width > 100 && frame.height > 80,
        inside: drawn.x >= 0 && drawn.y >= 0 &&
          drawn.x + drawn.width <= box.width && drawn.y + drawn.height <= box.height,
        filled: drawn.width > box.width / 3 || drawn.height > box.height / 3,
      };
    })
"""


def sheet():
    """Return the page: each figure at about 40 mm, start beside end."""
    style = "".join((ROOT / f"static/css/{name}.css").read_text() for name in SHEETS)
    rows = "".join(
        f"<section><h2>{code} {side}</h2>{_pair(known, code, side)}</section>"
        for known in (tests, exercises)
        for code in known.BUILT
        for side in (Side.RIGHT, Side.LEFT)
    )
    return f"<!doctype html><title>Figures</title><style>{style}{LAYOUT}</style><main>{rows}</main>"


def _pair(known, code, side):
    return "".join(svg(known.figure(code, phase, side)) for phase in ("start", "end"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_figure_is_drawn_and_none_runs_over_its_frame(chromium, scheme):
    page = chromium.new_page(viewport={"width": 1400, "height": 900}, color_scheme=scheme)
    page.set_content(sheet())

    sizes = page.eval_on_selector_all(".figure", SIZES)
    if os.environ.get("ARTIFACTS"):
        kept = pathlib.Path(os.environ["ARTIFACTS"]) / f"figures-{scheme}.png"
        page.screenshot(path=kept, full_page=True)
    page.close()

    count = 4 * (len(tests.BUILT) + len(exercises.BUILT))
    assert sizes == [{"seen": True, "inside": True, "filled": True}] * count
