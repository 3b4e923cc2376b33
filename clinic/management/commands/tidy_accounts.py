"""`manage.py tidy_accounts`: forgets what is kept of accounts for a time only."""

from django.core.management.base import BaseCommand
from django.utils import timezone

from clinic.models import Invitation, ResetRequest, SignIn
from clinic.models.sign_in import KEPT_FOR


class Command(BaseCommand):
    help = (
        "Forget attempts to sign in, invitations and requests for a new password that are older than "
        f"{KEPT_FOR.days} days. For cron, every night."
    )

    def handle(self, **options) -> None:
        before = timezone.now() - KEPT_FOR
        for kind in (SignIn, Invitation, ResetRequest):
            forgotten, _each = kind.objects.outdated(before=before).delete()
            self.stdout.write(f"{kind._meta.verbose_name_plural}: {forgotten} forgotten")
