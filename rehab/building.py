"""What the page of a draft shows beside its fields: the program before, the week, what the rules think."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from django.utils.dates import WEEKDAYS, WEEKDAYS_ABBR
from django.utils.translation import gettext as _

from clinic.wording import Sentence, say
from rehab.clinical.proposal import LoadStep
from rehab.clinical.second_look import Thought, look_at_program, second_look, step_not_taken
from rehab.clinical.thresholds import Limits
from rehab.clinical.week_plan import WEEK
from rehab.models import Decision, Program, ProgramExercise


@dataclass(frozen=True, kw_only=True)
class Part:
    """One thing that a program says, and whether the other version says otherwise."""

    words: object
    differs: bool


@dataclass(frozen=True, kw_only=True)
class Compared:
    """One line of two versions side by side; a version that has no such line has no parts."""

    name: object
    before: tuple[Part, ...]
    now: tuple[Part, ...]


@dataclass(frozen=True, kw_only=True)
class DayOfWeek:
    """One weekday of the plan, with its expected minutes (our own estimate)."""

    name: object
    short: object
    minutes: int


@dataclass(frozen=True, kw_only=True)
class PlannedRow:
    """One exercise in the week: a mark for each weekday on which it is done."""

    name: object
    days: tuple[bool, ...]


class Build:
    """A draft as its page shows it; the program that it follows is asked for once."""

    def __init__(self, draft: Program, limits: Limits) -> None:
        self.draft, self.limits = draft, limits

    @cached_property
    def before(self) -> Program | None:
        return Program.objects.current_of(self.draft.case)

    @cached_property
    def exercises(self) -> list[ProgramExercise]:
        return list(self.draft.exercises.all())

    @cached_property
    def earlier(self) -> dict[str, ProgramExercise]:
        return {one.card: one for one in self.before.exercises.all()} if self.before else {}

    def thoughts_on(self, exercise: ProgramExercise) -> tuple[Thought, ...]:
        """What the rules think of one exercise's dose."""
        earlier = self.earlier.get(exercise.card)
        return second_look(
            exercise.card,
            exercise.dose,
            earlier.dose if earlier else None,
            stage=self.draft.rung,
            owned=self.draft.owned,
            limits=self.limits,
        )

    @cached_property
    def thoughts(self) -> tuple[Sentence, ...]:
        """What the rules think of the program as a whole."""
        pairs = (
            (one.dose, self.earlier[one.card].dose if one.card in self.earlier else None)
            for one in self.exercises
        )
        before = self.before.rung if self.before else None
        return look_at_program(self.draft.rung, before, tuple(pairs))

    @cached_property
    def all_thoughts(self) -> tuple[tuple[object, tuple[Thought, ...]], ...]:
        """Each exercise that the rules think something of, for reading once more."""
        found = ((one.of_card.name, self.thoughts_on(one)) for one in self.exercises)
        return tuple((name, thoughts) for name, thoughts in found if thoughts)

    def step_not_taken(self, made: Decision | None) -> Sentence | None:
        """What was decided about the load of the program that runs, and is not in this draft."""
        main, before = self.draft.main, self.before
        if not (made and main and before and made.program_id == before.pk):
            return None
        earlier = self.earlier.get(main.card)
        if made.made != Decision.Choice.STAY or earlier is None:
            return None
        return step_not_taken(LoadStep(made.made_step), main.dose, earlier.dose)

    @cached_property
    def compared(self) -> tuple[Compared, ...]:
        """The version before and this one side by side, exercise by exercise."""
        if self.before is None:
            return ()
        now = {one.card: one for one in self.exercises}
        lines = [
            _compare(
                (now.get(card) or self.earlier[card]).of_card.name,
                _said(self.earlier.get(card)),
                _said(now.get(card)),
            )
            for card in {**now, **self.earlier}
        ]
        return (*lines, *self._about_the_whole())

    def _about_the_whole(self) -> Iterator[Compared]:
        before, draft = self.before, self.draft
        yield _compare(_("Stage"), _stage(before), _stage(draft))
        yield _compare(
            _("Pain policy"), (before.get_policy_display(),), (draft.get_policy_display(),)
        )
        yield _compare(_("Days"), (before.training_days,), (draft.training_days,))
        if before.remark or draft.remark:
            yield _compare(_("Remark"), (before.remark,), (draft.remark,))

    @cached_property
    def week(self) -> tuple[DayOfWeek, ...]:
        plan = self.draft.week
        return tuple(
            DayOfWeek(
                name=WEEKDAYS[day], short=WEEKDAYS_ABBR[day], minutes=round(plan.minutes_on(day))
            )
            for day in range(WEEK)
        )

    @cached_property
    def planned(self) -> tuple[PlannedRow, ...]:
        rows = zip(self.exercises, self.draft.week.rows, strict=True)
        return tuple(
            PlannedRow(
                name=one.of_card.name,
                days=tuple(day in (row.days or ()) for day in range(WEEK)),
            )
            for one, row in rows
        )

    @property
    def longest_minutes(self) -> int:
        return round(self.draft.week.longest)


def _stage(program: Program) -> tuple[object, ...]:
    return (say("%(stage)s, %(name)s", stage=program.stage, name=program.rung.label),)


def _said(exercise: ProgramExercise | None) -> tuple[object, ...]:
    """What a program says about one exercise, the figures first."""
    if exercise is None:
        return ()
    dose = exercise.dose
    remark = (exercise.remark,) if exercise.remark else ()
    return (dose.headline(), *dose.lines()[1:], *remark)


def _compare(name: object, before: tuple[object, ...], now: tuple[object, ...]) -> Compared:
    if before == now:
        before = now = before[:1]
    return Compared(
        name=name,
        before=tuple(Part(words=words, differs=words not in now) for words in before),
        now=tuple(Part(words=words, differs=words not in before) for words in now),
    )
