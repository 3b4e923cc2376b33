"""Paper: page, print size, styles, and what every page of a sheet repeats."""

import datetime
import io
import itertools
from dataclasses import dataclass, fields
from functools import partial

from django.utils import translation
from django.utils.translation import gettext
from reportlab import rl_config
from reportlab.lib.pagesizes import A4, LETTER, landscape
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from clinic.templatetags.clinic_tags import written

from . import fonts
from .identity import date_file, identified
from .late_pages import LatePages
from .letterhead import Letterhead
from .pieces import RULE, Mark, Paragraph, markup
from .styles import LARGE, NORMAL, Styles, styles

__all__ = ["A4", "LARGE", "LETTER", "NORMAL", "ClinicContact", "Paper", "Running", "Styles", "pdf"]

# Streams as bytes: as ASCII text, the default, they are a quarter longer and take time to write.
rl_config.useA85 = 0


@dataclass(frozen=True, kw_only=True)
class Paper:
    """A page in points and the size of its body text, 12 or 18 pt; `noted` when notes stand in a margin."""

    page: tuple[float, float] = A4
    body: int = NORMAL
    sideways: bool = False
    noted: bool = True
    edge: float = 18 * mm

    @property
    def size(self) -> tuple[float, float]:
        return landscape(self.page) if self.sideways else self.page

    @property
    def large(self) -> bool:
        return self.body > NORMAL

    @property
    def width(self) -> float:
        return self.size[0] - 2 * self.edge

    @property
    def margin(self) -> float:
        """Width of the column for notes; large print has none, its notes fold under their line."""
        return 41 * mm if self.noted and not self.large and not self.sideways else 0

    @property
    def gutter(self) -> float:
        return 8 * mm if self.margin else 0

    @property
    def column(self) -> float:
        return self.width - self.margin - self.gutter

    def scaled(self, points: float) -> float:
        return points * self.body / NORMAL


@dataclass(frozen=True, kw_only=True)
class ClinicContact:
    """How the patient reaches the clinic, whom they call in an emergency, its `page` and its logo."""

    name: str
    address: str
    phone: str
    emergency_phone: str
    page: tuple[float, float] = A4
    logo: bytes = b""


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """What every sheet says: whose it is and of which day."""

    clinic: ClinicContact
    patient: str
    record: str
    on: datetime.date


@dataclass(frozen=True, kw_only=True)
class Running(Sheet):
    """What every page of a sheet repeats; `standing` says whether a record is signed.

    `made_on` dates the file of a sheet about an earlier day.
    """

    title: str
    version: int | None = None
    standing: str = ""
    made_on: datetime.date | None = None

    @classmethod
    def of(cls, sheet: Sheet, title: str, **more) -> "Running":
        told = {field.name: getattr(sheet, field.name) for field in fields(Sheet)}
        return cls(title=title, **(told | more))


