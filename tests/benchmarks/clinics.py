"""Clinics with years of work in them: four patients are told through the models' own verbs, and copied.

A clinic's practitioners each see these four, one after the other, in the morning, at noon and in the
afternoon of every day of the week. Their ten visits and one booking take eighteen weeks at most; then come
the next four, so that a clinic of more visits is one of more years. Whoever came earlier is discharged.
"""

import datetime
import random
from collections.abc import Iterator
from dataclasses import dataclass, replace

from django.utils import timezone

from cases.clinical.names import fold
from cases.models import Visit
from clinic.audit import record
from clinic.management.demo.boatyard import BUILDER, SAIL_MAKER
from clinic.management.demo.book import SPREAD, Book
from clinic.management.demo.build import Builder
from clinic.management.demo.story import Person, lower_road, road
from clinic.models import AuditEvent, Clinic, Staff
from tests.factories.clinic import create_clinic, create_physiotherapist

PEOPLE = 4  # who treat, in each clinic
VISITS = 40  # of the four patients together
LAST = 7  # days since their last visit
PERIOD = datetime.timedelta(weeks=18)
TURNS = [(day, hours) for hours in (0, 4, 6) for day in range(7)]  # later than the first four
LATER = 117  # days from the opening of a case to its end
FAMILY = "Template"
SURNAMES = (
    "Abernathy", "Bakke", "Castellano", "Dlamini", "Eze", "Fairweather", "Grønli", "Haddad",
    "Ibarra", "Jonsson", "Kowalczyk", "Lindqvist", "Mbeki", "Nakamura", "Okonkwo", "Petrosyan",
    "Quarles", "Rasmussen", "Santamaría", "Thistlewood",
)  # fmt: skip
FOUR = tuple(
    replace(
        story,
        person=Person(given=given, family=FAMILY, age=44, sex=sex, tail=tail),
        words="The screwdriver and the kettle are the worst.",
        wants=("carry a bag", "wring out a cloth", "use the sander"),
        last=LAST,
        booked=booked,
    )
    for tail, (story, given, sex, booked) in enumerate(
        (
            (replace(BUILDER, contacts=road(10)), "Corwin", "male", 0),
            (replace(SAIL_MAKER, contacts=road(10)), "Hedda", "female", 0),
            (replace(BUILDER, contacts=lower_road(10)), "Ismar", "male", 0),
            (replace(SAIL_MAKER, contacts=road(10), due=8), "Lioba", "female", None),
        ),
        start=1,
    )
)


class HalfHours(Book):
    """A book in which each patient has a half hour of their own from eight o'clock on."""

    def _free(self, by: Staff, day: datetime.date, minutes: int, *, wish: int):
        eight = datetime.datetime.combine(day, datetime.time(8), datetime.UTC)
        return eight + (wish // SPREAD - 1) * datetime.timedelta(minutes=30)


@dataclass(frozen=True, kw_only=True)
class Copy:
    """Where and when the four patients are there once more."""

    number: int
    clinic: int
    lead: int
    place: int  # among those of the clinic
    days: int
    hours: int
    is_past: bool
    older: int  # days that they were born earlier
    family: str

    def row(self) -> tuple:
        return (
            self.number, self.clinic, self.lead, self.place, self.days, self.hours, self.is_past,
            self.older, self.family, fold(self.family),
        )  # fmt: skip


def tell_four(lead: Staff) -> None:
    """Write the four patients into an empty database."""
    Clinic.objects.filter(pk=lead.clinic_id).update(first_minutes=30, follow_up_minutes=30)
    lead.clinic.refresh_from_db()
    now = timezone.now().replace(hour=7, minute=0)
    builder = Builder(lead.clinic, {}, now=now)
    builder.book = HalfHours()
    for story in FOUR:
        builder.tell(story, lead=lead)
    for visit in Visit.objects.order_by("on", "pk"):
        for verb, target in (("opened", visit.case), ("opened", visit), ("signed", visit)):
            record(lead, verb, target)


def date_the_trail() -> None:
    """Set each event of the four to its visit's end; only without triggers."""
    ends = dict(Visit.objects.values_list("pk", "signed_at"))
    last = None
    for event in AuditEvent.objects.order_by("-pk"):
        last = ends.get(event.object_id, last) if event.object_type == "visit" else last
        AuditEvent.objects.filter(pk=event.pk).update(at=last)


def open_clinics(number: int) -> list[list[Staff]]:
    """Clinics with those who treat there."""
    made = []
    for _number in range(number):
        clinic = create_clinic()
        made.append([create_physiotherapist(clinic=clinic) for _who in range(PEOPLE)])
    return made


def planned(copies: int, clinics: list[list[Staff]]) -> Iterator[Copy]:
    """Where the copies go; number 0 is the four themselves."""
    chance = random.Random(5)
    each = -(-copies // len(clinics))
    for number in range(1, copies):
        clinic, place = divmod(number, each)
        turn, who = divmod(place, PEOPLE)
        period, turn = divmod(turn, len(TURNS))
        day, hours = TURNS[turn]
        yield Copy(
            number=number,
            clinic=clinics[clinic][who].clinic_id,
            lead=clinics[clinic][who].pk,
            place=place,
            days=day - period * PERIOD.days,
            hours=hours,
            is_past=period > 0,
            older=chance.randrange(-7000, 12000),
            family=f"{chance.choice(SURNAMES)}-{chance.choice(SURNAMES)}",
        )
