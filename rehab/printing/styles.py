"""The styles of both print sizes: large print is set anew, not enlarged."""

from dataclasses import dataclass
from functools import cache

from reportlab.lib.styles import ParagraphStyle

from . import fonts
from .pieces import INK, SOFT

NORMAL, LARGE = 12, 18
# Points of running text in normal print; how much larger names, headings and figures become in large print.
TEXT, STANDS_OUT = 12, 1.3


@dataclass(frozen=True, kw_only=True)
class Styles:
    """The styles of one print size."""

    name: ParagraphStyle
    long_name: ParagraphStyle
    soft: ParagraphStyle
    lead: ParagraphStyle
    head: ParagraphStyle
    dose: ParagraphStyle
    body: ParagraphStyle
    item: ParagraphStyle
    note_head: ParagraphStyle
    note: ParagraphStyle
    cell: ParagraphStyle
    figure: ParagraphStyle
    running: ParagraphStyle
    running_end: ParagraphStyle


@cache
def styles(body: int) -> Styles:
    """Return the styles for a body size in points."""
    fonts.register()

    def style(name: str, size: float, leading: float, font: str = fonts.REGULAR, **more):
        # What stands out by its size needs no larger share of a page in large print.
        scale = min(body / NORMAL, STANDS_OUT) if size > TEXT else body / NORMAL
        # Larger type needs a little less space between lines, and an exercise must fit a page.
        airy = 1 if body == NORMAL else 0.95
        return ParagraphStyle(
            name,
            fontName=font,
            bulletFontName=font,
            fontSize=size * scale,
            bulletFontSize=size * scale,
            leading=leading * scale * airy,
            textColor=more.pop("color", INK),
            allowWidows=0,
            allowOrphans=0,
            embeddedHyphenation=1,
            **{key: value * scale for key, value in more.items()},
        )

    running = ParagraphStyle(
        "running", fontName=fonts.REGULAR, fontSize=10 if body == NORMAL else 14,
        leading=13 if body == NORMAL else 18, textColor=SOFT, embeddedHyphenation=1,
    )  # fmt: skip
    head = style("head", 16, 20, fonts.SEMIBOLD, spaceBefore=12, spaceAfter=4)
    return Styles(
        name=style("name", 28, 32, fonts.SEMIBOLD, spaceAfter=2),
        long_name=style("long_name", 19, 23, fonts.SEMIBOLD, spaceAfter=2),
        soft=style("soft", 12, 17, color=SOFT, spaceAfter=8),
        lead=style("lead", 17, 22.5, fonts.LIGHT, spaceAfter=4),
        head=head,
        dose=style("dose", 30, 37, spaceAfter=2),
        body=style("body", 12, 17.5, spaceAfter=5),
        item=style("item", 12, 16.5, leftIndent=18, bulletIndent=2, spaceAfter=1.5),
        note_head=style("note_head", 12, 15.5, fonts.SEMIBOLD),
        note=style("note", 12, 15.5, color=SOFT, spaceAfter=8),
        cell=style("cell", 12, 15.5),
        figure=style("figure", 20, 24, fonts.SEMIBOLD),
        running=running,
        running_end=ParagraphStyle("running_end", running, alignment=2),
    )
