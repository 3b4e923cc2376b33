# ruff: noqa: E501 – a table keeps one row to a line
"""Every number that the loading ladder decides by, in one table.

A decision never contains a bare number: it looks it up here by code, and the criterion that used it
carries the row along, so that page, paper and stored record show the value, where it comes from and
how far it can be trusted. Rows with `setting=True` may be changed by a clinic within `lowest` to
`highest`.

Sources are abbreviated beside the rows; the common ones are
ACSM 2009, Med Sci Sports Exerc 41:687–708, doi:10.1249/MSS.0b013e3181915670;
Coombes 2016, Clin J Pain 32:1069–1075, doi:10.1097/AJP.0000000000000365;
Peterson 2011, Ups J Med Sci 116:269–279, doi:10.3109/03009734.2011.600476;
PRTEE and pain change 2025, Physiother Theory Pract, doi:10.1080/09593985.2025.2450090.
"""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from types import MappingProxyType
from typing import Any

from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say


@dataclass(frozen=True, kw_only=True)
class Threshold(Figure):
    """A figure that a rule decides by. A `setting` may be moved between `lowest` and `highest`.

    It goes in steps of `step`. A clinic's own value keeps the printed one beside it in `printed`.
    """

    code: str
    words: str
    setting: bool = False
    lowest: float | None = None
    highest: float | None = None
    step: float = 1
    printed: float | None = None

    @property
    def places(self) -> int | None:
        """Decimals that its values are written with; None leaves it to the value."""
        return 2 if self.step < 0.1 else None

    def as_json(self) -> dict[str, object]:
        """Return plain values; `from_json` reads them back."""
        return asdict(self) | {"status": str(self.status)}

    @classmethod
    def from_json(cls, stored: dict[str, Any]) -> "Threshold":
        """Rebuild a stored row as it stood. Raises ValueError on an unknown status."""
        return cls(**(stored | {"status": Status(stored["status"])}))


Limits = Mapping[str, Threshold]

_ = gettext_noop
PUB, SECOND, CONV, MEM = (
    Status.PUBLISHED,
    Status.SECOND_HAND,
    Status.CONVENTION,
    Status.FROM_MEMORY,
)

# Printed on the home program, so they are messages.
KARANASIOS = _("Karanasios trial register NCT05919914; PASE shoulder trial 2024, Trials 25:135")
HOLMGREN = _("Holmgren 2012, BMJ 344:e787 (shoulder)")
SILBERNAGEL = _("summaries of Silbernagel 2007, doi:10.1177/0363546506298279; NHS providers")
CHANGE_2025 = "doi:10.1080/09593985.2025.2450090 (2025, n=143)"
ACSM = "ACSM 2009, doi:10.1249/MSS.0b013e3181915670"
PETERSON = "Peterson 2011, doi:10.3109/03009734.2011.600476"
STAR = "adapted from McClure & Michener 2015, Phys Ther 95:791–800 (shoulder)"
COOMBES = "Coombes 2016, doi:10.1097/AJP.0000000000000365"
NO_SOURCE = "none"

NOT_ELBOW = _("Not validated for the elbow.")
ANCHORED = _("Anchored on a minimal detectable change of 1.4 points in pain.")
ORIGINAL_TWO = _("The original figure ends at 2; many summaries print 3.")
FIVE_ALLOWED = _("Up to 5 was allowed in a shoulder trial; registered elbow trials allow 2.")
DISAGREE = _("Figures range from 7 to 31 points; those below 14.8 are from memory.")
REFER_RANGE = _("Sources name 6, 6–12 or 12 months.")
SYMMETRY = _("Borrowed from limb-symmetry practice; no elbow program tested it.")


def _row(code: str, words: str, value: float, unit: str, source: str, status: Status,
         allowed: tuple[float, ...] | None = None, limits: str = "") -> Threshold:  # fmt: skip
    lowest, highest, *steps = allowed or (None, None)
    return Threshold(code=code, words=words, value=value, unit=unit, source=source, status=status,
                     setting=allowed is not None, lowest=lowest, highest=highest,
                     step=steps[0] if steps else 1, limits=limits)  # fmt: skip


Rows = tuple[Threshold, ...]

