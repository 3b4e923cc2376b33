"""The ladder of a case as it was climbed: stages, loads, sessions and decisions over time."""

import datetime
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from django.utils import timezone
from django.utils.translation import gettext as _

from assessments.course import Course
from cases.calendar import monday_of
from cases.models import Case
from clinic.templatetags.clinic_tags import number, say, written
from rehab.clinical.ladder import Stage
from rehab.clinical.sessions import SessionState
from rehab.inputs import Records, read_days
from rehab.models import Decision, Program


@dataclass(frozen=True, kw_only=True)
class Issue:
    """One issued program: its stage, and what its main exercise is done with."""

    program: Program
    since: datetime.date
    until: datetime.date | None

    @property
    def stage(self) -> Stage:
        return self.program.rung

    @property
    def load_kg(self) -> float | None:
        return self.program.load_kg

    @property
    def exercise(self) -> str:
        main = self.program.main
        return say(main.of_card.name) if main else ""


@dataclass(frozen=True, kw_only=True)
class Session:
    """How the arm took one day's exercise."""

    on: datetime.date
    state: SessionState


@dataclass(frozen=True, kw_only=True)
class Week:
    """How many sessions of one week, Monday to Sunday, were in each state."""

    since: datetime.date
    counts: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class History:
    """What is drawn and listed, each in the order of time."""

    case: Case
    issues: tuple[Issue, ...]
    sessions: tuple[Session, ...]
    decisions: tuple[Decision, ...]

    @classmethod
    def of_case(cls, case: Case, course: Course) -> "History":
        records = Records(case)
        programs = list(Program.objects.of_case(case).issued().with_exercises())
        programs.reverse()
        decided = Decision.objects.of_case(case).select_related("visit", "program", "decided_by")
        return cls(
            case=case,
            issues=tuple(_issue(program) for program in programs),
            sessions=tuple(_sessions(records, programs, course)),
            decisions=tuple(reversed(decided)),
        )

    @property
    def since(self) -> datetime.date:
        """The first day of the ladder: the first issue, or the stage's own day when that is earlier."""
        return min(min(one.since, one.program.stage_since) for one in self.issues)

    @property
    def until(self) -> datetime.date:
        """The last day of which anything is known; today while a program runs."""
        last = self.issues[-1]
        known = [
            last.until or timezone.localdate(),
            *(one.on for one in self.sessions[-1:]),
            *(one.visit.on for one in self.decisions[-1:]),
        ]
        return max(known)

    @property
    def tally(self) -> list[tuple[SessionState, int]]:
        found = Counter(one.state for one in self.sessions)
        return [(state, found[state]) for state in SessionState if found[state]]

    @property
    def newest_decisions(self) -> tuple[Decision, ...]:
        return self.decisions[::-1]

    @property
    def newest_issues(self) -> tuple[Issue, ...]:
        return self.issues[::-1]

    @cached_property
    def weeks(self) -> tuple[Week, ...]:
        """The sessions counted by the week, the newest first, in the order of the states."""
        by_week = groupby(self.sessions, key=lambda one: monday_of(one.on))
        found = [(since, Counter(one.state for one in group)) for since, group in by_week]
        return tuple(
            Week(since=since, counts=tuple(counts[state] for state in SessionState))
            for since, counts in reversed(found)
        )

    @property
    def description(self) -> str:
        """What the picture shows, in words."""
        return " ".join([*self._stages(), *self._loads(), *self._session_words(), *self._decided()])

    def _stages(self) -> Iterator[str]:
        for stage, group in groupby(self.issues, key=lambda one: one.stage):
            since = next(group).program.stage_since
            yield _("Stage %(n)s, %(name)s, from %(day)s.") % {
                "n": stage.value,
                "name": say(stage.label),
                "day": written(since),
            }

    def _loads(self) -> Iterator[str]:
        loads = [(one.since, one.load_kg) for one in self.issues if one.load_kg is not None]
        if loads:
            steps = ", ".join(f"{number(kg, None)} kg ({written(day)})" for day, kg in loads)
            yield _("Load of the main exercise: %(steps)s.") % {"steps": steps}

    def _session_words(self) -> Iterator[str]:
        counts = ", ".join(f"{count} {say(state.value)}" for state, count in self.tally)
        if counts:
            yield _("Sessions: %(counts)s.") % {"counts": counts}

    def _decided(self) -> Iterator[str]:
        for one in self.decisions:
            yield _("%(day)s: %(made)s, %(step)s.") % {
                "day": written(one.visit.on),
                "made": one.get_made_display(),
                "step": one.get_made_step_display(),
            }


def _issue(program: Program) -> Issue:
    ended = program.ended_at
    return Issue(
        program=program,
        since=timezone.localdate(program.issued_at),
        until=timezone.localdate(ended) if ended else None,
    )


def _sessions(records: Records, programs: list[Program], course: Course) -> Iterator[Session]:
    for day, reading in read_days(records, programs, course):
        if day.sets_done:
            yield Session(on=day.on, state=reading.state)
