"""The words of an e-mail to a patient: the standard ones, and what a clinic's own may hold.

A place is a name in braces, such as {day}. There are places for when, where and with whom, and none for what
was found, measured or prescribed: others may read an e-mail too.
"""

import re
from collections.abc import Mapping
from enum import StrEnum

from clinic.wording import Sentence, gettext_noop, say

LONGEST_SUBJECT = 150
LONGEST_BODY = 2000
PLACE = re.compile(r"\{([^{}]*)\}")


class Occasion(StrEnum):
    """What an e-mail is about."""

    BOOKED = "booked"
    SERIES = "series"
    MOVED = "moved"
    REMINDER = "reminder"
    CANCELLED = "cancelled"


# fmt: off
PLACES = {
    "patient": gettext_noop("the patient's given name"),
    "day": gettext_noop("weekday and date"),
    "time": gettext_noop("when it begins"),
    "number": gettext_noop("how many visits"),
    "visits": gettext_noop("weekday, date and time of each visit, a line each"),
    "minutes": gettext_noop("how many minutes it takes"),
    "practitioner": gettext_noop("with whom"),
    "clinic": gettext_noop("the clinic's name"),
    "address": gettext_noop("the clinic's address on one line"),
    "phone": gettext_noop("the clinic's phone number"),
}
# fmt: on
# Which of them tell the patient when to come, of one appointment and of several.
OF_ONE, OF_SEVERAL = ("day", "time"), ("number", "visits")

SUBJECTS = {
    Occasion.BOOKED: gettext_noop("{clinic}: your appointment on {day}, {time}"),
    Occasion.SERIES: gettext_noop("{clinic}: your next {number} appointments"),
    Occasion.MOVED: gettext_noop("{clinic}: new time for your appointment: {day}, {time}"),
    Occasion.REMINDER: gettext_noop("{clinic}: your appointment on {day}, {time}"),
    Occasion.CANCELLED: gettext_noop("{clinic}: cancelled: your appointment on {day}, {time}"),
}
BODIES = {
    Occasion.BOOKED: gettext_noop(
        "Hello {patient},\n\n"
        "your appointment is booked:\n\n"
        "{day}, {time}\n"
        "with {practitioner}\n"
        "{clinic}, {address}\n\n"
        "The file with this e-mail puts it in your calendar.\n\n"
        "If you can't come, please call us: {phone}. Declining it in your calendar does not cancel it.\n\n"
        "You agreed to e-mail about your appointments. If you want no more, please tell us."
    ),
    Occasion.SERIES: gettext_noop(
        "Hello {patient},\n\n"
        "your next {number} appointments are booked:\n\n"
        "{visits}\n\n"
        "with {practitioner}\n"
        "{clinic}, {address}\n\n"
        "The file with this e-mail puts them all in your calendar.\n\n"
        "If you can't come to one of them, please call us: {phone}. "
        "Taking it out of your calendar does not cancel it.\n\n"
        "You agreed to e-mail about your appointments. If you want no more, please tell us."
    ),
    Occasion.MOVED: gettext_noop(
        "Hello {patient},\n\n"
        "your appointment has changed. It is now:\n\n"
        "{day}, {time}\n"
        "with {practitioner}\n"
        "{clinic}, {address}\n\n"
        "The file with this e-mail changes it in your calendar.\n\n"
        "If you can't come, please call us: {phone}. Declining it in your calendar does not cancel it.\n\n"
        "You agreed to e-mail about your appointments. If you want no more, please tell us."
    ),
    Occasion.REMINDER: gettext_noop(
        "Hello {patient},\n\n"
        "we expect you:\n\n"
        "{day}, {time}\n"
        "with {practitioner}\n"
        "{clinic}, {address}\n\n"
        "If you can't come, please call us: {phone}. Declining it in your calendar does not cancel it.\n\n"
        "You agreed to e-mail about your appointments. If you want no more, please tell us."
    ),
    Occasion.CANCELLED: gettext_noop(
        "Hello {patient},\n\n"
        "this appointment is cancelled:\n\n"
        "{day}, {time}\n"
        "with {practitioner}\n"
        "{clinic}, {address}\n\n"
        "The file with this e-mail takes it out of your calendar.\n\n"
        "For another time, please call us: {phone}.\n\n"
        "You agreed to e-mail about your appointments. If you want no more, please tell us."
    ),
}  # fmt: skip


def filled(text: str, values: Mapping[str, str]) -> str:
    """Return the text with each place filled, values as they are. Raises KeyError for an unknown place."""
    return PLACE.sub(lambda place: values[place[1]], text)


def places_of(occasion: Occasion) -> dict[str, str]:
    """Return the names that a text on this occasion may hold, with what they stand for."""
    others = OF_ONE if occasion is Occasion.SERIES else OF_SEVERAL
    return {name: meaning for name, meaning in PLACES.items() if name not in others}


def needed_in(occasion: Occasion) -> tuple[str, ...]:
    """Return the names that must stand in the body: when to come."""
    return ("visits",) if occasion is Occasion.SERIES else OF_ONE


def faults(text: str, occasion: Occasion, *, needed: tuple[str, ...] = ()) -> list[Sentence]:
    """Return what is wrong with a clinic's own text: unknown places, stray braces, `needed` ones left out."""
    used, places = PLACE.findall(text), places_of(occasion)
    found = [
        say("There is no {%(name)s}. Possible are %(names)s.", name=name, names=_listed(places))
        for name in dict.fromkeys(used)
        if name not in places
    ]
    if set("{}") & set(PLACE.sub("", text)):
        found.append(
            say("Braces only stand around one of these names: %(names)s.", names=_listed(places))
        )
    missing = [name for name in needed if name not in used]
    if missing:
        found.append(
            say("The patient must read when it is: add %(names)s.", names=_listed(missing))
        )
    return found


def _listed(names) -> str:
    return ", ".join(f"{{{name}}}" for name in names)
