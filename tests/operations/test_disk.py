"""The disk is full, the database can only be read, is locked, missing or stopped: a real server says so in a
sentence, keeps what was typed, and loses nothing that it acknowledged.
"""

import os

import pytest
from django.db import connection
from django.utils.html import escape

from cases.models import Contact
from clinic.models import AuditEvent
from clinic.trouble import BUSY, FULL, GONE, MISSING, READ_ONLY
from tests.operations import troubles
from tests.operations.server import inputs
from tests.operations.whole import assert_whole

pytestmark = pytest.mark.django_db(transaction=True)

ON_BOTH = [(troubles.locked, BUSY), (troubles.only_read, READ_ONLY)]
HAPPENS = {
    "sqlite": [*ON_BOTH, (troubles.full, FULL), (troubles.missing, MISSING)],
    "postgres": [*ON_BOTH, (troubles.stopped, GONE)],
}[os.environ["TEST_DATABASE"]]
LONG = "The pain is worse in the morning, and after planing boards.\n" * 1000
MOST_CALLS = 200


class Desk:
    """Somebody who notes calls, and remembers which were acknowledged."""

    def __init__(self, visitor, case):
        self.visitor, self.case, self.noted = visitor, case, []

    def call(self):
        note = f"Call number {len(self.noted)}"
        address = f"/cases/{self.case.pk}/calls/"
        answer = self.visitor.post(address, {"outcome": "reached", "note": note})
        if answer.status == 302:
            self.noted.append(note)
        return answer

    def call_until_refused(self):
        for _number in range(MOST_CALLS):
            answer = self.call()
            if answer.status != 302:
                return answer
        raise AssertionError("everything was acknowledged")


@pytest.mark.parametrize(("happening", "trouble"), HAPPENS)
def test_it_is_said_and_nothing_that_was_acknowledged_is_lost(
    happening, trouble, serve, case, visit, session
):
    sentence, wait = escape(trouble.sentence), str(trouble.retry_s)
    # PostgreSQL's socket lies in a folder that only its account and an unbound root may enter.
    bound = troubles.keep_to_modes if connection.vendor == "sqlite" else None
    with serve(before=bound, variables={"TEST_BUSY_TIMEOUT": "1"}) as server:
        visitor = server.visitor(session)
        desk = Desk(visitor, case)
        assert [desk.call().status for _number in range(5)] == [302] * 5
        notes = f"/visits/{visit.pk}/notes/"
        typed = inputs(visitor.get(notes).text, prefix="notes-") | {"notes-plan": LONG}

        with happening(server):
            refused = desk.call_until_refused()
            not_saved = visitor.post(notes, typed, typing=True)

        assert (refused.status, refused.headers["Retry-After"]) == (503, wait)
        assert sentence in refused.words
        assert f"Call number {len(desk.noted)}</textarea>" in refused.text
        assert not_saved.status == 503
        assert sentence in not_saved.words
        assert not_saved.text.strip().startswith('<div class="not-saved"')

        assert desk.call().status == 302
        assert visitor.post(notes, typed, typing=True).status == 200
        log = server.lines()

    on_record = list(Contact.objects.of_case(case).order_by("pk").values_list("note", flat=True))
    assert on_record == desk.noted
    assert AuditEvent.objects.filter(verb="called").count() == len(desk.noted)
    visit.refresh_from_db()
    assert visit.plan.split() == LONG.split()
    assert_whole()
    assert {line.get("trouble") for line in log if refusal(line)} == {trouble.code}
    assert "planing boards" not in str(log)


def refusal(line: dict) -> bool:
    return line.get("status") == 503 and line["route"] != "clinic:health"


SHOWS = [(happening, trouble) for happening, trouble in HAPPENS if trouble not in (MISSING, GONE)]


@pytest.mark.parametrize(("happening", "trouble"), SHOWS)
def test_a_record_is_shown_although_nobody_can_note_the_look(
    happening, trouble, serve, case, session
):
    bound = troubles.keep_to_modes if connection.vendor == "sqlite" else None
    with serve(before=bound, variables={"TEST_BUSY_TIMEOUT": "1"}) as server:
        visitor = server.visitor(session)
        with happening(server):
            Desk(visitor, case).call_until_refused()
            looks = [visitor.get(f"/cases/{case.pk}/").status for _look in range(3)]
        looks.append(visitor.get(f"/cases/{case.pk}/").status)
        log = server.lines()

    unnoted = [line for line in log if line["logger"] == "clinic.reads"]
    noted = AuditEvent.objects.filter(verb="opened", page="rehab:case").count()
    assert looks == [200] * 4
    assert len(unnoted) + noted == 4
    assert len(unnoted) >= (0 if trouble is FULL else 3)
    assert {line["trouble"] for line in unnoted} <= {trouble.code}
    assert {line["route"] for line in unnoted} <= {"rehab:case"}
