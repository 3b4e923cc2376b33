"""What is prescribed, what was done at home, and what was decided."""


from rehab.models.diary import DiaryDay
from rehab.models.program import Program, ProgramExercise

__all__ = ["DiaryDay", "Program", "ProgramExercise"]
