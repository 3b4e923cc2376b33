"""Builds the demo's clinic out of its stories."""

import datetime
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.db import transaction
from django.utils import timezone

from cases.clinical.screening import QUESTIONS
from cases.clinical.sides import Side
from cases.clinical.wrist_angle import View
from cases.models import (
    Activity,
    Addendum,
    Case,
    Injection,
    Intake,
    Patient,
    Screening,
    ScreeningAnswer,
    WristAngle,
)
from clinic.audit import record
from clinic.management.demo.boatyard import BOATYARD
from clinic.management.demo.book import Book
from clinic.management.demo.kitchens import KITCHENS
from clinic.management.demo.mail import write_mail
from clinic.management.demo.music import MUSIC
from clinic.management.demo.people import (
    ZONE,
    create_absence,
    create_clinic,
    create_closed_days,
    create_staff,
    invite,
)
from clinic.management.demo.rackets import RACKETS
from clinic.management.demo.records import Scribe
from clinic.management.demo.story import ROAD, Backhand, Person, Story
from clinic.management.demo.walkthrough import FOLLOW_UP, NEW
from clinic.models import Clinic, Staff
from clinic.slots import ONE_DAY
from rehab.models import Equipment, Program

MARK = "built the demo"  # in the audit trail; without it a database is not the demo's
STORIES = (*BOATYARD, *KITCHENS, *MUSIC, *RACKETS)
LEADS = ("ines", "bram", "sunni", "bram", "sunni", "ruth")


@dataclass(frozen=True)
class Demo:
    """What was built, and the two patients to try."""

    clinic: Clinic
    new: Case
    follow_up: Case


@transaction.atomic
def build(*, now: datetime.datetime, stories: Iterable[Story] = STORIES) -> Demo:
    """Build the clinic as it is at `now`; the two patients of the walk-through come with any `stories`."""
    with timezone.override(ZONE):
        clinic = create_clinic()
        staff = create_staff(clinic)
        invite(staff["ruth"], now=now)
        builder = Builder(clinic, staff, now=now)
        create_closed_days(clinic, today=builder.today)
        builder.book.block(create_absence(staff["sunni"], today=builder.today))
        # Record numbers follow the order in which people came.
        in_order = sorted((*stories, FOLLOW_UP), key=lambda story: -story.opened_days_ago)
        for number, story in enumerate((*in_order, NEW)):
            builder.tell(story, lead=staff[story.lead or LEADS[number % len(LEADS)]])
        write_mail(clinic, by=staff["otto"], now=now)
        record(staff["ruth"], MARK)
    return Demo(clinic, new=builder.cases[NEW], follow_up=builder.cases[FOLLOW_UP])


