"""Writes one story into the records, contact by contact, through the models' own verbs."""

import datetime
from dataclasses import dataclass

from django.utils import timezone

from assessments.clinical.force import Unit, to_newtons
from assessments.clinical.pain import Context
from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_STRAIGHT, Squeeze, Struck
from assessments.course import course_of, values_of
from assessments.models import (
    ActivityRating,
    GlobalRating,
    GripTest,
    MeasuredValue,
    PainRating,
    QuestionnaireResponse,
    TimeOffWork,
)
from cases.clinical.battery import expected_findings
from cases.clinical.findings import optional_findings
from cases.models import Battery, Case, Finding, PalpationPoint, Visit
from clinic.management.demo import diaries
from clinic.management.demo.notes import NOTES, Said
from clinic.management.demo.story import Further, Seen, Story
from clinic.models import Staff
from rehab.clinical.ladder import Stage
from rehab.clinical.progression import propose
from rehab.inputs import arm_today, entry, reasons_not_to_issue
from rehab.models import Decision, Program, StageCheck

FIRST_HOLD_S = 40  # the usual 30–45 s; so that the full 45 s are one step away
TRIALS = (1.0, 0.96, 1.03)  # three squeezes are never quite the same
# Tests that hurt at a sore elbow: code, finger, and how much of the worst pain they bring.
SORE = {
    ("wrist-extension", None): 0,
    ("finger-extension", 3): 1,
    ("palpation", None): 0,
    ("passive-stretch", None): 2,
}


