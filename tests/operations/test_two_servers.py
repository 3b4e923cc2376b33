"""Two web servers behind nginx on one database: either is right about everything, and one can be away."""

import threading

import pytest

from cases.models import Contact
from tests.operations.behind_nginx import two_servers, until
from tests.operations.server import database_url
from tests.operations.whole import assert_whole
from tests.operations.writer import assert_calls_are_there, assert_notes_are_there, create_writers

pytestmark = pytest.mark.django_db(transaction=True)

WRITERS = 3
ROUNDS = 2


@pytest.fixture
def both(tmp_path):
    with two_servers(database_url(), tmp_path) as both:
        yield both


@pytest.fixture
def writers(physiotherapist):
    return create_writers(physiotherapist, count=WRITERS)


def served(both) -> list[int]:
    """How many requests each server has answered."""
    return [server.log.read_text().count('"route":') for server in both.servers]


def test_restarting_one_after_the_other_at_work_loses_nothing(both, writers):
    at_work = threading.Event()
    at_work.set()
    threads = [threading.Thread(target=one.work, args=(both, at_work.is_set)) for one in writers]
    for thread in threads:
        thread.start()
    try:
        for _round in range(ROUNDS):
            both.restart_one_after_the_other()
        until(
            lambda: min(served(both)) > 20 and all(len(one.calls) > 5 for one in writers),
            "both servers and all writers at work",
        )
    finally:
        at_work.clear()
        for thread in threads:
            thread.join()
    pages = [both.visitor(one.session).get(f"/visits/{one.visit}/notes/") for one in writers]

    assert [one.refused for one in writers] == [[]] * WRITERS
    assert [one.unsure for one in writers] == [set()] * WRITERS
    for one, page in zip(writers, pages, strict=True):
        assert_calls_are_there(one)
        assert_notes_are_there(one, page)
    assert_whole()


def test_wrong_passwords_are_counted_by_both(both, physiotherapist):
    wrong = {"username": physiotherapist.username, "password": "none that anybody has"}
    answers = [both.visitor().post("/sign-in/", wrong) for _try in range(6)]

    assert [answer.status for answer in answers] == [200, 200, 200, 200, 429, 429]
    assert len({answer.headers["X-Answered-By"] for answer in answers}) == 2


def test_one_that_is_away_is_not_missed(both, case, session):
    """Killed, not restarted: whom nobody can connect to is not asked."""
    both.servers[0].kill()
    visitor, address = both.visitor(session), f"/cases/{case.pk}/calls/"

    calls = [visitor.post(address, {"outcome": "reached", "note": str(n)}) for n in range(4)]

    assert [call.status for call in calls] == [302] * 4
    assert Contact.objects.of_case(case).count() == 4