class Builder:
    """Tells stories into the records of one clinic."""

    def __init__(self, clinic: Clinic, staff: dict[str, Staff], *, now: datetime.datetime) -> None:
        self.clinic, self.staff, self.now = clinic, staff, now
        self.today = timezone.localdate(now)
        self.book = Book()
        self.patients: dict[Person, Patient] = {}
        self.cases: dict[Story, Case] = {}

    def ago(self, days: int) -> datetime.date:
        return self.today - datetime.timedelta(days=days)

    def tell(self, story: Story, *, lead: Staff) -> None:
        patient = self.patients.get(story.person) or self._register(story)
        case = self._open(story, patient, lead)
        self.cases[story] = case
        self._ask(story, case)
        scribe = Scribe(story=story, case=case, by=lead, first_day=case.opened)
        for number, contact in enumerate(story.contacts):
            booked = self.book.put(
                patient,
                scribe.day_of(contact),
                by=lead,
                case=case,
                kind="first" if number == 0 else "follow-up",
                status="seen",
            )
            visit = scribe.write(contact, ends_at=min(booked.ends_at, self.now))
        if story.addendum:
            text, reason = story.addendum
            Addendum.objects.create(visit=visit, text=text, reason=reason, written_by=lead)
        self._go_on(story, case, scribe)

    def _register(self, story: Story) -> Patient:
        who, opened = story.person, self.ago(story.opened_days_ago)
        days_old = int(who.age * 365.25) + 20 + 83 * who.tail % 320
        patient = Patient(
            given_name=who.given,
            family_name=who.family,
            born=self.today - datetime.timedelta(days=days_old),
            sex=who.sex,
            handedness=who.hand,
            phone=f"+44 1632 9602{who.tail:02}",
            email=f"patient{who.tail:02}@example.org",
            language=who.language,
            print_size=who.print_size,
            suits_weekdays=list(who.suits[0]),
            suits_parts=list(who.suits[1]),
        )
        patient.register(self.clinic)
        came = datetime.datetime.combine(opened - ONE_DAY, datetime.time(11), ZONE)
        Patient.objects.filter(pk=patient.pk).update(registered_at=came)
        self.patients[who] = patient
        return patient

    def _open(self, story: Story, patient: Patient, lead: Staff) -> Case:
        opened = self.ago(story.opened_days_ago)
        return Case.objects.create(
            patient=patient,
            side=story.side,
            onset=opened - datetime.timedelta(weeks=story.weeks_before),
            opened=opened,
            lead=lead,
        )

    def _ask(self, story: Story, case: Case) -> None:
        """Intake, equipment and screening, as they were asked on the first day."""
        if story.intake:
            pains = (story.contacts or ROAD)[0].pains
            Intake.objects.create(
                case=case,
                manner=story.manner,
                story=story.words,
                occupation=story.job,
                sport=story.sport,
                provoked_by=list(story.provoked),
                rest_pain=pains.rest,
                worst_pain=pains.worst,
                nights_woken=story.nights,
                lasts_over_24_h=story.lasts,
                fluoroquinolone="no",
                night_pain=story.nights > 0,
                **dict(story.told),
            )
            Activity.objects.keep(case, list(story.wants))
        if story.injected_days_ago is not None:
            given = self.ago(story.injected_days_ago)
            Injection.objects.replace(case, [(given, Injection.Substance.CORTICOSTEROID)])
        if story.owns:
            Equipment.objects.create(case=case, **dict(story.owns))
        if story.screened:
            self._screen(story, case)

    def _screen(self, story: Story, case: Case) -> None:
        flags = {flag.code: flag for flag in story.flags}
        screening = Screening.objects.create(case=case, on=case.opened, asked_by=case.lead)
        answers = [
            ScreeningAnswer(
                question=question.code,
                answer=flags[question.code].answer if question.code in flags else "no",
                note=flags[question.code].note if question.code in flags else "",
            )
            for question in QUESTIONS
        ]
        screening.write(new=answers, changed=[])
        if story.signs:
            screening.write_signs({(sign, side): found for sign, side, found in story.signs})
        noon = datetime.datetime.combine(case.opened, datetime.time(12), ZONE)
        for answer in answers:
            flag = flags.get(answer.question)
            if flag and flag.action:
                answer.act(flag.action, by=case.lead, at=min(noon, self.now))

    def _go_on(self, story: Story, case: Case, scribe: Scribe) -> None:
        """What happened since the last contact, and what is to come."""
        program = Program.objects.current_of(case)
        if story.since and program:
            scribe.type_diary(program, story.since, until=self.ago(1))
        for days in story.missed:
            self._put(story, case, days=-days, status="missed")
        for days in story.cancelled:
            self._put(story, case, days=-days, status="cancelled", reason="fishing trip, will call")
        if story.draft:
            day = story.opened_days_ago
            scribe.begin(replace(story.draft, day=day))
        if story.booked is not None:
            status = story.status_today if story.booked == 0 else "booked"
            self._put(story, case, days=story.booked, status=status)
        for backhand in story.backhands:
            seen = WristAngle(case=case, seen_by=case.lead, on=self.ago(backhand.days_ago))
            seen.arm, seen.seen_from, seen.note = case.side, View.THUMB.value, backhand.note
            seen.measure(picture_of(backhand, case.affected))
            seen.save()
        if story.closed:
            self._close(story, case)

    def _put(self, story: Story, case: Case, *, days: int, status: str, reason: str = "") -> None:
        first = not story.contacts
        self.book.put(
            case.patient,
            self.today + datetime.timedelta(days=days),
            by=case.lead,
            case=case,
            kind="first" if first else "follow-up",
            status=status,
            reason=reason,
        )

    def _close(self, story: Story, case: Case) -> None:
        how, reason = story.closed
        case.close(how, on=self.ago(story.last), reason=reason)


def picture_of(backhand: Backhand, arm: Side) -> dict[str, dict[str, tuple[int, int]]]:
    """The points of both pictures: a forearm that points up, and the hand bent by the angle."""
    turned = {"contact": backhand.contact_deg, "after": backhand.after_deg}
    way = 1 if arm is Side.RIGHT else -1
    return {
        moment: {
            "forearm": (500, 900),
            "wrist": (500, 500),
            "knuckle": (
                round(500 + 280 * way * math.sin(math.radians(degrees))),
                round(500 - 280 * math.cos(math.radians(degrees))),
            ),
        }
        for moment, degrees in turned.items()
    }
