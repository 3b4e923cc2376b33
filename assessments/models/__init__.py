"""What was measured."""

from assessments.models.grip import GripTest, GripTrial
from assessments.models.measured import MeasuredValue
from assessments.models.own import ActivityRating, GlobalRating, TimeOffWork
from assessments.models.pain import PainRating
from assessments.models.questionnaire import QuestionnaireResponse

__all__ = [
    "ActivityRating",
    "GlobalRating",
    "GripTest",
    "GripTrial",
    "MeasuredValue",
    "PainRating",
    "QuestionnaireResponse",
    "TimeOffWork",
]
