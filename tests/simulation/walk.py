"""A year of weekly visits: each decision is taken as proposed, but for one choice of the physiotherapist.

Where load and stage are both ready the rules propose the load, one change at a time, and say that the
next stage is ready as well. A physiotherapist who always took the load would keep a good arm in stage 2
for as long as it can add 0.1 kg a week; `takes_stage` is one who takes the stage instead.
"""

from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from clinic.wording import say
from rehab.clinical.arm import ArmToday
from rehab.clinical.entry import EntryFindings, enter
from rehab.clinical.progression import propose
from rehab.clinical.proposal import Decision, LoadStep, Proposal
from rehab.clinical.reviewing import MessageKind
from rehab.clinical.sessions import DiaryDay
from rehab.clinical.stages import SETS_AT, Policy, Stage, stage_row
from tests.simulation.arms import Arm, Asked, days

FIRST = date(2026, 1, 5)
WEEKS = 52
RETURN_STEPS = 21
ASKS_SOMEBODY = {MessageKind.REVIEW, MessageKind.RE_EXAMINE, MessageKind.REFER, MessageKind.URGENT}


@dataclass(frozen=True, kw_only=True)
class Seen:
    """One visit: the arm as the rules saw it, and what they proposed."""

    arm: ArmToday
    proposal: Proposal


@dataclass(kw_only=True)
class Year:
    """All visits of one arm; `ended` says how it left, or that nothing has stopped it by the end."""

    seen: list[Seen] = field(default_factory=list)
    ended: str = "still climbing"

    @property
    def weeks(self) -> int:
        return len(self.seen)


@dataclass(kw_only=True)
class Plan:
    """The program in force, as the case's records would hold it."""

    stage: Stage
    policy: Policy
    stage_since: date
    load_since: date
    asked: Asked
    start_load_kg: float | None
    back_since: date | None = None
    left_at_kg: dict[Stage, float] = field(default_factory=dict)


def live(seed: int, *, policy: Policy | None = None, takes_stage: bool = True) -> Year:
    """Run one invented arm through a year; `policy` replaces the one that the rules choose."""
    arm, year = Arm(seed=seed), Year()
    plan, diary = _begin(arm, policy), []
    start = {"grip": arm.grip_ratio(), "prtee": arm.prtee(), "worst": arm.worst_pain()}
    last = dict(start)
    for week in range(1, WEEKS + 1):
        first = FIRST + timedelta(days=7 * (week - 1))
        for on in days(first, 7):
            day = arm.day(on, plan.asked)
            diary += [day] if day else []
            _step_alone(plan.asked, day)
        today = first + timedelta(days=7)
        seen = _visit(arm, plan, tuple(diary), today, week, start, last)
        proposal = propose(seen)
        year.seen.append(Seen(arm=seen, proposal=proposal))
        last = {"grip": seen.grip_ratio, "prtee": seen.prtee_today, "worst": seen.worst_pain_today}
        year.ended = _ended(proposal) or year.ended
        arm.hear(proposal)
        if year.ended in ("discharge", "stop", "refer"):
            break
        if takes_stage and _stage_is_ready(proposal):
            proposal = _stage_instead(proposal)
        _take(plan, proposal, today, policy)
    return year


def _step_alone(asked: Asked, day: DiaryDay | None) -> None:
    """In the return plan the patient goes on by themselves after a session that was quiet."""
    quiet = day is not None and day.trained and (day.worst_pain or 0) <= 2
    if asked.stage is Stage.RETURN_TO_ACTIVITY and quiet and asked.return_step < RETURN_STEPS:
        asked.return_step += 1


def _stage_is_ready(proposal: Proposal) -> bool:
    offers_load = proposal.load_step is LoadStep.ADD
    return offers_load and any(m.kind is MessageKind.NEXT for m in proposal.messages)


def _stage_instead(proposal: Proposal) -> Proposal:
    above = proposal.next_stage.above
    return replace(proposal, decision=Decision.MOVE_UP, load_step=LoadStep.KEEP, next_stage=above)


def _begin(arm: Arm, policy: Policy | None) -> Plan:
    entry = enter(
        EntryFindings(
            age=45,
            rest_pain=round(0.5 * arm.irritation),
            worst_pain=round(min(10, 1.2 * arm.irritation)),
            night_wakings_a_week=0,
            lasts_over_24_h=False,
        )
    )
    stage = entry.start_stage
    return Plan(
        stage=stage,
        policy=policy or entry.policy,
        stage_since=FIRST,
        load_since=FIRST,
        asked=_asked(stage, 1.0),
        start_load_kg=1.0,
    )


