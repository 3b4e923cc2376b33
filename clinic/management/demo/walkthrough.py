"""The two patients to try: one to see for the first time, one whose paper diary is still to be typed in."""

import datetime
from dataclasses import dataclass

from clinic.management.demo import load
from clinic.management.demo.load import told
from clinic.management.demo.story import Further, Person, Story, lower_road, seen

NEW = Story(
    person=Person(given="Odile", family="Carrick", age=44, sex="female", tail=98),
    lead="ines",
    weeks_before=9,
    intake=False,
    screened=False,
    last=1,
    booked=0,
)
NEW_TELLS = (
    "A sail maker; it came on gradually nine weeks ago while she sewed heavy canvas.",
    "Pain at rest 2, worst pain 5, woken on 1 night a week, gone within a day after light use.",
    "She wants to sew canvas, open jars and carry shopping. Every screening question: no.",
)

FOLLOW_UP = Story(
    person=Person(given="Tamsin", family="Ferrow", age=51, sex="female", tail=97),
    lead="ines",
    weeks_before=14,
    job="gardener in the harbor park",
    sport="choir, allotment",
    words="Hurts when I pull weeds and lift the watering can. Nights are quiet.",
    provoked=("gripping", "lifting", "tools"),
    told=told(load.GARDEN, gardening_hours=20, found_at="epicondyle"),
    further=Further(points=(("epicondyle", 2), ("distal-anterior", 3)), lifts=(("chair-lift", 3),)),
    wants=("pull weeds for an hour", "carry a full watering can", "prune with shears"),
    nights=0,
    kg=27,
    prtee=18,
    contacts=(
        *lower_road(1),
        seen(9, "settled", 0.61, 0, 3, 3, 0.95),
    ),
    last=12,
    due=12,
    booked=0,
    status_today="arrived",
)


@dataclass(frozen=True)
class PaperDay:
    """One row of the paper: what the patient wrote for a day, counted back from today."""

    days_ago: int
    sets: int
    last_set: int | None
    worst: int | None
    morning: int
    woken: int = 0
    kg: float = 1.0

    def on(self, today: datetime.date) -> datetime.date:
        return today - datetime.timedelta(days=self.days_ago)


# One session to watch, two days of rest, and repetitions to spare at the end.
PAPER = (
    PaperDay(12, 3, 15, 2, 1),
    PaperDay(11, 3, 15, 2, 1),
    PaperDay(10, 3, 15, 4, 2),
    PaperDay(9,  0, None, None, 1),
    PaperDay(8,  3, 15, 2, 1),
    PaperDay(7,  3, 15, 2, 1),
    PaperDay(6,  3, 15, 1, 1),
    PaperDay(5,  0, None, None, 1),
    PaperDay(4,  3, 16, 2, 1),
    PaperDay(3,  3, 16, 2, 1),
    PaperDay(2,  3, 17, 1, 1),
    PaperDay(1,  3, 17, 1, 0),
)  # fmt: skip
PROPOSED = "stay in stage 2 and add load, from 1 kg to 1.1 kg"
