"""Why the patient came, what the tests gave and what was asked: from the records to the course summary."""

from collections.abc import Iterator

from django.utils import timezone
from django.utils.translation import gettext

from cases.clinical.battery_change import spot_name
from cases.clinical.findings import FindingAnswer
from cases.clinical.intake import Provocation
from cases.clinical.screening import unanswered
from cases.clinical.screening_questions import QUESTIONS
from cases.models import Finding, Screening
from cases.models.screening import ScreeningAnswer
from clinic.templatetags.clinic_tags import say
from rehab.inputs import Records

from .pieces import Words
from .summary_facts import Flag, Round, Screened, Spot, Why


def why(records: Records) -> Why:
    intake, case = records.intake, records.case
    return Why(
        began=case.onset,
        manner=intake.get_manner_display() if intake.manner else "",
        provoked=tuple(Provocation(code).label for code in intake.provoked_by),
        occupation=intake.occupation,
        sport=intake.sport,
        wants=tuple(activity.name for activity in case.activities.all()),
        injections=tuple((row.get_substance_display(), row.given_on) for row in records.injections),
    )


def tested(records: Records) -> Round | None:
    """The last round, each test beside the first round."""
    first, last = records.first_and_last
    if last is None:
        return None
    case = records.case
    reading = last.read(first)
    here = [row for row in last.in_order() if row.side == case.side]
    then = {(change.test, change.finger): change.before for change in reading.changes}
    return Round(
        on=last.performed_on,
        performed=reading.performed or "",
        resting_pain=last.resting_pain,
        done=reading.done,
        hurt=len(reading.familiar),
        other_side=len(reading.familiar_other_side),
        spots=tuple(_spots(here, then)),
        elsewhere=tuple(_elsewhere(here)),
        first_on=first.performed_on if first else None,
    )


def _spots(here: list[Finding], then: dict[tuple[str, int | None], int]) -> Iterator[Spot]:
    """The tests that gave the familiar pain now or in the first round."""
    for row in here:
        spot, given = (row.test, row.finger), row.given()
        if given.was_done and (given.is_familiar or spot in then):
            yield Spot(
                test=spot_name(*spot),
                now=(given.pain or 0) if given.is_familiar else 0,
                first=then.get(spot),
            )


def _elsewhere(here: list[Finding]) -> Iterator[tuple[Words, Words]]:
    for row in here:
        given, name = row.given(), spot_name(row.test, row.finger)
        if given.answer is FindingAnswer.OTHER:
            yield name, gettext("pain elsewhere, %(place)s") % {"place": say(given.where.label)}
        if given.is_weak and given.answer is FindingAnswer.NONE:
            yield name, gettext("weak, without pain")
        if given.tingling:
            yield name, gettext("new tingling")


def screened(records: Records) -> Screened | None:
    asked = records.screening
    if asked is None:
        return None
    given = asked.given()
    return Screened(
        on=asked.on,
        asked=len(given),
        left=len(unanswered(given)),
        flags=tuple(_flag(answer) for answer in _not_no(asked)),
        signs=tuple(
            (reading.group.title, reading.sentence)
            for reading in asked.sign_readings()
            if reading.found
        ),
    )


def _not_no(asked: Screening) -> list[ScreeningAnswer]:
    """What must be acted on first, the rest in the order of the form."""
    order = [question.code for question in QUESTIONS]
    rows = [row for row in asked.answers.all() if row.answer != row.Answer.NO]
    return sorted(rows, key=lambda row: (not row.must_be_acted_on, order.index(row.question)))


def _flag(row: ScreeningAnswer) -> Flag:
    return Flag(
        condition=row.asked.condition,
        known=row.answer == row.Answer.YES,
        note=row.note,
        defers="" if row.action_taken else row.asked.defers,
        must_act=row.must_be_acted_on,
        done=row.action_taken,
        done_on=timezone.localdate(row.action_at) if row.action_at else None,
    )
