"""A clinic at work with somebody of every role, and how they ask the site for a page."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, replace

from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from cases.models import CalendarKey, DisplayKey
from clinic.models import ClosedDay, Staff
from tests.browser.situations import NUMBERS, a_clinic_at_work, filled_in
from tests.factories.clinic import create_front_desk, create_manager, create_physiotherapist
from tests.factories.rehab import create_own_card
from tests.markers import mark, marked, text_fields
from tests.test_minimum_necessary import CODES
from tests.who_may_what import DESK, HEAD, MANAGER, TABLE, THERAPIST


@dataclass(frozen=True)
class AtWork:
    """One clinic's people by role, and the number or code of its rows by what they are."""

    people: dict[str, Staff]
    numbers: dict[str, int | str]

    def addresses(self, name: str) -> Iterator[tuple[str, str]]:
        """Each address of that name with the row that it names, "" where it names none."""
        asked = TABLE[name].takes
        for which in [asked] if asked else NUMBERS.get(name, [""]):
            yield which, filled_in(name, self.numbers, which)


def create_at_work() -> AtWork:
    lead = create_physiotherapist()
    people = {
        THERAPIST: lead,
        DESK: create_front_desk(clinic=lead.clinic),
        HEAD: create_manager(clinic=lead.clinic, treats=True),
        MANAGER: create_manager(clinic=lead.clinic),
    }
    holiday = timezone.localdate() + datetime.timedelta(days=60)
    closed = ClosedDay.objects.create(clinic=lead.clinic, day=holiday, name="Regatta")
    secret = CalendarKey.objects.give(lead)
    screen, shown = DisplayKey.objects.give(lead.clinic, name="Staff room")
    more = {
        "display key": screen.pk,
        "display secret": shown,
        "closed day": closed.pk,
        "calendar secret": secret,
        "calendar key": CalendarKey.objects.held_by(lead).get().pk,
    }
    return AtWork(people, a_clinic_at_work(lead) | more)


TEXTS = text_fields().keys() - CODES
# Long enough that no random token has one by chance.
MARKS = {mark(field)[:12] for field in TEXTS}


def create_marked() -> AtWork:
    """A clinic whose every name and text is marked, so that it is seen wherever it comes out."""
    with marked(lambda field: mark(field) if field in TEXTS else None):
        clinic = create_at_work()
        # Each clinic counts its own exercises from 1; the second one is a row that no other clinic has.
        second = create_own_card(clinic=clinic.people[MANAGER].clinic)
    return replace(clinic, numbers=clinic.numbers | {"own exercise": second.code})


def marks_in(words: str) -> set[str]:
    return {one for one in MARKS if one in words}


class Asker:
    """Somebody who asks for pages."""

    def __init__(self, staff: Staff | None):
        self.cookies = ""
        if staff:
            client = Client()
            client.force_login(staff)
            self.cookies = client.cookies.output(header="", sep=";")

    def ask(self, method: str, address: str, data: dict | None = None, **more) -> HttpResponse:
        """The answer; what the request has written is taken back."""
        with transaction.atomic():
            answer = self.send(method, address, data, **more)
            transaction.set_rollback(True)
        return answer

    def send(self, method: str, address: str, data: dict | None = None, **more) -> HttpResponse:
        """The answer; what the request has written stays."""
        client = Client(raise_request_exception=False)
        client.cookies.load(self.cookies)
        answer = getattr(client, method.lower())(address, data or {}, **more)
        if answer.streaming:  # to its end, where it closes its file
            answer.streaming_content = [b"".join(answer.streaming_content)]
        return answer