# Each row of a setting: from, to, and the step where it isn't 1.
# fmt: off
PAIN: Rows = (
    _row("strict_green_ceiling", _("Highest pain that still counts as settled, strict policy"), 2, "/10", KARANASIOS, PUB, (0, 3)),
    _row("strict_red_floor", _("Lowest pain that is too much, strict policy"), 3, "/10", KARANASIOS, PUB, (1, 5)),
    _row("standard_green_ceiling", _("Highest pain that still counts as settled, standard policy"), 3, "/10",
         SILBERNAGEL, SECOND, (2, 5), ORIGINAL_TWO),
    _row("standard_red_floor", _("Lowest pain that is too much, standard policy"), 6, "/10", HOLMGREN, SECOND, (3, 6), FIVE_ALLOWED),
)
WEEK: Rows = (
    _row("morning_watch_rise", _("Rise of morning pain over the baseline to watch"), 1, "points", CHANGE_2025, CONV, (1, 2, 0.5), ANCHORED),
    _row("morning_red_rise", _("Rise of morning pain over the baseline that is too much"), 2, "points", CHANGE_2025, CONV, (1, 3, 0.5), ANCHORED),
    _row("baseline_days", _("Mornings in the baseline"), 7, "days", NO_SOURCE, CONV),
    _row("week_hold_rise", _("Rise of the weekly mean that stops increases"), 1, "points", "Silbernagel 2007, idea only", CONV, (0.5, 2, 0.5)),
    _row("week_red_rise", _("Rise of the weekly mean that asks for less load"), 2, "points", "Silbernagel 2007, idea only", CONV, (1, 3, 0.5)),
    _row("watch_for_step_down", _("Sessions to watch in 7 days that cost one load step"), 3, "sessions", NO_SOURCE, CONV, (2, 5)),
    _row("reds_for_stage_back", _("Sessions that were too much in 7 days that cost a stage"), 2, "sessions", NO_SOURCE, CONV),
    _row("nights_for_stage_back", _("Nights with new waking in 7 days that cost a stage"), 2, "nights", NO_SOURCE, CONV),
    _row("back_days_least", _("Days in the stage below before going up again"), 3, "days", NO_SOURCE, CONV, (2, 7)),
    _row("back_days_most", _("Days in the stage below after which its own criteria count"), 7, "days", NO_SOURCE, CONV, (7, 14)),
    _row("flare_rise", _("Pain above the 7-day mean that makes a flare"), 2, "points", CHANGE_2025, CONV, limits=ANCHORED),
    _row("flares_for_holds", _("Flares in 14 days that lead back to holds"), 2, "flares", NO_SOURCE, CONV),
)
LOAD: Rows = (
    _row("settled_for_load", _("Settled sessions running before a load step"), 2, "sessions", ACSM, MEM, (2, 4)),
    _row("repetitions_over", _("Repetitions over the target in the last set"), 1, "repetitions", ACSM, PUB, (1, 2)),
    _row("load_step_days", _("Days between load steps in stage 2"), 7, "days", PETERSON, SECOND, (5, 14)),
    _row("load_step_least", _("Smallest load step worth making"), 2, "%", ACSM, PUB),
    _row("load_step_most", _("Largest load step"), 10, "%", ACSM, PUB, (5, 10)),
    _row("load_step_floor_kg", _("Load step that is always allowed"), 0.1, "kg", PETERSON, SECOND),
    _row("repetitions_ceiling", _("Repetitions to reach when the equipment has no small step"), 20, "repetitions", NO_SOURCE, CONV, (15, 25)),
    _row("hold_step_s", _("Longer hold by"), 5, "s", "Murtagh's General Practice", SECOND, (5, 15), _("The source adds 5 s once a week.")),
    _row("fallback_holds", _("Short holds after a session that was too much in stage 1"), 10, "holds", COOMBES, PUB),
    _row("fallback_hold_s", _("Length of a short hold"), 15, "s", COOMBES, PUB),
    _row("reduce_least", _("Smallest reduction after a session that was too much"), 10, "%", NO_SOURCE, CONV, (5, 15)),
    _row("reduce_most", _("Largest reduction after a session that was too much"), 20, "%", NO_SOURCE, CONV, (15, 30)),
    _row("adherence_share", _("Share of the sessions done that is enough to judge"), 70, "%",
         "near the 71 % of Vuvan 2020, doi:10.1249/MSS.0000000000002128", CONV, (50, 90)),
)
GATES: Rows = (
    _row("stage_1_days", _("Least time in stage 1"), 7, "days", NO_SOURCE, CONV, (3, 28)),
    _row("stage_2_days", _("Least time in stage 2"), 21, "days", NO_SOURCE, CONV, (7, 56)),
    _row("stage_3_days", _("Least time in stage 3"), 21, "days", NO_SOURCE, CONV, (7, 56)),
    _row("stage_4_days", _("Least time in stage 4"), 28, "days", NO_SOURCE, CONV, (14, 84)),
    _row("stage_5_days", _("Least time in stage 5"), 21, "days", NO_SOURCE, CONV, (7, 84)),
    _row("days_running", _("Settled days in a row with full holds"), 3, "days", NO_SOURCE, CONV, (2, 7)),
    _row("hold_target_s", _("Length of a full hold"), 45, "s", "Stasinopoulos 2017, doi:10.1016/j.jht.2016.09.001", SECOND, (30, 60)),
    _row("settled_running", _("Settled sessions running with the full dose"), 2, "sessions", NO_SOURCE, CONV, (2, 4)),
    _row("night_wakings", _("Nights woken in a week at most"), 1, "nights", NO_SOURCE, CONV, (0, 2)),
    _row("rest_pain", _("Pain at rest at most"), 2, "/10", NO_SOURCE, CONV, (0, 3)),
    _row("load_gain_kg", _("Load added since the start of stage 2"), 0.3, "kg", NO_SOURCE, CONV, (0.1, 1, 0.1)),
    _row("grip_change_n", _("Change of pain-free grip beyond measurement error"), 92, "N",
         "Hill 2023, Physiother Theory Pract 39:1007–1015", PUB, limits=_("Between sessions, elbow straight, mean of three.")),
    _row("ratio_for_heavy", _("Grip ratio for stage 4"), 0.80, "", NO_SOURCE, CONV, (0.7, 0.9, 0.01), SYMMETRY),
    _row("ratio_for_return", _("Grip ratio for stage 5 and for discharge"), 0.90, "", NO_SOURCE, CONV, (0.8, 1, 0.01), SYMMETRY),
    _row("prtee_drop", _("Fall of PRTEE that counts"), 15, "points", CHANGE_2025 + ": 14.8, rounded up", PUB, (11, 31), DISAGREE),
    _row("prtee_rise", _("Rise of PRTEE accepted in stage 2"), 0, "points", NO_SOURCE, CONV),
    _row("prtee_for_heavy", _("PRTEE low enough for stage 4"), 30, "points", NO_SOURCE, CONV, (20, 40)),
    _row("prtee_for_discharge", _("PRTEE low enough for discharge"), 20, "points", NO_SOURCE, CONV, (5, 30)),
    _row("test_lift_pain", _("Pain in the job or sport test lift at most"), 2, "/10", NO_SOURCE, CONV, (0, 3)),
    _row("clear_days_for_return", _("Days without a session that was too much, for stage 5"), 14, "days", NO_SOURCE, CONV, (7, 28)),
    _row("clear_days_for_discharge", _("Days without a session that was too much, for discharge"), 28, "days", NO_SOURCE, CONV, (14, 56)),
    _row("settled_for_return", _("Settled sessions before the next step of the return plan"), 1, "sessions", NO_SOURCE, CONV),
    _row("return_steps", _("Steps of the interval racket program"), 21, "steps",
         "Myers 2016, doi:10.1177/1941738116657074", PUB, limits=_("Another return plan may have other steps.")),
)
REVIEW: Rows = (
    _row("pain_drop", _("Fall of worst pain that counts"), 2.3, "points", CHANGE_2025, PUB),
    _row("review_weeks", _("Review when nothing has changed"), 6, "weeks", "NHS public text; Murtagh's General Practice", SECOND, (4, 8)),
    _row("re_examine_weeks", _("Examine again when nothing has changed"), 12, "weeks", NO_SOURCE, CONV, (8, 16)),
    _row("refer_weeks", _("Refer when nothing has changed"), 26, "weeks", "summary of NICE CKS 2020", SECOND, (26, 52), REFER_RANGE),
)
ENTRY: Rows = (
    _row("youngest", _("Youngest age the ladder is offered at"), 18, "years", "JOSPT 2022, doi:10.2519/jospt.2022.0302", SECOND),
    _row("oldest", _("Oldest age in the guideline's population"), 65, "years", "JOSPT 2022, doi:10.2519/jospt.2022.0302", SECOND),
    _row("high_pain", _("Pain that makes irritability high"), 7, "/10", STAR, MEM, (6, 8), NOT_ELBOW),
    _row("moderate_pain", _("Pain that makes irritability moderate"), 4, "/10", STAR, MEM, (3, 5), NOT_ELBOW),
    _row("high_nights", _("Night wakings a week that make irritability high"), 3, "a week", NO_SOURCE, CONV, (2, 5), NOT_ELBOW),
    _row("moderate_nights", _("Night wakings a week that make irritability moderate"), 1, "a week", NO_SOURCE, CONV, None, NOT_ELBOW),
    _row("high_prtee", _("PRTEE above which irritability is high"), 54, "points", "Coombes 2015, doi:10.2519/jospt.2015.5841", MEM, (45, 65)),
    _row("moderate_prtee", _("PRTEE from which irritability is moderate"), 20, "points", NO_SOURCE, CONV, (15, 30)),
)
# fmt: on

