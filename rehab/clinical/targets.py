"""Which gate ahead of a stage is a value of one measure, so that a chart can show how far it is.

The gates themselves, with source and status, are rows of `thresholds`; no published elbow program gates
its stages on them.
"""

from .stages import Stage
from .thresholds import DEFAULTS, Limits, Threshold

# By the measure's key in the register; the codes are rows of `thresholds`.
TARGETS: dict[Stage, dict[str, str]] = {
    Stage.ISOMETRIC: {"pain_at_rest": "rest_pain", "grip_ratio": "ratio_for_heavy"},
    Stage.LIGHT_ISOTONIC: {"grip_ratio": "ratio_for_heavy"},
    Stage.SLOW_RESISTANCE: {"grip_ratio": "ratio_for_heavy", "prtee": "prtee_for_heavy"},
    Stage.HEAVY_AND_FAST: {"grip_ratio": "ratio_for_return"},
    Stage.RETURN_TO_ACTIVITY: {"grip_ratio": "ratio_for_return", "prtee": "prtee_for_discharge"},
}


def targets_of(stage: Stage, limits: Limits = DEFAULTS) -> dict[str, tuple[Threshold, ...]]:
    """Return the gates ahead of a stage by measure, each with its value in the measure's own unit."""
    return {key: (limits[code],) for key, code in TARGETS[stage].items()}