@dataclass
class Scribe:
    """Keeps one case's records; `at` gives the moment at which a contact of a day ended."""

    story: Story
    case: Case
    by: Staff
    first_day: datetime.date

    def day_of(self, contact: Seen) -> datetime.date:
        return self.first_day + datetime.timedelta(days=contact.day)

    def write(self, contact: Seen, *, ends_at: datetime.datetime) -> Visit:
        """Write a contact and sign it. The diary is typed up to the day before."""
        visit = self.begin(contact)
        self.decide(visit, contact, at=ends_at)
        if Program.objects.current_of(self.case) is None:
            self._note(visit, contact, NOTES["waits"])
        visit.due_on = visit.on + datetime.timedelta(days=self.story.due)
        visit.save()
        Visit.objects.filter(pk=visit.pk).update(saved_at=ends_at)
        visit.sign(by=self.by, at=ends_at)
        return visit

    def begin(self, contact: Seen) -> Visit:
        """Write what a contact found into a draft visit, diary and measures, without a decision."""
        on = self.day_of(contact)
        program = Program.objects.current_of(self.case)
        if program and contact.diary:
            self.type_diary(program, contact.diary, until=on - datetime.timedelta(days=1))
        visit = Visit.begin(self.case, on=on, by=self.by)
        self._measure(visit, contact)
        self._examine(visit, contact)
        if contact.check:
            StageCheck.objects.create(visit=visit, **self._check(contact))
        self._note(visit, contact, NOTES[contact.diary])
        visit.minutes = 45 if contact.day == 0 else 25
        visit.save()
        return visit

    def _note(self, visit: Visit, contact: Seen, said: Said) -> None:
        visit.subjective, visit.assessment, visit.plan = said.told, said.meaning, said.next_step
        if contact.day == 0 and self.story.words:
            visit.subjective = self.story.words
        visit.treatment = said.treatment

    def type_diary(self, program: Program, pattern: str, *, until: datetime.date) -> None:
        last = self.case.diary_days.order_by("-on").first()
        issued = timezone.localdate(program.issued_at)
        first = max(issued, last.on + datetime.timedelta(days=1)) if last else issued
        if first <= until:
            diaries.write(program, pattern, first=first, last=until)

    def _check(self, contact: Seen) -> dict:
        return dict(contact.check) | {"job_is_light": self.story.light_job}

    def _measure(self, visit: Visit, contact: Seen) -> None:
        pains = contact.pains
        PainRating.objects.write(
            visit,
            {
                Context.AT_REST: pains.rest,
                Context.WORST_24H: pains.worst,
                Context.ON_GRIPPING: pains.gripping,
            },
        )
        GripTest.objects.write(visit, unit=Unit.KGF, trials=self._grip(contact))
        total = round(self.story.prtee * contact.prtee)
        QuestionnaireResponse.objects.write(visit, answers_of(total))
        self._ask(visit, contact)
        MeasuredValue.objects.write(visit, values_of(visit))

    def _ask(self, visit: Visit, contact: Seen) -> None:
        """What the patient says in numbers: it follows the questionnaire, as it mostly does."""
        activities = self.case.activities.all()
        ratings = {a.pk: round(9 - 7 * contact.prtee) + a.position % 2 for a in activities}
        ActivityRating.objects.write(visit, ratings)
        off = dict(self.story.days_off).get(contact.day, 0)
        TimeOffWork.objects.write(visit, off)
        if contact.day:
            GlobalRating.objects.write(visit, round(5 * (1 - contact.prtee)))

    def _grip(self, contact: Seen) -> dict:
        affected, strong = self.case.affected, self.story.kg
        trials = {
            (PAIN_FREE_STRAIGHT, affected): squeezes(strong * contact.ratio),
            (PAIN_FREE_STRAIGHT, affected.other): squeezes(strong),
        }
        if contact.day == self.story.struck_on:
            sore = trials[PAIN_FREE_STRAIGHT, affected]
            sore[4] = sore[1]
            sore[1] = Squeeze(force_n=sore[1].force_n * 1.2, struck=Struck.TOO_FAST)
        if contact.day == 0 and self.story.injected_days_ago is None:
            trials[MAXIMAL_BENT, affected] = squeezes(strong * (0.4 + contact.ratio / 2))
            trials[MAXIMAL_BENT, affected.other] = squeezes(strong * 1.08)
        return trials

    def _examine(self, visit: Visit, contact: Seen) -> None:
        """The battery: at the first contact, and every sixth week after it."""
        if contact.day % 42 > 14:
            return
        battery = Battery.objects.create(
            visit=visit, performed_on=visit.on, resting_pain=contact.pains.rest
        )
        further = self.story.further if contact.day == 0 else Further()
        affected, worst = self.case.affected, contact.pains.worst
        asked = [(one, self._pain(one, worst)) for one in expected_findings(affected)]
        lifts = dict(further.lifts)
        asked += [
            (one, lifts[one.test.code] if one.side is affected else 0)
            for one in optional_findings(affected)
            if one.test.code in lifts
        ]
        battery.write([self._finding(one, pain, further) for one, pain in asked])
        battery.press(
            [
                PalpationPoint(point=point, side=side, pain=pain if side is affected else 0)
                for point, pain in further.points
                for side in (affected.other, affected)
            ]
        )

    def _pain(self, expected, worst: int) -> int:
        less = SORE.get((expected.test.code, expected.finger))
        sore = expected.side is self.case.affected and less is not None
        return max(worst - less, 0) if sore else 0

    def _finding(self, expected, pain: int, further: Further) -> Finding:
        affected = expected.side is self.case.affected
        weak = affected and (expected.test.code, expected.finger) in further.weak
        normal = "normal" if expected.test.has_strength else ""
        return Finding(
            test=expected.test.code,
            side=expected.side,
            finger=expected.finger,
            answer="familiar" if pain else "none",
            pain=pain or None,
            strength="weak" if weak else normal,
        )

    def decide(self, visit: Visit, contact: Seen, *, at: datetime.datetime) -> None:
        """Begin the program, or let the rules judge it; then issue what has to be issued."""
        program = Program.objects.current_of(self.case)
        if program is None:
            self._start(visit)
        elif program.main:
            self._judge(visit, program, contact, at=at)
        draft = Program.objects.draft_of(self.case)
        if draft and not reasons_not_to_issue(self.case):
            draft.issue(by=self.by, at=at)

    def _start(self, visit: Visit) -> None:
        if not self.story.screened or reasons_not_to_issue(self.case):
            return
        start = entry(self.case, course_of(self.case, visit=visit), on=visit.on)
        if start.start_stage is None:
            return
        draft = Program.draft(self.case, stage=start.start_stage, policy=start.policy, on=visit.on)
        draft.smallest_step_kg = self.story.step_kg
        draft.save(update_fields=["smallest_step_kg"])
        if draft.main.hold_s:
            draft.exercises.filter(position=1).update(hold_s=FIRST_HOLD_S)
        self._load(draft)

    def _judge(self, visit: Visit, program: Program, contact: Seen, *, at) -> None:
        proposal = propose(arm_today(visit, program, course_of(self.case, visit=visit)))
        made, step, reason = contact.otherwise or (proposal.decision, proposal.load_step, "")
        Decision.make(
            visit,
            program,
            proposal,
            made=str(made),
            made_step=str(step),
            reason=reason,
            by=self.by,
            at=at,
        )
        if draft := Program.objects.draft_of(self.case):
            self._load(draft)
            self._plan_return(draft, contact)

    def _load(self, draft: Program) -> None:
        """Where a stage begins without a load, the one found in the trial lift."""
        tried = dict(self.story.loads).get(draft.stage)
        if tried and draft.main.load_kg is None:
            draft.set_main_load(tried)
            draft.settle()

    def _plan_return(self, draft: Program, contact: Seen) -> None:
        """Where a stage is the last one, the plan back to racket or work, at the step after those done."""
        if not self.story.plan or draft.rung is not Stage.RETURN_TO_ACTIVITY:
            return
        draft.return_plan, draft.job_load_kg = self.story.plan
        done = dict(contact.check).get("return_steps_done", 0)
        draft.return_step = min(done + 1, len(draft.return_steps))
        draft.save(update_fields=["return_plan", "job_load_kg", "return_step"])


def squeezes(kg: float) -> dict[int, Squeeze]:
    """Three trials around `kg`, read off a dial in half kilograms."""
    read = (to_newtons(round(2 * kg * share) / 2, Unit.KGF) for share in TRIALS)
    return {number: Squeeze(force_n=force_n) for number, force_n in enumerate(read, start=1)}


def answers_of(total: int) -> dict[int, int]:
    """Answers of the 15 items that make this total: half of it pain, half of it function."""
    pain = total // 2
    return {
        **dict(enumerate(spread(pain, 5), start=1)),
        **dict(enumerate(spread(2 * (total - pain), 10), start=6)),
    }


def spread(points: int, items: int) -> list[int]:
    """Whole numbers that add up to `points`, as even as they go."""
    return [points // items + (place < points % items) for place in range(items)]
