"""The loading ladder: its stages and policies, and where a person comes in."""

from .entry import Entry, EntryFindings, Irritability, enter
from .stages import STAGES, PainLimits, Policy, Stage, StageRow, stage_doses, stage_row

__all__ = [
    "STAGES",
    "Entry",
    "EntryFindings",
    "Irritability",
    "PainLimits",
    "Policy",
    "Stage",
    "StageRow",
    "enter",
    "stage_doses",
    "stage_row",
]