def _asked(stage: Stage, load_kg: float) -> Asked:
    if stage is Stage.ISOMETRIC:
        return Asked(stage=stage, sessions_a_week=7, sets=5, hold_s=30)
    if stage is Stage.RETURN_TO_ACTIVITY:
        return Asked(stage=stage, sessions_a_week=4, sets=1)
    bands = stage_row(stage).repetition_maxima
    repetitions = bands[0] if bands else 15
    return Asked(
        stage=stage,
        sessions_a_week=3 if bands else 7,
        sets=SETS_AT[repetitions],
        repetitions=repetitions,
        load_kg=load_kg,
    )


def _visit(
    arm: Arm,
    plan: Plan,
    diary: tuple[DiaryDay, ...],
    today: date,
    week: int,
    start: dict,
    last: dict,
) -> ArmToday:
    ratio, asked = arm.grip_ratio(), plan.asked
    alarm = arm.alarm_on_day is not None and (today - FIRST).days >= arm.alarm_on_day
    heavy = plan.stage in (Stage.SLOW_RESISTANCE, Stage.HEAVY_AND_FAST)
    return ArmToday(
        age=45,
        stage=plan.stage,
        policy=plan.policy,
        today=today,
        days_in_stage=(today - plan.stage_since).days,
        weeks_in_care=week,
        sessions_asked_per_week=asked.sessions_a_week,
        sets_asked=asked.sets,
        diary=diary[-120:],
        repetitions_asked=asked.repetitions,
        hold_s_asked=asked.hold_s,
        load_kg=asked.load_kg,
        start_load_kg=plan.start_load_kg,
        days_since_load_step=(today - plan.load_since).days,
        smallest_step_kg=arm.smallest_step_kg,
        rm_band=asked.repetitions if heavy else None,
        days_back=(today - plan.back_since).days if plan.back_since else None,
        red_flags=(say("Hot, swollen joint."),) if alarm else (),
        usual_morning_pain=start["worst"],
        usual_night_wakings=0,
        grip_start_n=_newtons(start["grip"]),
        grip_last_n=_newtons(last["grip"]),
        grip_today_n=_newtons(ratio),
        grip_ratio=ratio,
        other_side_sore=arm.other_side_sore,
        prtee_start=start["prtee"],
        prtee_last=last["prtee"],
        prtee_today=arm.prtee(),
        rest_pain=arm.rest_pain(),
        worst_pain_start=start["worst"],
        worst_pain_today=arm.worst_pain(),
        test_lift_pain=arm.rest_pain(),
        return_steps_done=asked.return_step,
    )


def _newtons(ratio: float | None) -> float | None:
    return None if ratio is None else 300 * ratio


def _take(plan: Plan, proposal: Proposal, today: date, policy: Policy | None) -> None:
    """Put the proposal into the program, as issuing its next version would."""
    before = plan.asked
    if proposal.next_stage is not plan.stage:
        back = proposal.decision is Decision.STEP_BACK
        plan.left_at_kg[plan.stage] = before.load_kg or 1.0
        load_kg = before.load_kg or plan.left_at_kg.get(Stage.HEAVY_AND_FAST, 1.0)
        if back or proposal.next_stage in plan.left_at_kg:
            load_kg = round(
                0.9 * min(load_kg, plan.left_at_kg.get(proposal.next_stage, load_kg)), 3
            )
        plan.back_since = today if back else None
        plan.stage, plan.stage_since, plan.load_since = proposal.next_stage, today, today
        plan.asked, plan.start_load_kg = _asked(proposal.next_stage, load_kg), load_kg
        plan.policy = policy or (
            Policy.STRICT if plan.stage is Stage.ISOMETRIC else Policy.STANDARD
        )
        return
    band = proposal.next_rm_band if before.repetitions and proposal.next_rm_band else None
    plan.asked = replace(
        before,
        load_kg=proposal.next_load_kg if before.load_kg is not None else None,
        hold_s=proposal.next_hold_s if before.hold_s is not None else None,
        repetitions=band or proposal.next_repetitions or before.repetitions,
        sets=SETS_AT[band] if band else proposal.next_sets or before.sets,
        return_step=proposal.next_return_step
        if proposal.next_return_step is not None
        else before.return_step,
    )
    if plan.asked != before:
        plan.load_since = today


def _ended(proposal: Proposal) -> str:
    kinds = {message.kind for message in proposal.messages}
    if proposal.decision is Decision.STOP_AND_REVIEW:
        return "stop"
    if any(str(words) == "The criteria for discharge hold." for words in proposal.reasons):
        return "discharge"
    if MessageKind.REFER in kinds:
        return "refer"
    return "review" if kinds & ASKS_SOMEBODY else ""
