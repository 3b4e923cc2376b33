"""What is prescribed, what was done at home, and what was decided."""

from rehab.models.case_export import CaseExport, ExportedCase
from rehab.models.decision import Decision
from rehab.models.diary import DiaryDay
from rehab.models.equipment import Equipment
from rehab.models.handout import Handout, HandoutFile
from rehab.models.own_card import HiddenCard, OwnCard
from rehab.models.pack import Pack, PackRun
from rehab.models.program import Program
from rehab.models.program_exercise import ProgramExercise
from rehab.models.record_copy import CopyPart, RecordCopy
from rehab.models.stage_check import StageCheck
from rehab.models.threshold_change import ThresholdChange

__all__ = [
    "CaseExport",
    "CopyPart",
    "Decision",
    "DiaryDay",
    "Equipment",
    "ExportedCase",
    "Handout",
    "HandoutFile",
    "HiddenCard",
    "OwnCard",
    "Pack",
    "PackRun",
    "Program",
    "ProgramExercise",
    "RecordCopy",
    "StageCheck",
    "ThresholdChange",
]
