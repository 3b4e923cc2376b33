"""What is prescribed, what was done at home, and what was decided."""

from rehab.models.decision import Decision
from rehab.models.diary import DiaryDay
from rehab.models.program import Program, ProgramExercise
from rehab.models.stage_check import StageCheck

__all__ = ["Decision", "DiaryDay", "Program", "ProgramExercise", "StageCheck"]
