"""`manage.py send_reminders`: writes the reminders that are due and sends all e-mail that waits."""

import datetime
import zoneinfo

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from cases.delivery import SENTENCES
from cases.models import Appointment, Notice
from cases.reminders import reminders_due, write_reminders
from cases.sending import Tally, send_due
from clinic.account_mail import send_waiting


class Command(BaseCommand):
    help = (
        "Write the reminders that are due and send all e-mail that waits, invitations and cancellations too, "
        "and what staff are told of their accounts: links for new passwords, and what was changed. "
        "For cron, every five minutes; runs that overlap send nothing twice."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("--dry-run", action="store_true", help="say what would be sent")

    def handle(self, *, dry_run: bool, **options) -> None:
        if dry_run:
            self._say_what_would_be_sent(timezone.now())
            return
        if not settings.SENDS_EMAIL:
            waiting = Notice.objects.waiting().one_a_letter().count()
            raise CommandError(f"EMAIL_HOST is not set: nothing was sent, {waiting} waiting.")
        write_reminders(now=timezone.now())
        tally = send_due(clock=timezone.now)
        self.stdout.write(said(tally))
        accounts, again = send_waiting(clock=timezone.now)
        if accounts or again:
            self.stdout.write(f"{accounts} about accounts sent, {again} to be tried again.")
        if tally.trouble:
            raise CommandError(f"{SENTENCES[tally.trouble.why]} {tally.trouble.answer}".strip())

    def _say_what_would_be_sent(self, now: datetime.datetime) -> None:
        waiting = Notice.objects.due(now=now).one_a_letter().with_people()
        lines = [line(one.occasion, one.appointment) for one in waiting]
        lines += [line("reminder", one) for one in reminders_due(now=now)]
        for text in lines:
            self.stdout.write(text)
        self.stdout.write(f"{len(lines)} would be sent now. Nothing was sent.")


def line(occasion: str, appointment: Appointment) -> str:
    """Without a name: what a command says is often mailed on or kept in a log."""
    zone = zoneinfo.ZoneInfo(appointment.clinic.time_zone)
    starts = appointment.starts_at.astimezone(zone)
    return f"{occasion:9}  record {appointment.patient.record}, {starts:%a %d %b %Y %H:%M}"


def said(tally: Tally) -> str:
    return (
        f"{tally.sent} sent, {tally.waiting} to be tried again, "
        f"{tally.failed} not reached, {tally.dropped} not needed any more."
    )
