"""Somebody who saves without pause and remembers what was acknowledged, and whether that is on record."""

import http.client
import itertools
import time
from collections import Counter
from dataclasses import dataclass, field

from django.utils import timezone

from cases.models import Contact, Visit
from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_visit
from tests.operations.server import inputs, session_of


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

    def work(self, server, goes_on) -> None:
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

    def call(self, server, text: str) -> None:
        values = {"outcome": "reached", "note": text}
        answer = server.visitor(self.session).post(f"/cases/{self.case}/calls/", values)
        self._keep(self.calls, text, ok=answer.status == 302, answer=answer)

    def write(self, server, text: str) -> None:
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


def create_writers(lead, *, count: int) -> list[Writer]:
    session = session_of(lead)
    cases = [create_case(lead=lead, opened=timezone.localdate()) for _number in range(count)]
    return [
        Writer(f"Writer {number}", case.pk, create_visit(case=case).pk, session)
        for number, case in enumerate(cases)
    ]


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
