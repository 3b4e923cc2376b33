"""Who has seen a patient: the events about one record, by day and person."""

import datetime
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from django.utils import timezone
from django.utils.translation import gettext as _

from clinic.models import AuditEvent
from clinic.reads import OPENED
from clinic.templatetags.clinic_tags import clock, say


@dataclass(frozen=True, kw_only=True)
class Deed:
    """What somebody did on one day, and how often."""

    what: str
    times: int

    @property
    def words(self) -> str:
        return self.what if self.times == 1 else f"{self.what} ×{self.times}"


@dataclass(kw_only=True)
class PersonDay:
    """One person's day with one record."""

    day: datetime.date
    who: str
    moments: list[datetime.datetime] = field(default_factory=list)
    pages: Counter[str] = field(default_factory=Counter)
    deeds: Counter[str] = field(default_factory=Counter)

    def take(self, event: AuditEvent) -> None:
        self.moments.append(event.at)
        if event.verb == OPENED:
            self.pages[event.page_words or event.object_words] += 1
        else:
            self.deeds[_deed(event)] += 1

    @property
    def clocks(self) -> str:
        """The first and the last moment, as times of the day."""
        first, last = clock(min(self.moments)), clock(max(self.moments))
        return first if first == last else f"{first}–{last}"

    @property
    def looked(self) -> list[Deed]:
        return _deeds(self.pages)

    @property
    def did(self) -> list[Deed]:
        return _deeds(self.deeds)


def _deeds(counted: Counter[str]) -> list[Deed]:
    return [Deed(what=what, times=times) for what, times in counted.items()]


def _deed(event: AuditEvent) -> str:
    """The verb with what it was done to; of a sheet or file, which one."""
    what = event.detail.get("what") or event.object_words
    return f"{say(event.verb)}: {say(str(what))}" if what else say(event.verb)


def by_day_and_person(events: Iterable[AuditEvent], names: Mapping[int, str]) -> list[PersonDay]:
    """In the order of the events, each day of a person where its first event stands."""
    found: dict[tuple[datetime.date, int | None], PersonDay] = {}
    for event in events:
        day = timezone.localdate(event.at)
        key = day, event.actor_id
        if key not in found:
            found[key] = PersonDay(day=day, who=names.get(event.actor_id, _("nobody of the staff")))
        found[key].take(event)
    return list(found.values())
