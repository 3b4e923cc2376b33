"""Ten people at work for ten seconds: nobody gets an error, and what they were told to be kept is there."""

import random

import pytest

from tests.benchmarks.load import Report, at_work
from tests.benchmarks.people import Clinician, Desk
from tests.factories.cases import create_visit
from tests.operations.server import Visitor, database_url, running

pytestmark = pytest.mark.django_db(transaction=True)


def test_ten_people_at_once_get_no_error_and_lose_nothing(tmp_path):
    with running(database_url(), tmp_path) as server:
        report = at_work(server, people=10, seconds=10, rest_s=(0.05, 0.3))

    assert report.wrong == {}
    assert report.lost() == []
    assert report.saved > 0


def test_what_is_not_there_is_found(physiotherapist):
    visit = create_visit(subjective="Planed boards.")
    common = {"visitor": Visitor(0), "chance": random.Random(0), "rest_s": (0, 0)}
    kept = Clinician(**common, written={visit.pk: "Planed boards."})
    lost = Clinician(
        **common,
        written={visit.pk: "Planed boards. Slept well."},
        rated={visit.pk: 4},
        signed=[visit.pk],
    )
    booked = (physiotherapist.pk, visit.case.patient_id, "2026-03-12", "09:00")
    desk = Desk(**common, practitioner=physiotherapist.pk, booked=[booked])

    assert Report(people=[kept], seconds=1).lost() == []
    assert Report(people=[lost, desk], seconds=1).lost() == [
        f"notes of {visit.pk}",
        f"pain at {visit.pk}",
        f"signature of {visit.pk}",
        f"booking {booked}",
    ]
