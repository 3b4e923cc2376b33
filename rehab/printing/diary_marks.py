"""What a day of the diary asks for, in the order in which it is typed in, in either size of print."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from django.utils.formats import date_format
from django.utils.translation import gettext
from reportlab.platypus import Flowable

from .marks import Boxes
from .paper import Styles
from .pieces import para, unbroken

if TYPE_CHECKING:
    from .diary_page import DiaryPage

MOST_BOXES = 10


def labels(page: DiaryPage) -> tuple[str, ...]:
    """The columns that are typed in."""
    last = gettext("Last set: seconds") if page.holds else gettext("Last set: repetitions")
    return (
        gettext("Day"),
        gettext("Sets done"),
        last,
        gettext("Weight, kg"),
        gettext("Worst pain during"),
        gettext("Pain next morning"),
        gettext("Times woken at night"),
        gettext("Sharp pain or locking"),
    )


def others_label() -> str:
    return gettext("Other exercises")


def day_words(day: date) -> str:
    return unbroken(date_format(day, gettext("D j M")))


def set_boxes(page: DiaryPage, look: Styles, side: float, across: int) -> Flowable:
    """A box for each set; more than can be ticked are written as a number."""
    if page.sets > MOST_BOXES:
        asked = gettext("___ of %(sets)s") % {"sets": page.sets}
        return para(unbroken(asked), look.note_head)
    return Boxes(page.sets, side, across)
