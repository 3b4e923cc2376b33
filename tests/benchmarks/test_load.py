"""Ten people at work for ten seconds: nobody gets an error, and what they were told to be kept is there."""

import pytest

from tests.benchmarks.load import at_work
from tests.operations.server import database_url, running

pytestmark = pytest.mark.django_db(transaction=True)


def test_ten_people_at_once_get_no_error_and_lose_nothing(tmp_path):
    with running(database_url(), tmp_path) as server:
        report = at_work(server, people=10, seconds=10, rest_s=(0.05, 0.3))

    assert report.wrong == {}
    assert report.lost() == []
    pages = {row["page"]: row["times"] for row in report.rows()}
    assert min(pages[page] for page in ("save notes", "sign", "book a time")) > 0


def test_a_write_that_is_not_there_is_found(tmp_path):
    with running(database_url(), tmp_path) as server:
        report = at_work(server, people=5, seconds=4, rest_s=(0.0, 0.1))
    clinician, desk = report.people[1], report.people[0]

    clinician.written[max(clinician.written)] += " And more."
    desk.booked[-1] = (*desk.booked[-1][:3], "23:00")

    assert len(report.lost()) == 2
