"""The questions that find what must not be loaded, or belongs elsewhere."""

import datetime

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.clinical import screening as rules
from cases.clinical.screening import BY_CODE, STOPPING, Action, GivenAnswer, Question
from cases.models.case import Case
from clinic.models import ClinicOwned, ClinicQuerySet, Staff


class ScreeningQuerySet(ClinicQuerySet):
    def latest_of(self, case: Case) -> "Screening | None":
        return self.filter(case=case).order_by("-on", "-pk").prefetch_related("answers").first()

    def last_two_of(self, case: Case) -> "tuple[Screening | None, Screening | None]":
        """The case's last round and the one before it."""
        rounds = self.filter(case=case).order_by("-on", "-pk")
        latest, earlier, *_rest = [*rounds.prefetch_related("answers__action_by")[:2], None, None]
        return latest, earlier


class Screening(ClinicOwned):
    """One round of all screening questions, on one day."""

    belongs_to = "case"

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="screenings")
    on = models.DateField(_("asked on"))
    asked_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("asked by")
    )

    objects = ScreeningQuerySet.as_manager()

    class Meta:
        verbose_name = _("screening")
        verbose_name_plural = _("screenings")

    def __str__(self) -> str:
        return f"Screening of {self.case}, {self.on}"

    def given(self) -> tuple[GivenAnswer, ...]:
        """The answers, as the rules take them."""
        return tuple(answer.given() for answer in self.answers.all())

    def in_words(self) -> dict[str, str]:
        """Question to answer, as they are stored."""
        return {answer.question: answer.answer for answer in self.answers.all()}

    def to_act_on(self) -> "list[ScreeningAnswer]":
        """Answers that call for help elsewhere, acted on or not, the most urgent first."""
        found = [answer for answer in self.answers.all() if answer.must_be_acted_on]
        return sorted(
            found, key=lambda answer: (list(Action).index(answer.asked.action), answer.pk)
        )

    def write(self, *, new: "list[ScreeningAnswer]", changed: "list[ScreeningAnswer]") -> None:
        """Keep answers of this round; what was done about an earlier answer stays with it."""
        for answer in new:
            answer.screening, answer.clinic_id = self, self.clinic_id
        ScreeningAnswer.objects.bulk_create(new)
        ScreeningAnswer.objects.bulk_update(changed, ["answer", "note"])
        self.__dict__.pop("_prefetched_objects_cache", None)
        models.prefetch_related_objects([self], "answers__action_by")

    def may_issue(self):
        """Whether a program may be issued, and the sentences that say why not."""
        return rules.may_issue(self.given())


class ScreeningAnswer(ClinicOwned):
    """The answer to one question in one round, and what was done about it."""

    belongs_to = "screening"

    class Answer(models.TextChoices):
        YES = "yes", _("yes")
        NO = "no", _("no")
        UNKNOWN = "unknown", _("not known")

    screening = models.ForeignKey(Screening, on_delete=models.PROTECT, related_name="answers")
    question = models.SlugField(_("question"), max_length=40)
    answer = models.CharField(_("answer"), max_length=7, choices=Answer)
    note = models.CharField(_("note"), max_length=300, blank=True)
    action_taken = models.CharField(_("what was done"), max_length=300, blank=True)
    action_by = models.ForeignKey(
        Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    action_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("screening answer")
        verbose_name_plural = _("screening answers")
        constraints = [
            models.UniqueConstraint(
                name="screening_one_answer_a_question", fields=["screening", "question"]
            ),
            models.CheckConstraint(
                name="screening_action_has_its_person",
                condition=Q(action_taken="") | Q(action_by__isnull=False, action_at__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.question}: {self.answer}"

    @property
    def asked(self) -> Question:
        return BY_CODE[self.question]

    @property
    def must_be_acted_on(self) -> bool:
        return self.asked.action in STOPPING and self.answer != self.Answer.NO

    def given(self) -> GivenAnswer:
        return GivenAnswer(
            code=self.question,
            answer=rules.Answer(self.answer),
            action_taken=self.action_taken,
        )

    def act(self, what: str, *, by: Staff, at: datetime.datetime) -> None:
        """Write down what was done about the answer, by whom and when."""
        self.action_taken, self.action_by, self.action_at = what, by, at
        self.save(update_fields=["action_taken", "action_by", "action_at"])
