"""What a column of a row says in words, for the page that a person reads."""

import datetime
from collections.abc import Callable, Mapping

from django.db import models
from django.utils import timezone
from django.utils.formats import number_format
from django.utils.text import capfirst
from django.utils.translation import gettext

from assessments.clinical.measures import BY_KEY
from cases.clinical.screening import BY_CODE
from cases.clinical.screening_signs import SIGNS
from cases.delivery import SENTENCES
from cases.models import Intake
from cases.models.battery import FINGERS
from cases.suits import suits_words
from clinic.models import Staff
from clinic.templatetags.clinic_tags import clock, say, shown, written
from rehab.clinical.ladder import Stage
from rehab.models.handout import Handout

Names = Mapping[int, str]


def _choices(row: models.Model, name: str, choices: type[models.TextChoices]) -> str:
    return ", ".join(str(choices(code).label) for code in getattr(row, name))


def _stage(row: models.Model) -> str:
    return f"{row.stage}, {say(Stage(row.stage).label)}"


def _numbered(items: list) -> str:
    return ", ".join(f"{place}: {shown(item)}" for place, item in enumerate(items, start=1))


def _version(program: models.Model | None) -> str:
    return gettext("version %(n)s") % {"n": program.version} if program else ""


def _addendum(addendum: models.Model | None) -> str:
    return gettext("addendum of %s") % written(addendum.written_at) if addendum else ""


def _sheets(pack: models.Model) -> str:
    return ", ".join(sheet.name for sheet in pack.handouts.all())


def _asked_for(pack: models.Model) -> str:
    return ", ".join(str(Handout.Kind(kind).label) for kind in pack.kinds)


def _proposed(decision: models.Model) -> str:
    """The reasons, then each criterion as it stood; every limit in force is in record.json."""
    proposal = decision.as_proposed()
    held = {True: gettext("held"), False: gettext("not held"), None: gettext("unknown")}
    told = gettext("%(words)s: %(held)s. Found: %(found)s Asked for: %(gate)s")
    criteria = (
        told
        % {
            "words": say(row.words),
            "held": held[row.held],
            "found": say(row.found),
            "gate": say(row.gate),
        }
        for row in proposal.criteria
    )
    said = [*map(say, proposal.reasons), *(say(message.words) for message in proposal.messages)]
    return "\n".join([*said, *criteria])


# Codes, lists and keys by the words that a person knows them by.
WORDS: dict[str, Callable[[models.Model], str]] = {
    "cases.Patient.record_number": lambda row: row.record,
    "cases.Patient.suits_weekdays": lambda row: suits_words(row.suits_weekdays, ()),
    "cases.Patient.suits_parts": lambda row: suits_words((), row.suits_parts),
    "cases.Appointment.case": lambda row: row.case.get_side_display() if row.case else "",
    "cases.Notice.why": lambda row: say(SENTENCES.get(row.why, row.why)),
    "cases.ImportRow.run": lambda row: str(row.run),
    "cases.Intake.spreads_to": lambda row: _choices(row, "spreads_to", Intake.Spread),
    "cases.ScreeningAnswer.question": lambda row: say(BY_CODE[row.question].question),
    "cases.ScreeningSign.sign": lambda row: say(SIGNS[row.sign].label),
    "cases.Finding.test": lambda row: say(row.provocation.name),
    "cases.Finding.finger": lambda row: say(FINGERS.get(row.finger, "")),
    "cases.Finding.where": lambda row: say(row.place.label) if row.place else "",
    "cases.Finding.variant": lambda row: say(row.way.text) if row.way else "",
    "cases.PalpationPoint.point": lambda row: say(row.place.name),
    "cases.CorrectionRequest.addendum": lambda row: _addendum(row.addendum),
    "assessments.MeasuredValue.measure": lambda row: say(BY_KEY[row.measure].name),
    "assessments.QuestionnaireResponse.items": lambda row: _numbered(row.items),
    "assessments.ActivityRating.activity": lambda row: row.activity.name,
    "rehab.Program.stage": _stage,
    "rehab.Program.weekdays": lambda row: suits_words(row.weekdays, ()),
    "rehab.ProgramExercise.card": lambda row: say(row.of_card.name),
    "rehab.Decision.program": lambda row: _version(row.program),
    "rehab.Decision.proposal": _proposed,
    "rehab.Handout.case": lambda row: row.case.get_side_display() if row.case else "",
    "rehab.Handout.program": lambda row: _version(row.program),
    "rehab.Pack.run": lambda row: written(row.run.day),
    "rehab.Pack.kinds": _asked_for,
    "rehab.Pack.handouts": _sheets,
}

# What a row is headed by, where the name of its table does not tell it from the next.
TITLES: dict[str, Callable[[models.Model], str]] = {
    "cases.Visit": lambda row: gettext("Visit of %s") % written(row.on),
    "cases.Screening": lambda row: gettext("Screening of %s") % written(row.on),
    "cases.Notice": lambda row: gettext("E-mail of %s") % written(row.written_at),
    "cases.Addendum": lambda row: gettext("Addendum of %s") % written(row.written_at),
    "cases.WristAngle": lambda row: gettext("Wrist angle of %s") % written(row.on),
    "rehab.Program": lambda row: gettext("Program %s") % row.version,
    "rehab.Handout": lambda row: str(capfirst(row.get_kind_display())),
    "rehab.Pack": lambda row: gettext("Pack of %s") % written(row.run.day),
}


def title(row: models.Model) -> str:
    made = TITLES.get(row._meta.label)
    return made(row) if made else str(capfirst(row._meta.verbose_name))


def label(field: models.Field) -> str:
    return str(capfirst(field.verbose_name))


def words(row: models.Model, field: models.Field, names: Names) -> str:
    """What the column says, empty where it holds nothing; 0 and “no” are something."""
    if special := WORDS.get(f"{row._meta.label}.{field.name}"):
        return special(row)
    value = getattr(row, field.attname)
    if value in (None, "", [], {}):
        return ""
    if field.related_model is Staff:
        return names[value]
    return str(_displayed(row, field) if field.choices else plain(value))


def _displayed(row: models.Model, field: models.Field) -> str:
    return getattr(row, f"get_{field.name}_display")()


def plain(value: object) -> str:
    """A value as it is written for people; lists and objects with their parts one after the other."""
    match value:
        case datetime.datetime():
            return f"{plain(timezone.localdate(value))}, {clock(value)}"
        case datetime.date():
            # On one line: in a column of days the year would take a second one.
            return written(value).replace(" ", "\u00a0")
        case float():
            return number_format(f"{value:g}" if abs(value) < 1e6 else value)
        case dict():
            return "; ".join(f"{key}: {plain(part)}" for key, part in value.items())
        case list():
            return ", ".join(plain(part) for part in value)
        case bytes() | memoryview():
            return gettext("%(n)s bytes") % {"n": len(value)}
    return shown(value)
