"""The second factor of a member of staff: an authenticator app, and codes on paper for when it is lost."""

import datetime
import secrets
from enum import StrEnum
from typing import Self

from django.contrib.auth.hashers import check_password, make_password
from django.db import models
from django.utils.translation import gettext_lazy as _

from clinic import at_rest
from clinic.models.staff import Staff
from clinic.one_time_code import address_for_app, new_secret, spelled_out, step_of

RECOVERY_CODES = 10
# 31 signs that are not mistaken for each other: ten of them are 49 bits, too many to guess at this pace.
SIGNS, SIGNS_EACH = "23456789ABCDEFGHJKMNPQRSTUVWXYZ", 10
# From the fifth wrong code in a row one waits a minute, then two, four … an hour: of a million codes, three
# are right, and somebody who knows the password tries 24 a day. Common practice, no source.
FREE_TRIES, LONGEST_WAIT = 4, datetime.timedelta(hours=1)


class Answer(StrEnum):
    """What comes of a code."""

    RIGHT = "right"
    WRONG = "wrong"
    WAIT = "wait"


# Between the password and the first code: whoever comes to an open page later can't finish with an own app.
UNCONFIRMED = datetime.timedelta(minutes=10)


class SecondFactorQuerySet(models.QuerySet):
    def confirmed(self) -> Self:
        return self.filter(confirmed_at__isnull=False)

    def of(self, staff: Staff, *, lock: bool = False) -> "SecondFactor | None":
        """The confirmed factor of a person; locked when a code of it is tried."""
        rows = self.confirmed().filter(staff=staff)
        return (rows.select_for_update() if lock else rows).first()

    def unconfirmed(self, staff: Staff, *, now: datetime.datetime, lock: bool = False):
        """The one that a person is setting up, or nothing."""
        rows = self.filter(staff=staff, confirmed_at=None, begun_at__gt=now - UNCONFIRMED)
        return (rows.select_for_update() if lock else rows).first()

    def begin(self, staff: Staff, *, now: datetime.datetime) -> "SecondFactor":
        """A new secret, which counts only once a code of it has come back."""
        secret = at_rest.encrypt(new_secret())
        self.filter(staff=staff, confirmed_at=None).delete()
        return self.create(staff=staff, secret=secret, begun_at=now)


class SecondFactor(models.Model):
    """What one person has beside the password; until confirmed it is asked for nowhere."""

    staff = models.OneToOneField(
        Staff, on_delete=models.CASCADE, related_name="second_factor", verbose_name=_("who")
    )
    secret = models.TextField(_("secret, encrypted"))
    begun_at = models.DateTimeField(_("begun"))
    confirmed_at = models.DateTimeField(_("since"), null=True)
    last_step = models.BigIntegerField(_("time step of the last code"), default=0)
    wrong = models.PositiveIntegerField(_("wrong codes in a row"), default=0)
    wait_until = models.DateTimeField(_("no code is taken before"), null=True)

    objects = SecondFactorQuerySet.as_manager()

    class Meta:
        verbose_name = _("second factor")
        verbose_name_plural = _("second factors")

    def __str__(self) -> str:
        return str(self.staff)

    def address_for_app(self) -> str:
        return address_for_app(
            at_rest.decrypt(self.secret), name=self.staff.username, clinic=self.staff.clinic.name
        )

    def spelled_out(self) -> str:
        return spelled_out(at_rest.decrypt(self.secret))

    def try_code(self, code: str, *, now: datetime.datetime) -> Answer:
        """Take a code of the app; each is right once. The caller holds the row locked."""
        return self._judge(self._take_code, code, now=now)

    def try_recovery_code(self, code: str, *, now: datetime.datetime) -> Answer:
        """Take a code from paper, which is then used up. The caller holds the row locked."""
        return self._judge(self._take_recovery_code, code, now=now)

    def _judge(self, take, code: str, *, now: datetime.datetime) -> Answer:
        if self.wait_until and now < self.wait_until:
            return Answer.WAIT
        right = take(code, now)
        self.wrong = 0 if right else self.wrong + 1
        over = self.wrong - FREE_TRIES
        wait = (
            min(datetime.timedelta(minutes=2 ** min(over - 1, 10)), LONGEST_WAIT)
            if over > 0
            else None
        )
        self.wait_until = wait and now + wait
        self.save()
        return Answer.RIGHT if right else Answer.WRONG

    def _take_code(self, code: str, now: datetime.datetime) -> bool:
        try:
            secret = at_rest.decrypt(self.secret)
        except at_rest.Unreadable:
            return False  # paper still works
        step = step_of(secret, code, now=now, after=self.last_step)
        if step is None:
            return False
        self.last_step = step
        self.secret = at_rest.encrypt(secret)  # under the key of today
        return True

    def _take_recovery_code(self, code: str, now: datetime.datetime) -> bool:
        plain = "".join(code.upper().split()).replace("-", "")
        open_codes = self.recovery_codes.filter(used_at=None)
        used = next((kept for kept in open_codes if check_password(plain, kept.digest)), None)
        if used:
            used.used_at = now
            used.save()
        return bool(used)

    def confirm(self, *, now: datetime.datetime) -> list[str]:
        """From now on it is asked for. Returns the codes for paper, which can't be shown again."""
        self.confirmed_at = now
        self.save()
        return self.renew_recovery_codes()

    def renew_recovery_codes(self) -> list[str]:
        """New codes in the place of all before; only their digests are kept."""
        self.recovery_codes.all().delete()
        codes = [
            "".join(secrets.choice(SIGNS) for _sign in range(SIGNS_EACH))
            for _code in range(RECOVERY_CODES)
        ]
        self.recovery_codes.bulk_create(
            [RecoveryCode(factor=self, digest=make_password(code)) for code in codes]
        )
        return [f"{code[:5]}-{code[5:]}" for code in codes]

    def recovery_codes_left(self) -> int:
        return self.recovery_codes.filter(used_at=None).count()


class RecoveryCode(models.Model):
    """One code on paper, good for one signing in without the app."""

    factor = models.ForeignKey(
        SecondFactor, on_delete=models.CASCADE, related_name="recovery_codes", verbose_name=_("of")
    )
    digest = models.CharField(_("digest"), max_length=200)
    used_at = models.DateTimeField(_("used at"), null=True)

    class Meta:
        verbose_name = _("recovery code")
        verbose_name_plural = _("recovery codes")

    def __str__(self) -> str:
        return f"{self.factor} {self.pk}"