GROUPS: tuple[tuple[str, Sentence, Rows], ...] = (
    ("pain", say("Pain during exercise"), PAIN),
    ("week", say("The morning after, the night, the week"), WEEK),
    ("load", say("Load"), LOAD),
    ("gates", say("Stage gates"), GATES),
    ("review", say("Review"), REVIEW),
    ("entry", say("Entry"), ENTRY),
)

THRESHOLDS: Rows = tuple(row for _code, _title, rows in GROUPS for row in rows)

DEFAULTS: Limits = MappingProxyType({row.code: row for row in THRESHOLDS})

# The left one must stay below the right one, or no session could be told apart.
ORDERED = (
    ("strict_green_ceiling", "strict_red_floor"),
    ("standard_green_ceiling", "standard_red_floor"),
    ("week_hold_rise", "week_red_rise"),
    ("reduce_least", "reduce_most"),
    ("review_weeks", "re_examine_weeks"),
    ("back_days_least", "back_days_most"),
)
# The left one may reach the right one; above it, the words of the two would be untrue.
NOT_ABOVE = (
    ("morning_watch_rise", "morning_red_rise"),
    ("strict_green_ceiling", "standard_green_ceiling"),
    ("strict_red_floor", "standard_red_floor"),
    ("ratio_for_heavy", "ratio_for_return"),
    ("prtee_for_discharge", "prtee_for_heavy"),
    ("clear_days_for_return", "clear_days_for_discharge"),
)


