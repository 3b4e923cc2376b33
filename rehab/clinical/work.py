"""How much a program asks for: volume load and time under tension, in a session and in a week.

Sets × repetitions × kg, and sets × repetitions × seconds (both from memory). The ratio of this week's work to
that of the weeks before is not worked out: its authors' critics found no causal evidence (Impellizzeri 2020;
Lolli 2019, Br J Sports Med 53:1510) and call for its dismissal.
"""

from dataclasses import dataclass

from .dose import Dose


@dataclass(frozen=True, kw_only=True)
class Work:
    """What one exercise comes to. Volume in kg, None without repetitions or load; tension in seconds."""

    session_kg: float | None
    week_kg: float | None
    session_s: float
    week_s: float


def work_of(dose: Dose) -> Work:
    """Return a dose's volume load and time under tension; unknown tempo counts as 0 seconds."""
    sessions = dose.sessions_per_day * dose.days_per_week
    volume, tension = dose.volume_load_kg(), dose.time_under_tension_s()
    return Work(
        session_kg=volume,
        week_kg=None if volume is None else volume * sessions,
        session_s=tension,
        week_s=tension * sessions,
    )


def change_percent(now: float | None, before: float | None) -> float | None:
    """Return the change of a week's work in % of the week before, or None where there is none to compare."""
    if now is None or not before:
        return None
    return 100 * (now - before) / before
