"""`manage.py tidy_accounts`: forgets what is kept of accounts for a time only."""

from django.core.management.base import BaseCommand
from django.utils import timezone

from clinic.models import SignIn
from clinic.models.sign_in import KEPT_FOR


class Command(BaseCommand):
    help = f"Forget attempts to sign in that are older than {KEPT_FOR.days} days. For cron, every night."

    def handle(self, **options) -> None:
        forgotten, _each = SignIn.objects.outdated(now=timezone.now()).delete()
        self.stdout.write(f"Attempts to sign in that are forgotten: {forgotten}.")
