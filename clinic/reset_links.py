"""Links to choose a new password. They are signed, open once and for a day, and are kept nowhere."""

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from clinic.models import Staff

HOURS = settings.PASSWORD_RESET_TIMEOUT // 3600


def reset_path(staff: Staff) -> str:
    """The path of a fresh link; a new password, a sign-in and a new e-mail address end all links before."""
    number = urlsafe_base64_encode(force_bytes(staff.pk))
    return reverse("clinic:new_password", args=[number, default_token_generator.make_token(staff)])
