"""`manage.py tidy_accounts`: forgets what is kept of accounts and their sessions for a time only."""

from django.core.management.base import BaseCommand
from django.utils import timezone

from clinic import statistics
from clinic.models import AccountNews, HeldForm, Invitation, ResetRequest, SignIn
from clinic.models.held_form import KEPT
from clinic.models.sign_in import KEPT_FOR
from clinic.sessions import SessionStore


class Command(BaseCommand):
    help = (
        "Forget attempts to sign in, invitations, requests for a new password and e-mails about accounts "
        f"that are older than {KEPT_FOR.days} days, forms that nobody came back for in {KEPT.days} days, and "
        "sessions that have ended; then let SQLite look how many rows there are. For cron, every night."
    )

    def handle(self, **options) -> None:
        before = timezone.now() - KEPT_FOR
        for kind in (SignIn, Invitation, ResetRequest, AccountNews):
            forgotten, _each = kind.objects.outdated(before=before).delete()
            self.stdout.write(f"{kind._meta.verbose_name_plural}: {forgotten} forgotten")
        HeldForm.objects.outdated().delete()
        SessionStore.clear_expired()
        # No account's matter, but the one command of every night that changes the database.
        statistics.look_again()
