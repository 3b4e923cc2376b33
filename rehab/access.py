"""Whose program it is. A row of another clinic does not exist."""

from django.shortcuts import get_object_or_404

from clinic.models import Staff
from rehab.models import Program


def program_or_404(user: Staff, pk: int) -> Program:
    """An issued program of the person's clinic."""
    programs = Program.objects.of(user.clinic).issued().with_exercises()
    return get_object_or_404(programs, pk=pk)
