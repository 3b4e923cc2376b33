"""Whose diary can be typed in, for pages of lower packages: they know no programs."""

from django import template

from cases.models import Patient
from rehab.models import Program

register = template.Library()


@register.simple_tag
def with_diary(patient: Patient) -> list[int]:
    """The numbers of the patient's open cases in which a program is running."""
    return [program.case_id for program in Program.objects.running_for(patient)]
