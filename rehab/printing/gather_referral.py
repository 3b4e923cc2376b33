"""From an answer of the screening to what its letter says."""

import datetime
from collections.abc import Iterator

from django.utils import timezone
from django.utils.translation import gettext

from assessments.clinical.protocol import WAYS, Way
from assessments.course import Course, Measured, course_of
from cases.clinical.battery import Reading
from cases.clinical.findings import Strength
from cases.clinical.screening import QUESTIONS, Answer, deferred
from cases.clinical.screening_readings import RecordedSign
from cases.clinical.screening_signs import GROUPS, SIGNS, Outcome
from cases.clinical.sides import Side
from cases.models import Battery, Case, Screening, ScreeningAnswer
from cases.models.battery import FINGERS, Finding
from clinic.models import Staff
from clinic.templatetags.clinic_tags import number, say, written
from rehab.models import Program

from .gather import reached_at
from .pieces import Words
from .referral_letter import Asked, Fact, Reason, ReferralLetter


def referral_letter(
    answer: ScreeningAnswer, asked: Asked, *, by: Staff, now: datetime.datetime
) -> ReferralLetter:
    """Everything the letter about an answer says, as it stands `now`."""
    case = answer.screening.case
    return ReferralLetter(
        clinic=reached_at(by.clinic),
        patient=str(case.patient),
        record=case.patient.record,
        born=case.patient.born,
        affected=case.affected,
        on=timezone.localdate(now),
        reason=reason(answer),
        facts=facts(answer),
        exercises=exercises(answer.screening, Program.objects.running_in(case).first()),
        asked=asked,
        writer=str(by),
        registration=by.registration_number,
    )


def reason(answer: ScreeningAnswer) -> Reason:
    return Reason(
        question=answer.asked.question,
        answer=Answer(answer.answer),
        note=answer.note,
        on=answer.screening.on,
        since=answer.since,
        onset=answer.screening.case.onset,
    )


def facts(answer: ScreeningAnswer) -> tuple[Fact, ...]:
    """What is on record and may matter to a doctor: of each the last, on a line of its own."""
    case, screening = answer.screening.case, answer.screening
    measured = (*_provocation(case), *_measured(course_of(case)))
    nothing = Fact(what=gettext("Tests and measures"), words=gettext("none on record yet"))
    return (
        *(measured or (nothing,)),
        *_examined(screening, answer.question),
        *_injections(case),
        *_also_yes(screening, but=answer.question),
    )


def exercises(screening: Screening, program: Program | None) -> tuple[Words, ...]:
    """What runs, or that nothing does, and what waits until the answer is settled."""
    waits = dict.fromkeys(say(question.defers) for question in deferred(screening.given()))
    put_off = gettext("Put off until this is settled: %(what)s.") % {"what": "; ".join(waits)}
    return (_program(program), *([put_off] if waits else ()))


def _program(program: Program | None) -> str:
    if program is None:
        return gettext("No exercise program is given until this is settled.")
    text = gettext("Exercise program %(n)s, stage %(stage)s (%(name)s), in force since %(day)s.")
    return text % {
        "n": program.version,
        "stage": program.stage,
        "name": say(program.rung.label),
        "day": written(program.issued_at),
    }


def _provocation(case: Case) -> Iterator[Fact]:
    latest, _earlier = Battery.objects.last_two_of(case)
    if latest:
        day = {"day": written(latest.performed_on)}
        what = gettext("Provocation tests, %(day)s") % day
        yield Fact(what=what, words=" ".join(_round(latest)))


def _round(latest: Battery) -> Iterator[str]:
    """Which maneuvers hurt in the familiar way, which were weak or tingled, and how it was done."""
    here = [row for row in latest.in_order() if row.side == latest.visit.case.side]
    reading = latest.read()
    yield _familiar(reading, [row for row in here if row.answer == Finding.Answer.FAMILIAR])
    weak = [row for row in here if row.strength in (Strength.WEAK, Strength.ABSENT)]
    if weak:
        tests = "; ".join(f"{_test(row)}, {row.get_strength_display()}" for row in weak)
        yield gettext("Strength: %(tests)s.") % {"tests": tests}
    tingling = "; ".join(_test(row) for row in here if row.tingling)
    if tingling:
        yield gettext("New tingling: %(tests)s.") % {"tests": tingling}
    if latest.resting_pain:
        text = gettext("Pain at rest before the first test: %(pain)s of 10.")
        yield text % {"pain": latest.resting_pain}
    if reading.performed:
        yield say(reading.performed)


