"""What is typed about one visit's measures, and the message it gets."""

from assessments.forms.measures import MeasuresForm

__all__ = ["MeasuresForm"]
