"""Dates and times as other programs write them, in the order that somebody has said.

Source
------
ISO 8601 for year-month-day. Day first and month first are habits of places; which one a column keeps to shows
only where a day is past 12, so a column that never has one is asked about, not guessed.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time

from clinic.wording import gettext_noop

ISO, DAY_FIRST, MONTH_FIRST = "iso", "day", "month"
ORDERS = {
    DAY_FIRST: gettext_noop("day first"),
    MONTH_FIRST: gettext_noop("month first"),
    ISO: gettext_noop("year first"),
}
YEAR_FIRST = re.compile(r"(\d{4})([-/. ])(\d{1,2})\2(\d{1,2})\.?|(\d{4})(\d{2})(\d{2})")
YEAR_LAST = re.compile(r"(\d{1,2})([-/. ])(\d{1,2})\2(\d{4})")
TIME = re.compile(r"(\d{1,2})(?:[:.h](\d{2})(?::\d{2}(?:\.0+)?)?)?\s*(?:([ap])\.?m\.?)?", re.I)
MOMENT = re.compile(r"(\d[\d./-]*\d)(?:,?\s+|T)(\d.*)", re.I)


def parse_date(text: str, order: str) -> date:
    """Return the day; what begins with four digits of a year is read so in any order.

    Raises ValueError for anything else, also for a year of two digits: which century is not guessed.
    """
    if found := YEAR_FIRST.fullmatch(text):
        year, month, day = (part for part in found.group(1, 3, 4, 5, 6, 7) if part)
        return date(int(year), int(month), int(day))
    found = YEAR_LAST.fullmatch(text)
    if not found or order not in (DAY_FIRST, MONTH_FIRST):
        raise ValueError(f"{text!r} is no date with the {order} first")
    first, second, year = (int(found.group(place)) for place in (1, 3, 4))
    day, month = (first, second) if order == DAY_FIRST else (second, first)
    return date(year, month, day)


def parse_time(text: str) -> time:
    """Return the time of day, such as 9:30, 09.30, 9h30, 9:30 am or 2 pm. Raises ValueError otherwise."""
    found = TIME.fullmatch(text.strip())
    if not found or not (found.group(2) or found.group(3)):
        raise ValueError(f"{text!r} is no time of day")
    hour, minute, half = int(found.group(1)), int(found.group(2) or 0), found.group(3)
    if half:
        if not 1 <= hour <= 12:
            raise ValueError(f"{text!r} is no time of day")
        hour = hour % 12 + (12 if half.lower() == "p" else 0)
    return time(hour, minute)


def parse_moment(text: str, order: str) -> tuple[date, time | None]:
    """Return a day and the time that may stand behind it. Raises ValueError as the two do."""
    found = MOMENT.fullmatch(text)
    if not found:
        return parse_date(text, order), None
    return parse_date(found.group(1), order), parse_time(found.group(2))


def only_day(text: str, order: str) -> date:
    """Return the day of a cell, which a spreadsheet may have given a midnight; otherwise ValueError."""
    day, clock = parse_moment(text, order)
    if clock not in (None, time()):
        raise ValueError(f"{text!r} is a day and a time")
    return day


@dataclass
class OrderCount:
    """How many dates of a column fit each order alone, and how many would mean two different days.

    `example` is the first of the latter: it shows what the order changes.
    """

    day_only: int = 0
    month_only: int = 0
    unclear: int = 0
    year_first: int = 0
    example: str = ""

    @classmethod
    def of(cls, texts: Iterable[str]) -> "OrderCount":
        """Return the counts over the cells of a column; what is no date in any order counts nowhere."""
        count = cls()
        for text in texts:
            count.add(text)
        return count

    def add(self, text: str) -> None:
        """Count one more cell."""
        day, month = _read(text, DAY_FIRST), _read(text, MONTH_FIRST)
        if day and day == month:
            self.year_first += text[:4].isdigit()
        elif day and month:
            self.unclear += 1
            self.example = self.example or text
        elif day or month:
            self.day_only += bool(day)
            self.month_only += bool(month)

    @property
    def settled(self) -> str | None:
        """The order that the column shows by itself; None when somebody has to say."""
        if self.day_only and self.month_only:
            return None
        if self.day_only or self.month_only:
            return DAY_FIRST if self.day_only else MONTH_FIRST
        if self.unclear:
            return None
        return ISO if self.year_first else DAY_FIRST


def _read(text: str, order: str) -> date | None:
    try:
        return parse_moment(text, order)[0]
    except ValueError:
        return None
