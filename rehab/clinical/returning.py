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
    """One step. Percentages are of full intensity; the last step is a match and has no counts."""

    number: int
    phase: int
    ground_strokes: int = 0
    stroke_percent: int | None = None
    serves: int = 0
    serve_percent: int | None = None
    second_serves_only: bool = False
    total: int = 0
    games: int | None = None
    simulated_match: bool = False


def _step(number: int, phase: int, strokes: int, percent: int, serves: int, total: int,
          games: int | None = None) -> IntervalStep:  # fmt: skip
    return IntervalStep(
        number=number,
        phase=phase,
        ground_strokes=strokes,
        stroke_percent=percent,
        serves=serves,
        serve_percent=percent if serves else None,
        second_serves_only=2 <= number <= 5,
        total=total,
        games=games,
    )


# step, phase, ground strokes, %, serves, total as printed, games
INTERVAL_STEPS: tuple[IntervalStep, ...] = (
    _step( 1, 1,  10,  50,   0,  10),
    _step( 2, 1,  10,  50,   2,  12),
    _step( 3, 1,  10,  50,   3,  13),
    _step( 4, 1,  12,  50,   4,  16),
    _step( 5, 1,  12,  50,   6,  18),
    _step( 6, 2,  14,  60,   8,  22,  2),
    _step( 7, 2,  18,  60,  10,  28),
    _step( 8, 2,  22,  60,  12,  34),
    _step( 9, 2,  26,  60,  14,  40),
    _step(10, 2,  28,  60,  16,  44,  4),
    _step(11, 3,  28,  80,  16,  44,  4),
    _step(12, 3,  42,  80,  24,  66,  6),
    _step(13, 3,  56,  80,  32,  88,  8),
    _step(14, 3,  42,  90,  24,  66,  6),
    _step(15, 3,  56,  90,  32,  88,  8),
    _step(16, 3,  84,  90,  48, 132, 10),
    _step(17, 3, 112,  90,  64, 176, 12),
    _step(18, 3,  56, 100,  32,  88,  8),
    _step(19, 3, 168, 100,  96, 264, 14),
    _step(20, 3, 224, 100, 128, 352, 16),
    IntervalStep(number=21, phase=3, simulated_match=True),
)  # fmt: skip


def totals_agree() -> bool:
    """Return whether ground strokes and serves add up to the printed total on every row."""
    return all(row.ground_strokes + row.serves == row.total for row in INTERVAL_STEPS)


def interval_step(number: int) -> IntervalStep:
    """Return a step (1–21) of the interval program (Myers 2016). Raises ValueError outside it."""
    if not 1 <= number <= len(INTERVAL_STEPS):
        raise ValueError(f"step {number} is not in 1 to {len(INTERVAL_STEPS)}")
    return INTERVAL_STEPS[number - 1]


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
