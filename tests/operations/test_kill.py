"""The server is killed with SIGKILL in the middle of saving, again and again: what it acknowledged is there,
nothing is half there, and it starts again.
"""

import random
import threading
import time

import pytest

from tests.operations.server import Server
from tests.operations.whole import assert_whole
from tests.operations.writer import assert_calls_are_there, assert_notes_are_there, create_writers

pytestmark = pytest.mark.django_db(transaction=True)

SAVES = 1_000
WRITERS = 4
KILLS = 4
LONGEST_S = 300
SEED = 20261128


@pytest.fixture
def writers(physiotherapist):
    return create_writers(physiotherapist, count=WRITERS)


def acknowledged(writers) -> int:
    return sum(len(one.calls) + len(one.notes) for one in writers)


def kill_again_and_again(server: Server, writers) -> None:
    """Kill it at moments that chance chooses, until all saves are done; then let everybody come to an end."""
    chance, ends = random.Random(SEED), time.monotonic() + LONGEST_S
    at = sorted(chance.sample(range(SAVES // 10, SAVES), KILLS))
    while (done := acknowledged(writers)) < SAVES and time.monotonic() < ends:
        if at and done >= at[0]:
            at.pop(0)
            server.kill()
            server.run()
            server.wait_until_ready()
        time.sleep(0.01)


def test_of_a_thousand_saves_none_that_was_acknowledged_is_lost(serve, writers):
    at_work = threading.Event()
    at_work.set()
    with serve() as server:
        threads = [
            threading.Thread(target=one.work, args=(server, at_work.is_set)) for one in writers
        ]
        for thread in threads:
            thread.start()
        kill_again_and_again(server, writers)
        at_work.clear()
        for thread in threads:
            thread.join()
        session = writers[0].session
        pages = [server.visitor(session).get(f"/visits/{one.visit}/notes/") for one in writers]

    assert acknowledged(writers) >= SAVES
    assert [one.refused for one in writers] == [[]] * WRITERS
    assert any(one.unsure for one in writers), "no kill has met a save"
    for one, page in zip(writers, pages, strict=True):
        assert_calls_are_there(one)
        assert_notes_are_there(one, page)
    assert_whole()
