"""The clinic's own words for an e-mail, in place of the standard ones."""

from dataclasses import dataclass
from typing import Self

from django.db import models
from django.utils import translation
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from cases.mail_words import BODIES, LONGEST_BODY, LONGEST_SUBJECT, SUBJECTS, Occasion
from cases.models.notice import Notice
from cases.models.patient import languages
from clinic.journal import Journaled
from clinic.models import Clinic, ClinicOwned, ClinicQuerySet, Staff


@dataclass(frozen=True)
class Words:
    """Subject and body, with their places still open."""

    subject: str
    body: str


def standard_words(occasion: Occasion, language: str) -> Words:
    with translation.override(language):
        return Words(gettext(SUBJECTS[occasion]), gettext(BODIES[occasion]))


class MailTextQuerySet(ClinicQuerySet):
    def words(self, clinic: Clinic | int, occasion: Occasion, language: str) -> Words:
        """The clinic's own words where it has some, otherwise the standard ones."""
        own = self.own(clinic, occasion, language).values_list("subject", "body").first()
        return Words(*own) if own else standard_words(occasion, language)

    def own_of(self, clinic: Clinic) -> Self:
        """All of the clinic's own, with who wrote them."""
        return self.of(clinic).select_related("changed_by")

    def own(self, clinic: Clinic | int, occasion: Occasion, language: str) -> Self:
        return self.of(clinic).filter(occasion=occasion, language=language)


class MailText(ClinicOwned):
    """What the clinic writes to its patients on one occasion in one language."""

    occasion = models.CharField(_("about"), max_length=10, choices=Notice.About)
    language = models.CharField(_("language"), max_length=2, choices=languages)
    subject = models.CharField(_("subject"), max_length=LONGEST_SUBJECT)
    body = models.TextField(_("text"), max_length=LONGEST_BODY)
    changed_at = models.DateTimeField(_("changed"), auto_now=True)
    changed_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, editable=False, related_name="+", verbose_name=_("by")
    )

    objects = MailTextQuerySet.as_manager()

    class Meta:
        verbose_name = _("text of an e-mail")
        verbose_name_plural = _("texts of e-mails")
        constraints = [
            models.UniqueConstraint(
                name="mail_text_once", fields=["clinic", "occasion", "language"]
            ),
            Journaled(name="mail_text_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.get_occasion_display()}, {self.get_language_display()}"