def _familiar(reading: Reading, found: list[Finding]) -> str:
    count = {"count": len(reading.familiar), "done": reading.done}
    if not found:
        return gettext("Familiar pain in none of %(done)s tests on the affected side.") % count
    tests = "; ".join(f"{_test(row)}, {row.pain}" for row in found)
    text = gettext(
        "Familiar pain in %(count)s of %(done)s tests on the affected side: %(tests)s of 10."
    )
    return text % {**count, "tests": tests}


def _test(row: Finding) -> str:
    finger = f" ({say(FINGERS[row.finger])})" if row.finger else ""
    return f"{say(row.provocation.name)}{finger}"


def _measured(course: Course) -> Iterator[Fact]:
    """The last grip of both sides and the last pain ratings; of grips, the first way that is on record."""
    newest = course.visits[::-1]
    squeezed = ((at, way) for at in newest for way in WAYS if at.mean_n(way) is not None)
    if last := next(squeezed, None):
        yield _grip(*last)
    if rated := next((at for at in newest if at.pains), None):
        yield _pain(rated)


def _grip(at: Measured, way: Way) -> Fact:
    what = gettext("Grip, %(day)s, %(way)s") % {"day": written(at.on), "way": _lower(say(way.name))}
    sides = (_force(at, way, side) for side in (at.affected, at.affected.other))
    return Fact(what=what, words="; ".join(sides))


def _force(at: Measured, way: Way, side: Side) -> str:
    trials = at.trials_n(way, affected=side is at.affected)
    known = gettext("%(side)s %(force)s N, mean of %(n)s")
    text = known if trials else gettext("%(side)s not measured")
    affected = gettext("%(side)s (affected)") if side is at.affected else "%(side)s"
    return text % {
        "side": affected % {"side": say(side.label)},
        "force": number(at.mean_n(way, affected=side is at.affected), 0),
        "n": len(trials),
    }


def _pain(at: Measured) -> Fact:
    ratings = ", ".join(f"{say(context.label)} {pain}" for context, pain in at.pains.items())
    what = gettext("Pain, %(day)s") % {"day": written(at.on)}
    return Fact(what=what, words=gettext("%(ratings)s of 10") % {"ratings": ratings})


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _examined(screening: Screening, question: str) -> Iterator[Fact]:
    """What was looked for because of the question, and was it there."""
    about = {sign.code for group in GROUPS if group.question == question for sign in group.signs}
    looked_for = [sign for sign in screening.recorded_signs() if sign.code in about]
    heads = {
        Outcome.FOUND: gettext("Found: %(signs)s."),
        Outcome.ABSENT: gettext("Not found: %(signs)s."),
    }
    said = [
        head % {"signs": "; ".join(found)}
        for outcome, head in heads.items()
        if (found := [_sign(sign) for sign in looked_for if sign.outcome is outcome])
    ]
    if said:
        what = gettext("Examined, %(day)s") % {"day": written(screening.on)}
        yield Fact(what=what, words=" ".join(said))


def _sign(sign: RecordedSign) -> str:
    side = f" ({say(sign.side.label)})" if sign.side else ""
    return f"{say(SIGNS[sign.code].label)}{side}"


def _injections(case: Case) -> Iterator[Fact]:
    given = [
        f"{row.get_substance_display()}, {written(row.given_on)}" for row in case.injections.all()
    ]
    if given:
        yield Fact(what=gettext("Injected at this elbow"), words="; ".join(given))


def _also_yes(screening: Screening, *, but: str) -> Iterator[Fact]:
    answers = screening.in_words()
    also = [q for q in QUESTIONS if answers.get(q.code) == Answer.YES and q.code != but]
    if also:
        words = " ".join(f"“{say(question.question)}”" for question in also)
        yield Fact(what=gettext("Also answered yes"), words=words)
