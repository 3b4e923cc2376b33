"""The interval racket program: strokes, serves and games, step by step.

Source
------
Myers 2016, Sports Health 8(6):536–540, doi:10.1177/1941738116657074, table 2 (elite level). It is a
general program, not made for the elbow; rest 90 s after two games.
"""

from dataclasses import dataclass

from clinic.evidence import Status

from .lifting import LiftingStep, lifting_steps

RACKET, LIFTING = "racket", "lifting"
SOURCE = "Myers 2016, Sports Health 8:536–540, doi:10.1177/1941738116657074"
STATUS = Status.PUBLISHED
REST_AFTER_TWO_GAMES_S = 90


@dataclass(frozen=True, kw_only=True)
class IntervalStep:
    """One step. The percentage is of full intensity, of strokes and serves; a match has no counts."""

    number: int
    ground_strokes: int = 0
    stroke_percent: int | None = None
    serves: int = 0
    games: int | None = None
    simulated_match: bool = False


def _step(
    number: int, strokes: int, percent: int, serves: int, games: int | None = None
) -> IntervalStep:
    return IntervalStep(
        number=number, ground_strokes=strokes, stroke_percent=percent, serves=serves, games=games
    )


# step, ground strokes, %, serves, games
INTERVAL_STEPS: tuple[IntervalStep, ...] = (
    _step( 1,  10,  50,   0),
    _step( 2,  10,  50,   2),
    _step( 3,  10,  50,   3),
    _step( 4,  12,  50,   4),
    _step( 5,  12,  50,   6),
    _step( 6,  14,  60,   8,  2),
    _step( 7,  18,  60,  10),
    _step( 8,  22,  60,  12),
    _step( 9,  26,  60,  14),
    _step(10,  28,  60,  16,  4),
    _step(11,  28,  80,  16,  4),
    _step(12,  42,  80,  24,  6),
    _step(13,  56,  80,  32,  8),
    _step(14,  42,  90,  24,  6),
    _step(15,  56,  90,  32,  8),
    _step(16,  84,  90,  48, 10),
    _step(17, 112,  90,  64, 12),
    _step(18,  56, 100,  32,  8),
    _step(19, 168, 100,  96, 14),
    _step(20, 224, 100, 128, 16),
    IntervalStep(number=21, simulated_match=True),
)  # fmt: skip


def return_steps(
    plan: str, *, job_kg: float | None = None
) -> tuple[IntervalStep, ...] | tuple[LiftingStep, ...]:
    """Return the steps of a return plan: "racket" has 21, "lifting" those up to the job's load in kg.

    No plan has none. Raises ValueError for another plan, or for lifting without a job's load.
    """
    if plan == LIFTING:
        if job_kg is None:
            raise ValueError("graded lifting needs the load of the job")
        return lifting_steps(job_kg)
    if plan not in (RACKET, ""):
        raise ValueError(f"there is no return plan called {plan}")
    return INTERVAL_STEPS if plan else ()
