"""A long record, and how much of its copy is in memory at a time."""

import tempfile

import pytest

from rehab.copies.files import write_archive
from rehab.copies.making import make_next
from rehab.models import CopyPart, Handout, RecordCopy
from tests.factories.cases import create_case, create_signed_visit
from tests.memory import peak_mb
from tests.rehab.copies.whole import begin_copy, make_copy

pytestmark = pytest.mark.django_db
SHEETS, SHEET = 120, 200_000
# Measured: 0.9 MB for the file with 24 MB of sheets, 1.4 MB for the largest part.
MOST_MB = 5


def test_the_sheets_of_a_long_record_are_never_in_memory_together(physiotherapist):
    case = create_case(lead=physiotherapist)
    for number in range(SHEETS):
        data = b"%%PDF-1.4 %d" % number + bytes(SHEET)
        Handout.objects.keep(
            data, kind=Handout.Kind.COURSE, about=case, language="en", name="a.pdf",
            by=physiotherapist,
        )  # fmt: skip
    copy = make_copy(case.patient, by=physiotherapist)

    def write():
        with tempfile.TemporaryFile() as file:
            write_archive(copy, file)

    assert peak_mb(write) < MOST_MB < SHEETS * SHEET / 1e6


def test_a_hundred_visits_are_set_a_few_at_a_time(physiotherapist):
    case = create_case(lead=physiotherapist)
    for _number in range(100):
        create_signed_visit(case=case, subjective="Hurts when planing boards. " * 40)
    copy = begin_copy(case.patient, by=physiotherapist)
    make_next(copy, by=physiotherapist)  # the fonts are read once a process
    while copy.next_part:
        assert peak_mb(lambda: make_next(copy, by=physiotherapist)) < MOST_MB

    assert CopyPart.objects.filter(copy=copy, kind="visits").count() > 10
    assert RecordCopy.objects.get(pk=copy.pk).is_ready
