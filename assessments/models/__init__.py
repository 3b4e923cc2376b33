"""What was measured."""

from assessments.models.grip import GripTest, GripTrial
from assessments.models.pain import PainRating
from assessments.models.questionnaire import QuestionnaireResponse

__all__ = ["GripTest", "GripTrial", "PainRating", "QuestionnaireResponse"]