def in_force(changes: Mapping[str, float]) -> Limits:
    """Return the table with a clinic's own values in it, marked as the clinic's own.

    `changes` maps codes to new values in the row's unit. Raises ValueError for an unknown code, a
    row that is not a setting, a value outside its range or between its steps, or two limits in the
    wrong order.
    """
    rows = dict(DEFAULTS)
    for code, value in changes.items():
        rows[code] = _changed(code, value)
    for low, high in ORDERED:
        if rows[low].value >= rows[high].value:
            raise ValueError(f"{low} must be below {high}")
    for low, high in NOT_ABOVE:
        if rows[low].value > rows[high].value:
            raise ValueError(f"{low} must not be above {high}")
    return MappingProxyType(rows)


def _changed(code: str, value: float) -> Threshold:
    row = DEFAULTS.get(code)
    if row is None or not row.setting or row.lowest is None or row.highest is None:
        raise ValueError(f"{code} is not a setting")
    if not row.lowest <= value <= row.highest:
        raise ValueError(f"{code} must lie in {row.lowest:g} to {row.highest:g}")
    if not in_steps(row, value):
        raise ValueError(f"{code} goes in steps of {row.step:g}")
    if value == row.value:
        return row
    return replace(row, value=value, printed=row.value, status=Status.CLINIC_SETTING)


def in_steps(row: Threshold, value: float) -> bool:
    """Return whether a value, in the row's unit, is a whole number of the row's steps."""
    return math.isclose(value / row.step, round(value / row.step), abs_tol=1e-6)


def neighbors(code: str, limits: Limits) -> tuple[tuple[Threshold, bool, bool], ...]:
    """Return the rows that one is ordered with, each with whether it is the higher one of the two,
    and whether the two may be equal.
    """
    pairs = [(pair, False) for pair in ORDERED] + [(pair, True) for pair in NOT_ABOVE]
    return tuple(
        (limits[high if code == low else low], code == low, may_equal)
        for (low, high), may_equal in pairs
        if code in (low, high)
    )


def crossing(code: str, value: float, *, limits: Limits) -> Sentence | None:
    """Return why `value`, in the row's unit, would bring two limits in force into the wrong order."""
    for other, is_higher, may_equal in neighbors(code, limits):
        if value == other.value and may_equal:
            continue
        if value == other.value or (value > other.value) is is_higher:
            return order_words(other, is_higher, may_equal)
    return None


def order_words(other: Threshold, is_higher: bool, may_equal: bool) -> Sentence:
    """Return the order of a row to the `other` one, in words with its value in force."""
    text = {
        (True, False): _("It must stay below “%(other)s”, which is %(value)s."),
        (True, True): _("It must not be above “%(other)s”, which is %(value)s."),
        (False, False): _("It must stay above “%(other)s”, which is %(value)s."),
        (False, True): _("It must not be below “%(other)s”, which is %(value)s."),
    }[is_higher, may_equal]
    return say(text, other=other.words, value=str(other))
