"""Where the sources behind the thresholds disagree, and which side the printed value takes.

Each row cites the sources on both sides. Its status is that of the weakest of them.
"""

from dataclasses import dataclass

from clinic.evidence import Status
from clinic.wording import gettext_noop as _


@dataclass(frozen=True, kw_only=True)
class Disagreement:
    """One question that the sources answer differently: the `group` and rows (`codes`) it concerns."""

    group: str
    codes: tuple[str, ...]
    question: str
    words: str
    source: str
    status: Status


DISAGREEMENTS: tuple[Disagreement, ...] = (
    Disagreement(
        group="pain",
        codes=("strict_red_floor", "standard_red_floor"),
        question=_("How much pain during exercise?"),
        words=_(
            "Registered trials at the elbow allow up to 2; other elbow programs allow mild pain, or "
            "expect moderate pain near the end; a shoulder trial allowed up to 5; another compares "
            "3–5 with 2, its results not seen here."
        ),
        source="Karanasios trial register NCT05919914; Stasinopoulos, and a sheet after Svernlöv & "
        "Adolfsson 2001; Holmgren 2012, BMJ 344:e787; PASE 2024, Trials 25:135",
        status=Status.SECOND_HAND,
    ),
    Disagreement(
        group="pain",
        codes=("standard_green_ceiling",),
        question=_("Is pain of 3 settled?"),
        words=_(
            "Summaries and health services print 3; the original figure ends at 2 (from memory)."
        ),
        source="Silbernagel 2007, doi:10.1177/0363546506298279; NHS providers",
        status=Status.FROM_MEMORY,
    ),
    Disagreement(
        group="week",
        codes=("morning_watch_rise", "morning_red_rise"),
        question=_("Settled by when?"),
        words=_(
            "Sources name the next morning, the next session, or 24 hours; here it is the next "
            "morning. That 1 point more is still allowed is common practice, anchored on a minimal "
            "detectable change of 1.4 points."
        ),
        source="Silbernagel 2007; Holmgren 2012, BMJ 344:e787; NHS providers; "
        "doi:10.1080/09593985.2025.2450090",
        status=Status.FROM_MEMORY,
    ),
    Disagreement(
        group="load",
        codes=("load_step_days",),
        question=_("Daily, or 3 days a week?"),
        words=_(
            "Programs with light loads are done daily, heavy slow resistance on 3 days a week. "
            "The ladder is daily in stages 1 and 2 and goes to 3 days a week from stage 3."
        ),
        source="Peterson 2011; Tyler 2010, J Shoulder Elbow Surg 19:917–922; Vuvan 2020, "
        "doi:10.1249/MSS.0000000000002128; Couppé 2022 trial register NCT02521298",
        status=Status.SECOND_HAND,
    ),
    Disagreement(
        group="gates",
        codes=("prtee_drop",),
        question=_("Which fall of PRTEE counts?"),
        words=_(
            "Published important changes are 14.8 and 31.3 points; 11 and 9 are from memory, and "
            "the study behind the 9 is not known."
        ),
        source="doi:10.1080/09593985.2025.2450090; Persian version, Arch Bone Jt Surg; "
        "Poltawski & Watson 2011",
        status=Status.FROM_MEMORY,
    ),
    Disagreement(
        group="review",
        codes=("refer_weeks",),
        question=_("When to refer?"),
        words=_(
            "Summaries of the same guidance say after 6 or after 6–12 months; an older review says 12."
        ),
        source="summaries of NICE CKS 2017 and 2020; older UK review, PMC3781883",
        status=Status.SECOND_HAND,
    ),
    Disagreement(
        group="review",
        codes=(),
        question=_("Does exercise do more than time?"),
        words=_(
            "Of 30 trials, exercise did a little better than passive care or injection, with low to "
            "very low certainty; in 5 trials strengthening did no better than nothing. Most people "
            "get better anyway, and the home program says so."
        ),
        source="Karanasios 2021, Br J Sports Med 55:477–485; Lapner 2022, JSES Int 6:321–330, "
        "doi:10.1016/j.jseint.2021.11.010",
        status=Status.PUBLISHED,
    ),
)


def about_row(code: str) -> tuple[Disagreement, ...]:
    """Return the disagreements that concern one threshold."""
    return tuple(row for row in DISAGREEMENTS if code in row.codes)
