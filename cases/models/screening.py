"""The questions that find what must not be loaded, or belongs elsewhere."""

import datetime
import itertools
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.clinical import screening as rules
from cases.clinical.screening import BY_CODE, STOPPING, Action, GivenAnswer, Question
from cases.clinical.screening_readings import GroupReading, RecordedSign, disputed, read_groups
from cases.clinical.screening_signs import Outcome
from cases.clinical.sides import Side
from cases.models.case import Case
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff
from clinic.wording import Sentence


class ScreeningQuerySet(ClinicQuerySet):
    def latest_of(self, case: Case, *, until: datetime.date | None = None) -> "Screening | None":
        """The case's last round, or the last one up to a day."""
        rounds = self.newest_first_of(case).filter(**({"on__lte": until} if until else {}))
        return rounds.prefetch_related("answers").first()

    def newest_first_of(self, case: Case) -> "ScreeningQuerySet":
        return self.filter(case=case).order_by("-on", "-pk")

    def rounds_of(self, case: Case) -> "list[Screening]":
        """Every round of the case with its answers and signs, the last one first."""
        rounds = self.newest_first_of(case).select_related("asked_by")
        return list(rounds.prefetch_related("answers__action_by", "signs"))


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
        constraints = [Journaled(name="screening_journaled")]

    def __str__(self) -> str:
        return f"Screening of {self.case}, {self.on}"

    def given(self) -> tuple[GivenAnswer, ...]:
        """The answers, as the rules take them."""
        return tuple(answer.given() for answer in self.answers.all())

    def in_words(self) -> dict[str, str]:
        """Question to answer, as they are stored."""
        return {answer.question: answer.answer for answer in self.answers.all()}

    def recorded_signs(self) -> tuple[RecordedSign, ...]:
        """What was examined in this round, as the rules take it."""
        return tuple(sign.recorded() for sign in self.signs.all())

    def sign_readings(self) -> tuple[GroupReading, ...]:
        return read_groups(self.recorded_signs())

    def disputed(self) -> tuple[Sentence, ...]:
        """Where what was found does not fit what was answered."""
        return disputed(self.sign_readings(), self.in_words())

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
        self._look_again()

    def write_signs(self, outcomes: dict[tuple[str, str], str]) -> list[str]:
        """Keep what was found, by sign and side ("" is once); nothing takes it back. Say what changed."""
        known = {(row.sign, row.side): row for row in self.signs.all()}
        changed = [
            spot
            for spot, outcome in outcomes.items()
            if outcome != (known[spot].outcome if spot in known else "")
        ]
        kept = {spot: outcomes[spot] for spot in changed if outcomes[spot]}
        ScreeningSign.objects.bulk_create(
            (
                ScreeningSign(
                    clinic_id=self.clinic_id, screening=self, sign=sign, side=side, outcome=outcome
                )
                for (sign, side), outcome in kept.items()
            ),
            update_conflicts=True,
            unique_fields=["screening", "sign", "side"],
            update_fields=["outcome"],
        )
        gone = [known[spot].pk for spot in changed if spot not in kept]
        ScreeningSign.objects.filter(pk__in=gone).delete()
        self._look_again()
        return sorted({sign for sign, _side in changed})

    def _look_again(self) -> None:
        self.__dict__.pop("_prefetched_objects_cache", None)
        models.prefetch_related_objects([self], "answers__action_by", "signs")

    def must_wait(self) -> tuple[Sentence, ...]:
        """What must be acted on before the arm is loaded or tested at home."""
        return rules.must_wait(self.given())

    def may_issue(self):
        """Whether a program may be issued, and the sentences that say why not."""
        return rules.may_issue(self.given())


class ScreeningAnswerQuerySet(ClinicQuerySet):
    def of_question(self, case: int, question: str) -> Self:
        """Every answer to one question in a case, the last one first."""
        rows = self.filter(screening__case=case, question=question)
        return rows.order_by("-screening__on", "-screening__pk")


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

    objects = ScreeningAnswerQuerySet.as_manager()

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
            Journaled(name="screening_answer_journaled"),
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

    @property
    def since(self) -> datetime.date:
        """The day of the round from which on the question has had this answer without a break."""
        asked = ScreeningAnswer.objects.of_question(self.screening.case_id, self.question)
        until = asked.filter(screening__on__lte=self.screening.on)
        rows = until.values_list("answer", "screening__on")
        same = itertools.takewhile(lambda row: row[0] == self.answer, rows)
        return min((on for _answer, on in same), default=self.screening.on)

    @property
    def is_to_act_on(self) -> bool:
        """Whether it calls for help elsewhere in the case's last round; earlier ones say nothing of today."""
        latest = Screening.objects.newest_first_of(self.screening.case).first()
        return self.screening == latest and self in self.screening.to_act_on()

    def act(self, what: str, *, by: Staff, at: datetime.datetime) -> None:
        """Write down what was done about the answer, by whom and when."""
        self.action_taken, self.action_by, self.action_at = what, by, at
        self.save(update_fields=["action_taken", "action_by", "action_at"])


class ScreeningSign(ClinicOwned):
    """One sign that was looked for in one round, and whether it was there."""

    belongs_to = "screening"

    screening = models.ForeignKey(Screening, on_delete=models.PROTECT, related_name="signs")
    sign = models.SlugField(_("sign"), max_length=40)
    side = models.CharField(_("side"), max_length=5, choices=Side.choices(), blank=True)
    outcome = models.CharField(_("found"), max_length=6, choices=Outcome.choices())

    class Meta:
        verbose_name = _("screening sign")
        verbose_name_plural = _("screening signs")
        constraints = [
            models.UniqueConstraint(
                name="screening_one_outcome_a_sign", fields=["screening", "sign", "side"]
            ),
            models.CheckConstraint(
                name="screening_sign_outcome_known",
                condition=Q(outcome__in=[outcome.value for outcome in Outcome]),
            ),
            models.CheckConstraint(
                name="screening_sign_side_known",
                condition=Q(side__in=["", *(side.value for side in Side)]),
            ),
            Journaled(name="screening_sign_journaled"),
        ]

    def __str__(self) -> str:
        return " ".join(part for part in (self.sign, self.side, self.outcome) if part)

    def recorded(self) -> RecordedSign:
        return RecordedSign(
            code=self.sign,
            outcome=Outcome(self.outcome),
            side=Side(self.side) if self.side else None,
        )
