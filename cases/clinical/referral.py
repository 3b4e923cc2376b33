"""To whom an answer of the screening leads, how fast, and what is asked there.

Nothing here names what the patient may have: a letter carries the question and its answer. Where sources
differ on how fast, the faster is proposed; whoever writes the letter decides. One page, read twice, says
urgent and the same day of pain that never lets up: its row asks for more than such pain and stays urgent.

Sources
-------
NHS Gloucestershire elbow pathway, g-care.glos.nhs.uk: a hot, swollen joint, suspected infection, fracture
or dislocation, and a recent rupture of a tendon are emergencies; unrelenting pain with cancer and growing
loss of nerve function are urgent.
MHRA 2019, fluoroquinolone alert: stop the antibiotic at the first sign of tendon pain.
All else is usual practice, from memory.
"""

import datetime
from dataclasses import dataclass

from cases.clinical.labels import Labelled
from clinic.evidence import Status
from clinic.wording import Sentence, gettext_noop, say


class Addressee(Labelled):
    """Whom the letter is for, as it stands after “to”."""

    FAMILY_DOCTOR = "family-doctor", gettext_noop("the family doctor")
    EMERGENCY = "emergency", gettext_noop("the emergency department")
    ORTHOPEDICS = "orthopedics", gettext_noop("a specialist in orthopedics")
    RHEUMATOLOGY = "rheumatology", gettext_noop("a specialist in rheumatology")
    NEUROLOGY = "neurology", gettext_noop("a specialist in neurology")
    SURGEON = "surgeon", gettext_noop("the surgeon who operated")
    PRESCRIBER = "prescriber", gettext_noop("the doctor who prescribed the medicine")


class Urgency(Labelled):
    """How fast, the fastest first. What each means in days is for local rules to say."""

    SAME_DAY = "same-day", gettext_noop("the same day")
    URGENT = "urgent", gettext_noop("urgent")
    SOON = "soon", gettext_noop("soon")
    NOT_URGENT = "not-urgent", gettext_noop("not urgent")

    def is_slower_than(self, other: "Urgency") -> bool:
        """Whether the patient would be seen later than with `other`."""
        order = list(Urgency)
        return order.index(self) > order.index(other)


@dataclass(frozen=True, kw_only=True)
class Referral:
    """What one question proposes for its letter; `source` and `status` belong to the urgency."""

    to: Addressee
    urgency: Urgency
    ask: str
    source: str = "usual practice"
    status: Status = Status.FROM_MEMORY


_GLOS = "NHS Gloucestershire elbow pathway, g-care.glos.nhs.uk"
_EXAMINE_TODAY = gettext_noop("Please examine the elbow today and decide what it needs.")

# By the code of the question: each that stops a program has its row, and no other.
REFERRALS = {
    "hot-joint": Referral(
        to=Addressee.EMERGENCY,
        urgency=Urgency.SAME_DAY,
        ask=_EXAMINE_TODAY,
        source=_GLOS,
        status=Status.PUBLISHED,
    ),
    "septic-bursitis": Referral(
        to=Addressee.EMERGENCY,
        urgency=Urgency.SAME_DAY,
        ask=_EXAMINE_TODAY,
        source=_GLOS,
        status=Status.PUBLISHED,
    ),
    "fracture": Referral(
        to=Addressee.EMERGENCY,
        urgency=Urgency.SAME_DAY,
        ask=gettext_noop("Please examine the elbow after the injury and decide about an X-ray."),
        source=f"{_GLOS}; the screening row itself says X-ray, and no day",
        status=Status.PUBLISHED,
    ),
    "heart-or-chest": Referral(
        to=Addressee.EMERGENCY,
        urgency=Urgency.SAME_DAY,
        ask=gettext_noop("Please find out at once where the pain comes from."),
    ),
    "neck-nerve-root": Referral(
        to=Addressee.FAMILY_DOCTOR,
        urgency=Urgency.SOON,
        ask=gettext_noop("Please examine the neck and the nerves of the arm."),
    ),
    "spinal-cord": Referral(
        to=Addressee.FAMILY_DOCTOR,
        urgency=Urgency.URGENT,
        ask=gettext_noop("Please examine the nerves of arms and legs, and the gait."),
    ),
    "nerve-deficit": Referral(
        to=Addressee.FAMILY_DOCTOR,
        urgency=Urgency.SOON,
        ask=gettext_noop("Please examine feeling, strength and reflexes of the arm."),
        source=f"{_GLOS}: urgent when it is marked or growing",
        status=Status.PUBLISHED,
    ),
    "finger-drop": Referral(
        to=Addressee.FAMILY_DOCTOR,
        urgency=Urgency.SOON,
        ask=gettext_noop("Please examine why a finger or the thumb does not lift."),
    ),
    "instability": Referral(
        to=Addressee.FAMILY_DOCTOR,
        urgency=Urgency.SOON,
        ask=gettext_noop("Please examine whether the elbow is stable."),
    ),
    "locking": Referral(
        to=Addressee.FAMILY_DOCTOR,
        urgency=Urgency.SOON,
        ask=gettext_noop("Please examine the elbow joint and decide about imaging."),
    ),
    "tendon-tear": Referral(
        to=Addressee.EMERGENCY,
        urgency=Urgency.SAME_DAY,
        ask=gettext_noop("Please examine the tendons at the elbow today."),
        source=_GLOS,
        status=Status.PUBLISHED,
    ),
    "inflammatory": Referral(
        to=Addressee.RHEUMATOLOGY,
        urgency=Urgency.NOT_URGENT,
        ask=gettext_noop("Please examine the joints, and where tendons join the bone."),
    ),
    "cancer": Referral(
        to=Addressee.FAMILY_DOCTOR,
        urgency=Urgency.URGENT,
        ask=gettext_noop("Please examine the arm and the patient as a whole."),
        source=f"{_GLOS}: urgent; of pain that never lets up another reading of it says the same day",
        status=Status.PUBLISHED,
    ),
    "regional-pain": Referral(
        to=Addressee.FAMILY_DOCTOR,
        urgency=Urgency.SOON,
        ask=gettext_noop("Please examine the arm and its skin."),
    ),
    "fluoroquinolone-now": Referral(
        to=Addressee.PRESCRIBER,
        urgency=Urgency.SAME_DAY,
        ask=gettext_noop(
            "Please decide today whether this antibiotic goes on. An alert (MHRA 2019) advises to stop "
            "it at the first sign of tendon pain."
        ),
        source="MHRA 2019, fluoroquinolone alert; contact the prescriber the same day",
        status=Status.PUBLISHED,
    ),
    "recent-surgery": Referral(
        to=Addressee.SURGEON,
        urgency=Urgency.SOON,
        ask=gettext_noop("Please say which tests and loads the arm may have, and from when."),
    ),
}
# Closes what is asked in every letter.
ANSWER_US = gettext_noop(
    "Please tell us what you found, and whether and from when the arm may be loaded."
)


def letter_given(to: Addressee, *, on: datetime.date) -> Sentence:
    """Return what may be written down as done once the patient has the letter."""
    return say(
        gettext_noop("Letter to %(to)s given to the patient on %(day)s."), to=to.label, day=on
    )
