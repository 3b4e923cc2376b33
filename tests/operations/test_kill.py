"""The server is killed with SIGKILL in the middle of saving, again and again: what it acknowledged is there,
nothing is half there, and it starts again.
"""

import http.client
import itertools
import random
import threading
import time
from collections import Counter
from dataclasses import dataclass, field

import pytest
from django.utils import timezone

from cases.models import Contact, Visit
from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_visit
from tests.operations.server import Server, inputs, session_of
from tests.operations.whole import assert_whole

pytestmark = pytest.mark.django_db(transaction=True)

SAVES = 1_000
WRITERS = 4
KILLS = 4
LONGEST_S = 300
SEED = 20261128


@dataclass
class Writer:
    """Somebody who notes calls and writes notes by turns; each text is written once and numbered."""

    name: str
    case: int
    visit: int
    session: str
    calls: list[str] = field(default_factory=list)  # acknowledged
    notes: list[str] = field(default_factory=list)  # acknowledged
    unsure: set[str] = field(default_factory=set)  # sent, and no answer came
    refused: list[int] = field(default_factory=list)
    stamp: dict[str, str] | None = None

    def work(self, server: Server, goes_on) -> None:
        for number in itertools.count():
            if not goes_on():
                return
            text = f"{self.name} {number}"
            try:
                (self.write if number % 2 else self.call)(server, text)
            except (OSError, http.client.HTTPException):
                self.unsure.add(text)
                self.stamp = None
                time.sleep(0.1)

    def call(self, server: Server, text: str) -> None:
        values = {"outcome": "reached", "note": text}
        answer = server.visitor(self.session).post(f"/cases/{self.case}/calls/", values)
        self._keep(self.calls, text, ok=answer.status == 302, answer=answer)

    def write(self, server: Server, text: str) -> None:
        visitor, address = server.visitor(self.session), f"/visits/{self.visit}/notes/"
        if self.stamp is None:
            self.stamp = inputs(visitor.get(address).text, prefix="notes-")
        sent = self.stamp | {"notes-subjective": text, "notes-plan": text}
        answer = visitor.post(address, sent, typing=True)
        self._keep(self.notes, text, ok=answer.status == 200, answer=answer)
        self.stamp = self.stamp | inputs(answer.text, prefix="notes-")

    def _keep(self, kept: list[str], text: str, *, ok: bool, answer) -> None:
        if ok:
            kept.append(text)
        else:
            self.refused.append(answer.status)


@pytest.fixture
def writers(physiotherapist):
    session = session_of(physiotherapist)
    cases = [
        create_case(lead=physiotherapist, opened=timezone.localdate()) for _number in range(WRITERS)
    ]
    return [
        Writer(f"Writer {number}", case.pk, create_visit(case=case).pk, session)
        for number, case in enumerate(cases)
    ]


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


def assert_calls_are_there(one: Writer) -> None:
    found = Counter(Contact.objects.filter(case=one.case).values_list("note", flat=True))

    assert set(one.calls) <= set(found) <= set(one.calls) | one.unsure
    assert set(found.values()) == {1}
    # The trail is written in the same transaction: a row without the other is half a save.
    trail = AuditEvent.objects.filter(verb="called", object_id=one.case)
    assert trail.count() == found.total()


def assert_notes_are_there(one: Writer, page) -> None:
    visit = Visit.objects.get(pk=one.visit)
    later = {text for text in one.unsure if number(text) > number(one.notes[-1])}

    assert visit.subjective in {one.notes[-1]} | later
    assert visit.plan == visit.subjective
    assert f">\n{visit.subjective}</textarea>" in page.text
    written = AuditEvent.objects.filter(verb="wrote notes", object_id=one.visit)
    assert len(one.notes) <= written.count() <= len(one.notes) + len(one.unsure)


def number(text: str) -> int:
    return int(text.split()[-1])