class _Document(BaseDocTemplate):
    """A document whose head and foot are drawn after the body, so that readers hear the body first."""

    def __init__(self, running: Running, paper: Paper):
        self.file = io.BytesIO()
        super().__init__(
            self.file,
            pagesize=paper.size,
            title=f"{running.title} {self._numbered(running)}, {running.record}",
            author=running.clinic.name,
            lang=translation.get_language() or "en",
            displayDocTitle=True,
            invariant=1,
            initialFontName=fonts.REGULAR,
            initialFontSize=paper.body,
        )
        self.running, self.paper = running, paper
        self.heads = itertools.count(1)
        self.head, self.foot = self._head(), self._foot()
        self.letterhead = Letterhead(
            running.clinic.logo,
            above=paper.edge * 0.7 + styles(paper.body).running.leading,
            turned=paper.sideways,
        )
        first, later = self._frame(0), self._frame(self.letterhead.drop)
        self.addPageTemplates([
            PageTemplate("first", [first], autoNextPageTemplate="later"),
            PageTemplate("later", [later]),
        ])  # fmt: skip

    def _frame(self, more: float) -> Frame:
        """The place of the body on a page, with so much more than the first page has."""
        paper = self.paper
        return Frame(
            paper.edge, paper.edge * 0.7 + self.foot_height + 8, paper.column, self.room + more, id="body",
            leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
        )  # fmt: skip

    def _head(self) -> list[Paragraph]:
        look = styles(self.paper.body)
        return [
            Paragraph(f"<b>{markup(self.running.clinic.name)}</b>", look.running),
            Paragraph(markup(self.running.title), look.running_end),
        ]

    def _foot(self) -> list[Paragraph]:
        look, repeated = styles(self.paper.body), self.running
        clinic = repeated.clinic
        contact = ", ".join(
            part for part in [*clinic.address.split("\n"), clinic.phone] if part.strip()
        )
        who = gettext("%(patient)s · record %(record)s · %(date)s") % {
            # Checked by itself first, so that a refusal quotes the name and not the line.
            "patient": fonts.readable(repeated.patient),
            "record": repeated.record,
            "date": written(repeated.on),
        }
        standing = [f"<b>{markup(repeated.standing)}</b>"] if repeated.standing else []
        lines = [markup(who), *standing, markup(contact)]
        return [Paragraph(line, look.running) for line in lines]

    def beforeDocument(self) -> None:
        date_file(self.canv, self.running.made_on or self.running.on)

    def _end(self, page: int, pages: int) -> Paragraph:
        return Paragraph(markup(self._where(page, pages)), styles(self.paper.body).running_end)

    def _where(self, page: int, pages: int) -> str:
        where = gettext("page %(page)s of %(pages)s") % {"page": page, "pages": pages}
        if self.running.version is None:
            return where
        program = gettext("Program %(version)s") % {"version": self.running.version}
        return f"{program} · {where}"

    @staticmethod
    def _numbered(running: Running) -> str:
        """A sheet of a program is known by its version, any other by its day."""
        by_day = running.standing or running.version is None
        return written(running.on) if by_day else str(running.version)

    @property
    def sides(self) -> tuple[float, float]:
        """Widths of the left and right halves of head and foot."""
        look = styles(self.paper.body).running_end
        # The room of the body is known before the pages are: room for two figures each.
        words = (self._where(99, 99), self.running.title)
        needed = max(stringWidth(text, look.fontName, look.fontSize) for text in words) + 1
        right = max(50 * mm, min(needed, self.paper.width / 2))
        return self.paper.width - right, right

    @property
    def room(self) -> float:
        """Points that logo, head and foot leave on the first page; the others have no less."""
        around = self.letterhead.drop + self.head_height + self.foot_height + 16
        return self.paper.size[1] - 1.4 * self.paper.edge - around

    @property
    def head_height(self) -> float:
        (left, right), (name, title) = self.sides, self.head
        return max(name.wrap(left - self.letterhead.indent, 999)[1], title.wrap(right, 999)[1])

    @property
    def foot_height(self) -> float:
        who, *others = self.foot
        below = sum(part.wrap(self.paper.width, 999)[1] for part in others)
        return who.wrap(self.sides[0], 999)[1] + below

    def finish(self, canvas: Canvas, page: int, pages: int) -> None:
        """Draw head and foot on a page, on the first one the logo too."""
        first, logo = page == 1, self.letterhead
        self._draw_running(
            canvas, self._end(page, pages),
            drop=logo.drop if first else 0, indent=logo.indent if first else 0,
        )  # fmt: skip
        if first:
            logo.draw(canvas, self.paper.edge, self.paper.size[1])

    def _draw_running(self, canvas: Canvas, end: Paragraph, *, drop: float, indent: float) -> None:
        paper, (left, right) = self.paper, self.sides
        top = paper.size[1] - paper.edge * 0.7 - drop
        bottom = paper.edge * 0.7
        self._place(canvas, self.head[0], paper.edge + indent, top, left - indent)
        self._place(canvas, self.head[1], paper.edge + left, top, right)
        self._rule(canvas, bottom + self.foot_height + 3)
        below = self._place(canvas, self.foot[0], paper.edge, bottom + self.foot_height, left)
        self._place(canvas, end, paper.edge + left, bottom + self.foot_height, right)
        for part in self.foot[1:]:
            below = self._place(canvas, part, paper.edge, below, paper.width)

    def _place(self, canvas, part: Paragraph, x: float, top: float, width: float) -> float:
        height = part.wrap(width, 999)[1]
        part.drawOn(canvas, x, top - height)
        return top - height

    def _rule(self, canvas: Canvas, y: float) -> None:
        canvas.setStrokeColor(RULE)
        canvas.setLineWidth(0.6)
        canvas.line(self.paper.edge, y, self.paper.edge + self.paper.width, y)

    def afterFlowable(self, flowable: Flowable) -> None:
        title = listed_as(flowable)
        if title:
            key = f"head-{next(self.heads)}"
            self.canv.mark_place(key)
            self.canv.addOutlineEntry(title, key, level=0)


def listed_as(part: Flowable) -> str:
    """The entry of a part in the list to jump from: the words of a heading, or of a `Mark` in its place."""
    if isinstance(part, Mark):
        return part.title
    is_heading = isinstance(part, Paragraph) and part.style.name == "head"
    return part.getPlainText() if is_heading else ""


def pdf(story: list[Flowable], running: Running, paper: Paper) -> bytes:
    """Set a sheet; head and foot are drawn when its pages are counted."""
    sheet = _Document(running, paper)
    sheet.build(story, canvasmaker=partial(LatePages, finish=sheet.finish))
    return identified(sheet.file.getvalue())


def room(running: Running, paper: Paper) -> float:
    """Return how high, in points, what stands on one page of a sheet may be."""
    return _Document(running, paper).room
