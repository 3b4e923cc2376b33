"""How a patient of the demo is told: a person, a case, and what each contact found.

Nothing here decides anything: the decisions in the demo's records are made by the program's own rules.
"""

from dataclasses import dataclass, replace

from clinic.management.demo.load import Told


@dataclass(frozen=True, kw_only=True)
class Person:
    """Who it is; `tail` are the last two digits of an invented phone number."""

    given: str
    family: str
    age: int
    sex: str
    tail: int
    hand: str = "right"
    language: str = "en"
    print_size: str = "normal"
    # Weekdays, 0 is Monday, and parts of the day.
    suits: tuple[tuple[int, ...], tuple[str, ...]] = ((), ())


@dataclass(frozen=True, kw_only=True)
class Pains:
    """Pain 0–10."""

    rest: int
    worst: int
    gripping: int


@dataclass(frozen=True, kw_only=True)
class Seen:
    """One contact, `day` days after the case was opened; `diary` is how the days before it went.

    `ratio` is pain-free grip as a share of the other side's, `prtee` a share of the first score. `check`
    answers what no measure gives; `otherwise` is a decision that is not the proposed one, with its reason.
    """

    day: int
    diary: str
    ratio: float
    pains: Pains
    prtee: float
    check: tuple[tuple[str, object], ...] = ()
    otherwise: tuple[str, str, str] | None = None


@dataclass(frozen=True)
class Flag:
    """An answer of the screening that is not a plain no."""

    code: str
    answer: str = "yes"
    note: str = ""
    action: str = ""


@dataclass(frozen=True, kw_only=True)
class Further:
    """What the first round of the battery found beside the usual.

    `points` are the pressed ones with their pain, `weak` the tests that were weak (code and finger),
    `lifts` the optional tests with their pain.
    """

    points: tuple[tuple[str, int], ...] = ()
    weak: tuple[tuple[str, int | None], ...] = ()
    lifts: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Backhand:
    """A wrist on two pictures of one stroke, in degrees; below 0 is flexed."""

    days_ago: int
    contact_deg: int
    after_deg: int
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Story:
    """A case from its first day until today.

    `kg` is what the other hand squeezes; `prtee` the first score; `days_off` work, by the day of the contact
    that asked; `loads` the main exercise's load where a stage begins without one. `told` are further answers
    of the intake; `signs` what was examined at the screening: sign, side or "", outcome. `last` is how many
    days ago the last of `contacts` was. `since` is how the typed diary went since then. `booked` is the day
    of the next appointment from today (0 is today), `due` how many days after a contact the patient is wanted
    back. `draft` is a contact today that is not signed.
    """

    person: Person
    lead: str = ""
    side: str = "right"
    weeks_before: int = 8
    job: str = ""
    sport: str = ""
    manner: str = "gradual"
    words: str = ""
    provoked: tuple[str, ...] = ("gripping", "lifting")
    wants: tuple[str, ...] = ()
    nights: int = 1
    lasts: bool = False
    kg: float = 30
    prtee: int = 44
    days_off: tuple[tuple[int, int], ...] = ()
    loads: tuple[tuple[int, float], ...] = ()
    struck_on: int | None = None  # the day on which a trial of the grip test did not count
    plan: tuple[str, float | None] | None = None  # back to racket or work, and the job's load in kg
    step_kg: float = 0.1
    light_job: bool = False
    intake: bool = True
    screened: bool = True
    flags: tuple[Flag, ...] = ()
    told: Told = ()
    owns: Told = ()  # what is at home to train with
    signs: tuple[tuple[str, str, str], ...] = ()
    further: Further = Further()
    backhands: tuple[Backhand, ...] = ()
    injected_days_ago: int | None = None
    contacts: tuple[Seen, ...] = ()
    last: int = 5
    since: str = ""
    draft: Seen | None = None
    booked: int | None = None
    status_today: str = "booked"
    due: int = 14
    missed: tuple[int, ...] = ()
    cancelled: tuple[int, ...] = ()
    closed: tuple[str, str] | None = None
    addendum: tuple[str, str] | None = None

    @property
    def opened_days_ago(self) -> int:
        return self.last + (self.contacts[-1].day if self.contacts else 0)


def seen(day, diary, ratio, rest, worst, gripping, prtee, **check) -> Seen:
    pains = Pains(rest=rest, worst=worst, gripping=gripping)
    checked = tuple(check.items())
    return Seen(day=day, diary=diary, ratio=ratio, pains=pains, prtee=prtee, check=checked)


# A recovery without setbacks, from the first visit in stage 1 to the last step of the return plan: day,
# diary before it, grip ratio, pain at rest, worst and on gripping, share of the first PRTEE, stage check.
ROAD = (
    seen(0,   "",        .46, 3, 6, 6, 1.00),
    seen(10,  "settled", .50, 2, 5, 5, .95),
    seen(17,  "settled", .54, 1, 5, 5, .90),
    seen(27,  "spare",   .58, 1, 5, 4, .84),
    seen(37,  "spare",   .62, 1, 4, 4, .78),
    seen(47,  "spare",   .67, 1, 4, 3, .70),
    seen(57,  "settled", .72, 0, 4, 3, .62),
    seen(71,  "spare",   .77, 0, 3, 3, .54),
    seen(85,  "settled", .83, 0, 3, 2, .46, other_side_sore=False),
    seen(99,  "spare",   .87, 0, 3, 2, .40),
    seen(113, "spare",   .91, 0, 2, 1, .34),
    seen(127, "settled", .93, 0, 2, 1, .28, test_lift_pain=1),
    seen(141, "settled", .95, 0, 1, 1, .22, return_steps_done=7),
    seen(155, "settled", .96, 0, 1, 0, .18, return_steps_done=14),
    seen(169, "settled", .97, 0, 1, 0, .14, return_steps_done=21, own_goal_met=True),
)  # fmt: skip

# Where the road enters each stage.
STAGE_BEGINS = {1: 0, 2: 2, 3: 6, 4: 8, 5: 11}


def road(contacts: int, *, last: str | None = None) -> tuple[Seen, ...]:
    """The first `contacts` of the road; `last` says how the diary before the last one really went."""
    taken = ROAD[:contacts]
    return taken if last is None else (*taken[:-1], replace(taken[-1], diary=last))


def lower_road(contacts: int) -> tuple[Seen, ...]:
    """The road for an elbow that is not easily upset: it begins in stage 2."""
    start = ROAD[STAGE_BEGINS[2]]
    calm = replace(start, day=0, diary="", pains=Pains(rest=0, worst=3, gripping=3), prtee=1)
    later = [
        replace(one, day=one.day - start.day, pains=replace(one.pains, worst=2))
        for one in ROAD[STAGE_BEGINS[2] + 1 :]
    ]
    return (calm, *later)[:contacts]


def standstill(*days: int, diary: str = "settled") -> tuple[Seen, ...]:
    """Contacts on `days` at which nothing has changed, however well the exercises are done."""
    first = seen(0, "", 0.52, 3, 6, 5, 1.0)
    return (first, *(seen(day, diary, 0.53, 3, 6, 5, 0.97) for day in days))
