"""What a member of staff is told by e-mail of their account, so that nobody changes it unseen."""

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.models.outgoing import Outgoing, OutgoingQuerySet
from clinic.models.staff import Staff


class AccountNewsQuerySet(OutgoingQuerySet):
    def tell(self, staff: Staff, about: "AccountNews.About", *, to: str = "") -> None:
        """Note it in the transaction of the change; `to` is the address that the person had until now."""
        to = to or staff.email
        if to and settings.SENDS_EMAIL:
            self.create(staff=staff, about=about, to=to)


class AccountNews(Outgoing):
    """One change of how somebody signs in, to be told to them; OWASP ASVS 5.0, 6.3.7."""

    class About(models.TextChoices):
        PASSWORD = "password", _("the password was changed")
        CHOSEN = "chosen", _("a new password was chosen behind a link")
        EMAIL = "email", _("the e-mail address was changed")
        FACTOR_ON = "factor-on", _("a second factor was set up")
        FACTOR_OFF = "factor-off", _("the second factor was switched off")
        FACTOR_GONE = "factor-gone", _("a manager removed the second factor")
        CODES = "codes", _("the recovery codes were made anew")

    staff = models.ForeignKey(
        Staff, on_delete=models.CASCADE, related_name="+", verbose_name=_("who")
    )
    about = models.CharField(_("about"), max_length=12, choices=About)
    to = models.EmailField(_("to"))
    at = models.DateTimeField(_("at"), default=timezone.now)

    objects = AccountNewsQuerySet.as_manager()

    class Meta:
        verbose_name = _("e-mail about an account")
        verbose_name_plural = _("e-mails about accounts")
        constraints = [
            models.CheckConstraint(
                name="account_news_about_known",
                condition=models.Q(
                    about__in=[
                        "password", "chosen", "email", "factor-on", "factor-off", "factor-gone", "codes",
                    ]
                ),
            )
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"{self.staff}, {self.about}"
