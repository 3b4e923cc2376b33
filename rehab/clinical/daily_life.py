"""What helps in daily life beside the exercises, in plain words, each with what backs it.

The words are our own. What no source says is common practice and marked so; where sources disagree
the words promise no more than both allow.
"""

from dataclasses import dataclass

from clinic.evidence import Status
from clinic.wording import gettext_noop as _


@dataclass(frozen=True, kw_only=True)
class Tip:
    """One piece of advice: what it is `about`, its sentences, where it comes from and how it is known."""

    about: str
    sentences: tuple[str, ...]
    source: str
    status: Status


TIPS: tuple[Tip, ...] = (
    Tip(
        about=_("Lifting"),
        sentences=(
            _("Lift with your palm up and your elbow bent."),
            _("Keep the load close to your body."),
        ),
        source=_("NHS provider, chcpmsk.org.uk"),
        status=Status.SECOND_HAND,
    ),
    Tip(
        about=_("Changing tasks"),
        sentences=(
            _("Do less of what hurts, or do it in another way."),
            _("But keep using your arm."),
        ),
        source="NICE CKS 2020; BMC Musculoskelet Disord 2013;14:310",
        status=Status.SECOND_HAND,
    ),
    Tip(
        about=_("Work"),
        sentences=(
            _("Stay at work if you can."),
            _("Plan there how to build up again, step by step."),
        ),
        source=_("NHS provider, ahpsuffolk.co.uk"),
        status=Status.SECOND_HAND,
    ),
    Tip(
        about=_("Breaks"),
        sentences=(_("Take short breaks from work that strains your arm."),),
        source="",
        status=Status.CONVENTION,
    ),
    # Of rackets alone: no change in the work of the muscles, yet more new cases with a larger grip.
    Tip(
        about=_("Size of a racket's grip"),
        sentences=(
            _("No size of handle is best for all."),
            _("Choose the one that hurts least."),
        ),
        source="Hatch 2006 Am J Sports Med 34:1977–83; Gruchow & Pelletier 1979",
        status=Status.PUBLISHED,
    ),
    Tip(
        about=_("Heat and ice"),
        sentences=(
            _("Heat or ice may ease the pain."),
            _("Put a cloth between it and your skin."),
        ),
        source="NICE CKS 2020",
        status=Status.SECOND_HAND,
    ),
    # Small (n = 31) and for some weeks only; in a self-report of players a brace helped least.
    Tip(
        about=_("Strap"),
        sentences=(
            _("A strap on your forearm may ease the pain for some weeks."),
            _("It sits 2–3 cm (about 1 inch) below the crease of your elbow."),
            _("Ask us first, and take it off if your hand tingles."),
        ),
        source=_("PEDro 59425, 61607; NHS provider, healthshareoxfordshire.org.uk"),
        status=Status.SECOND_HAND,
    ),
)
