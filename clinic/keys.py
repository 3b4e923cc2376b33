"""Every key that does something, in words. Pages give the letters as `accesskey`; a test ties the two."""

from dataclasses import dataclass

from clinic.wording import gettext_noop as _


@dataclass(frozen=True, slots=True)
class Key:
    """One key or several that do the same, and what it does."""

    keys: tuple[str, ...]
    does: str


@dataclass(frozen=True, slots=True)
class Group:
    """Keys that work in one place, which a page has where something matches the selector `where`.

    Without one they are access keys: any page may have them, and they need the browser's own keys.
    """

    place: str
    keys: tuple[Key, ...]
    where: str = ""

    @property
    def with_access(self) -> bool:
        return not self.where


ACCESS = Group(
    _("On every page"),
    (
        Key(("s",), _("the main button: save, book, sign, go on")),
        Key(("n",), _("“no” to the rest of the answers; a new patient or a new member of staff")),
        Key(("g",), _("the next step, of a case or of setting up")),
        Key(("b",), _("back to the case, or to the page before")),
        Key(("c",), _("open a case; note a call to the first who is due")),
        Key(("w",), _("the notes of a visit")),
        Key(("d",), _("the diary")),
        Key(("m",), _("the measures")),
        Key(("e",), _("decide")),
        Key(("t",), _("the first grip trial")),
        Key(("r",), _("start the rest between two trials")),
        Key(("v",), _("the values of a chart; how an e-mail reads")),
        Key(("h",), _("the ladder of a case as one picture")),
        Key(("p",), _("print")),
        Key(("f",), _("the free times, of a case or for what is chosen")),
        Key(("a",), _("with whom an appointment is")),
        Key(tuple("123456789"), _("book the free time with that number")),
        Key(("x",), _("cancel an appointment")),
        Key(("j",), _("the next day, week or part of a list")),
        Key(("k",), _("the day, week or part before")),
    ),
)
SCALE = Group(
    _("On a scale from 0 to 10"),
    (
        Key(tuple("0123456789"), _("choose that number; 1 and then 0 at once is 10")),
        Key(("−",), _("before a digit, where the scale goes below 0")),
        Key(("Backspace", "Delete"), _("not asked")),
    ),
    where="[data-scale]",
)
GRID = Group(
    _("In a table that is typed in"),
    (
        Key(("Enter",), _("to the next cell")),
        Key(("↑", "↓"), _("to the same cell of another row")),
    ),
    where="[data-grid]",
)
DIARY = Group(
    _("In the diary"),
    (
        Key(("a",), _("write the day as prescribed; the pain is yours to type")),
        Key(("←", "→"), _("to the cell beside")),
        Key(("r",), _("the remark of the day")),
        Key(("Page Down", "Page Up"), _("the week after, the week before")),
    ),
    where="[data-diary]",
)
BOOK = Group(
    _("In the book"),
    (
        Key(("←", "↑", "↓", "→"), _("to the next booking or free time")),
        Key(("Enter",), _("open the booking, or book the free time")),
        Key(("a",), _("arrived")),
        Key(("s",), _("seen")),
        Key(("m",), _("missed")),
        Key(("t",), _("take the mark back")),
        Key(("+", "−"), _("15 minutes longer, shorter")),
        Key(("Escape",), _("let a booking go that is drawn with the mouse")),
    ),
    where="[data-book]",
)
TRIAL = Group(
    _("After the number of a grip trial"),
    (
        Key(("f",), _("too fast: the trial does not count")),
        Key(("p",), _("past the first pain: the trial does not count")),
        Key(("x",), _("slipped, or read wrongly: the trial does not count")),
    ),
    where="[data-trial]",
)
PICTURE = Group(
    _("On a still picture"),
    (
        Key(("1", "2", "3"), _("choose a point")),
        Key(("←", "↑", "↓", "→"), _("move it; with Shift ten steps")),
    ),
    where="[data-points]",
)
SOURCES = Group(
    _("At a letter beside a figure"),
    (
        Key(("Enter",), _("to its source")),
        Key(("Escape",), _("back to the figure")),
    ),
    where="a.ref",
)
GROUPS = (ACCESS, SCALE, GRID, TRIAL, DIARY, PICTURE, BOOK, SOURCES)
