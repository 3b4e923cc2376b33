"""`manage.py audit_check`: walks the chain of the audit trail and names the first entry that doesn't hold."""

from django.core.management.base import BaseCommand, CommandError

from clinic.chain_check import Head, check
from clinic.models import Clinic


class Command(BaseCommand):
    help = (
        "Check that no entry of the audit trail is missing, changed or slipped in. Ends with 1 if one is. "
        "Write down the heads that it prints, outside the database: with --expect it also finds a trail "
        "that was cut off at its end."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("--clinic", type=int, help="the number of the clinic; without it, all")
        parser.add_argument(
            "--expect", metavar="NUMBER:DIGEST", help="a head that was printed before, of --clinic"
        )

    def handle(self, *, clinic: int | None, expect: str | None, **options) -> None:
        clinics = Clinic.objects.order_by("pk")
        clinics = clinics.filter(pk=clinic) if clinic else clinics
        if not clinics:
            raise CommandError("There is no such clinic.")
        expected = self._head(expect, clinic)
        found = [(one, check(one, expected)) for one in clinics]
        for one, what in found:
            emptied = f", {what.emptied} of them emptied" if what.emptied else ""
            self.stdout.write(
                f"{one.pk} {one}: {what.head.number} entries hold{emptied}. Head {what.head}"
            )
        if broken := [f"{one.pk} {one}: {what.wrong}" for one, what in found if what.wrong]:
            raise CommandError("\n".join(broken))

    def _head(self, text: str | None, clinic: int | None) -> Head | None:
        if text is None:
            return None
        if not clinic:
            raise CommandError("--expect is the head of one clinic: say which with --clinic.")
        try:
            return Head.read(text)
        except ValueError:
            raise CommandError("--expect takes NUMBER:DIGEST, as this command prints it.") from None
