"""Whole years between days; who is born on 29 February grows older on 1 March in other years."""

from datetime import date


def age_on(born: date, *, today: date) -> int:
    """Return the age in whole years. Raises ValueError when born after today."""
    if born > today:
        raise ValueError(f"{born} is after {today}")
    return today.year - born.year - ((today.month, today.day) < (born.month, born.day))


def years_later(day: date, years: int) -> date:
    """Return the same day so many years later; 29 February becomes 1 March in a year without one."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, month=3, day=1)
