"""The screening form: one row a condition, in the order in which it is asked.

`source` and `status` belong to the question and its finding; `action_status` to the action, which is
usual practice from memory unless the row says otherwise. The wording is our own.
"""

from dataclasses import dataclass

from cases.clinical.labels import Labelled
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop


class Action(Labelled):
    """What an answer of yes calls for, the most urgent first."""

    EMERGENCY = "emergency", gettext_noop("emergency, same day")
    REFER = "refer", gettext_noop("stop and refer")
    DEFER = "defer", gettext_noop("put off until cleared")
    CAUTION = "caution", gettext_noop("go on with care")


@dataclass(frozen=True, kw_only=True)
class Question:
    """One row of the form. `defers` says what waits meanwhile; empty when nothing does."""

    code: str
    condition: str
    question: str
    finding: str
    action: Action
    advice: str
    defers: str = ""
    figures: tuple[Figure, ...] = ()
    source: str = "usual practice"
    status: Status = Status.FROM_MEMORY
    action_status: Status = Status.FROM_MEMORY


_GLOS = "NHS Gloucestershire elbow pathway, g-care.glos.nhs.uk"
_BJGP = "Br J Gen Pract 2015;65:610–2"
_APPELBOAM = "Appelboam et al. 2008 BMJ 337:a2428"
_MHRA = "MHRA 2019, fluoroquinolone alert"
_COOMBES = "Coombes et al. 2013 JAMA 309:461–9, n = 165"

ELBOW_EXTENSION_SENSITIVITY = Figure(
    value=96.8,
    unit="%",
    source=_APPELBOAM,
    status=Status.PUBLISHED,
    limits=gettext_noop(
        "sensitivity: fractures whose elbow can't be straightened; 95 % interval 95.0–98.2"
    ),
)
ELBOW_EXTENSION_SPECIFICITY = Figure(
    value=48.5,
    unit="%",
    source=_APPELBOAM,
    status=Status.PUBLISHED,
    limits=gettext_noop(
        "specificity; 95 % interval 45.6–51.4; the printed counts give 48.7, a gap of 0.2 points"
    ),
)
ELBOW_EXTENSION_COUNTS = {
    "can't straighten, fracture": 521,
    "can straighten, fracture": 17,
    "can't straighten, no fracture": 617,
    "can straighten, no fracture": 585,
}
RADICULOPATHY_FOUR_OF_FOUR = Figure(
    value=30.3,
    unit=gettext_noop("likelihood ratio"),
    source="Wainner et al. 2003 Spine 28:52–62, n = 82",
    status=Status.SECOND_HAND,
    limits=gettext_noop("four of four tests positive; interval printed 1.7–38.2"),
)
INJECTION_FIGURES = (
    Figure(
        value=83,
        unit="%",
        source=_COOMBES,
        status=Status.PUBLISHED,
        limits="recovered or much improved at 1 year after a steroid injection",
    ),
    Figure(
        value=96,
        unit="%",
        source=_COOMBES,
        status=Status.PUBLISHED,
        limits="recovered or much improved at 1 year after a placebo injection",
    ),
    Figure(
        value=54,
        unit="%",
        source=_COOMBES,
        status=Status.PUBLISHED,
        limits="had it again within 1 year after a steroid injection",
    ),
    Figure(
        value=12,
        unit="%",
        source=_COOMBES,
        status=Status.PUBLISHED,
        limits="had it again within 1 year after a placebo injection",
    ),
)

QUESTIONS = (
    Question(
        code="hot-joint",
        condition=gettext_noop("hot, red, swollen joint or fever"),
        question=gettext_noop(
            "Is the elbow or another joint hot, red or swollen, or have you had a fever?"
        ),
        finding=gettext_noop(
            "Look, feel, take the temperature; pulses, color and warmth of the hand; deformity."
        ),
        action=Action.EMERGENCY,
        advice=gettext_noop("Send to emergency care today."),
        defers=gettext_noop("everything"),
        source=f"{_GLOS}; {_BJGP}",
        status=Status.PUBLISHED,
        action_status=Status.PUBLISHED,
    ),
    Question(
        code="septic-bursitis",
        condition=gettext_noop("infected bursa at the point of the elbow"),
        question=gettext_noop(
            "Is there a hot, tender swelling at the point of the elbow, or a graze near it? "
            "Have you had shivers, diabetes, or a weak immune system?"
        ),
        finding=gettext_noop(
            "Bursa hot, red, tender? Redness in 63–100 % of infected and 25 % of other cases; "
            "fever in fewer than half."
        ),
        action=Action.EMERGENCY,
        advice=gettext_noop("Send for care the same day."),
        defers=gettext_noop("everything"),
        source="gpnotebook.com and wikem.org, septic bursitis",
        status=Status.SECOND_HAND,
    ),
    Question(
        code="fracture",
        condition=gettext_noop("fracture or dislocation"),
        question=gettext_noop(
            "Did it start with a fall or a direct blow, above all in the last three days?"
        ),
        finding=gettext_noop(
            "Elbow extension test: seated, both arms forward to 90 degrees, straighten and lock "
            "both elbows, compare. Not fully straight after an injury is a yes."
        ),
        action=Action.REFER,
        advice=gettext_noop(
            "Refer for an X-ray. With deformity, a cold hand or lost feeling: emergency. "
            "If the elbow straightens, look again when it is not settling in 7–10 days."
        ),
        defers=gettext_noop("all resisted tests and grip tests"),
        figures=(ELBOW_EXTENSION_SENSITIVITY, ELBOW_EXTENSION_SPECIFICITY),
        source=_APPELBOAM,
        status=Status.PUBLISHED,
    ),
    Question(
        code="heart-or-chest",
        condition=gettext_noop("pain from the heart or chest"),
        question=gettext_noop(
            "Does the arm pain come with effort of the whole body, with sweating, "
            "breathlessness, or tightness of the chest or jaw?"
        ),
        finding=gettext_noop("Pain that moving, loading and pressing the elbow do not change."),
        action=Action.EMERGENCY,
        advice=gettext_noop("Call the emergency services."),
        defers=gettext_noop("everything"),
    ),
    Question(
        code="neck-nerve-root",
        condition=gettext_noop("nerve root in the neck"),
        question=gettext_noop(
            "Is there neck pain, pain below the elbow, pins and needles, or the same on both sides?"
        ),
        finding=gettext_noop(
            "Upper limb tension test, Spurling, distraction, rotation to the same side under "
            "60 degrees; myotomes, reflexes, dermatomes. Three or more of four: treat as neck."
        ),
        action=Action.REFER,
        advice=gettext_noop("Examine or refer as a neck; urgently when weakness is growing."),
        figures=(RADICULOPATHY_FOUR_OF_FOUR,),
        source="Wainner et al. 2003 Spine 28:52–62",
        status=Status.SECOND_HAND,
    ),
    Question(
        code="spinal-cord",
        condition=gettext_noop("pressure on the spinal cord"),
        question=gettext_noop(
            "Have your hands become clumsy or your walking unsteady, or has your bladder or bowel "
            "changed?"
        ),
        finding=gettext_noop("Hoffmann, inverted supinator sign, Babinski, gait; age over 45."),
        action=Action.REFER,
        advice=gettext_noop("Refer urgently."),
        defers=gettext_noop("all loading"),
    ),
    Question(
        code="nerve-deficit",
        condition=gettext_noop("loss of feeling or strength in the arm"),
        question=gettext_noop("Is any part of the arm or hand numb, weak or wasting?"),
        finding=gettext_noop(
            "Myotomes C5–T1, reflexes, dermatomes, grip and pinch; muscle bulk on both sides."
        ),
        action=Action.REFER,
        advice=gettext_noop("Refer; urgently when it is marked or growing."),
        source=_GLOS,
        status=Status.PUBLISHED,
        action_status=Status.PUBLISHED,
    ),
    Question(
        code="finger-drop",
        condition=gettext_noop("deep branch of the radial nerve (posterior interosseous)"),
        question=gettext_noop("Is there a finger or thumb that will not lift?"),
        finding=gettext_noop(
            "Fingers at the knuckles and thumb lift weakly or not at all, feeling intact; the "
            "wrist lifts toward the thumb side."
        ),
        action=Action.REFER,
        advice=gettext_noop("Refer."),
        defers=gettext_noop("resisted finger extension"),
    ),
    Question(
        code="radial-tunnel",
        condition=gettext_noop("radial nerve in the forearm (radial tunnel)"),
        question=gettext_noop(
            "Is it a deep ache in the back of the forearm, does it wake you, and has treatment as "
            "tennis elbow failed before?"
        ),
        finding=gettext_noop(
            "Most tender 3–5 cm below the epicondyle; pain there on resisted supination or middle "
            "finger extension."
        ),
        action=Action.CAUTION,
        advice=gettext_noop(
            "No strap and no forceful nerve stretch; refer if it persists. A stricter common rule "
            "starts no loading before a medical review."
        ),
        defers=gettext_noop("strap and forceful nerve stretches"),
        source="North and East Devon formulary, tennis elbow (3–4 cm); usual practice (3–5 cm)",
        status=Status.FROM_MEMORY,
    ),
    Question(
        code="instability",
        condition=gettext_noop("unstable elbow (posterolateral rotatory)"),
        question=gettext_noop(
            "Has the elbow been dislocated or operated on, had several steroid injections, does it "
            "clunk, or does it hurt to push up from a chair?"
        ),
        finding=gettext_noop(
            "Chair push-up sign, prone push-up sign, tabletop relocation. Not the same as lifting "
            "a chair. Chair and push-up signs: 7 of 8 operated cases each; specificity unknown."
        ),
        action=Action.REFER,
        advice=gettext_noop("Refer."),
        defers=gettext_noop("loaded extension with supination"),
        source="Regan & Lapner 2006 J Shoulder Elbow Surg 15:344–6, n = 8",
        status=Status.PUBLISHED,
    ),
    Question(
        code="locking",
        condition=gettext_noop("joint surface, loose body or arthritis at the radial head"),
        question=gettext_noop("Does the elbow lock, catch, grate or stay stiff? An old injury?"),
        finding=gettext_noop(
            "Loss of extension, tender joint line, pain when the radial head is compressed and the "
            "forearm turned."
        ),
        action=Action.REFER,
        advice=gettext_noop("Refer for imaging."),
        source="NHS elbow pathway, my-oscar.nhs.uk (features of arthritis)",
        status=Status.PUBLISHED,
    ),
    Question(
        code="snapping",
        condition=gettext_noop("fold of joint lining at the radial head (plica)"),
        question=gettext_noop("Does something snap on the outside of the elbow?"),
        finding=gettext_noop(
            "Snap at the radial head on passive bending with the forearm turned both ways."
        ),
        action=Action.CAUTION,
        advice=gettext_noop("Refer if it persists."),
        source="BMJ Best Practice, differentials of epicondylitis, read on a copy",
        status=Status.SECOND_HAND,
    ),
    Question(
        code="tendon-tear",
        condition=gettext_noop("torn biceps or extensor tendon"),
        question=gettext_noop("Was there a pop, a bruise or sudden weakness?"),
        finding=gettext_noop("Hook test of the distal biceps; gap below the epicondyle."),
        action=Action.REFER,
        advice=gettext_noop("Refer now: a torn biceps can't wait."),
        defers=gettext_noop("all resisted tests and grip tests"),
    ),
    Question(
        code="inflammatory",
        condition=gettext_noop("inflammatory joint disease"),
        question=gettext_noop(
            "Morning stiffness over 30 minutes, several joints or both elbows, psoriasis, inflamed "
            "bowel or eyes, or any of these in the family?"
        ),
        finding=gettext_noop("Skin, nails, swollen fingers, other tendon insertions."),
        action=Action.REFER,
        advice=gettext_noop("Refer to rheumatology, not urgent."),
    ),
    Question(
        code="cancer",
        condition=gettext_noop("malignancy"),
        question=gettext_noop(
            "Have you had cancer, lost weight without trying, or is the pain there day and night "
            "without easing?"
        ),
        finding=gettext_noop("A lump; pain that has nothing to do with movement."),
        action=Action.REFER,
        advice=gettext_noop("Refer urgently."),
        defers=gettext_noop("all loading"),
        source=_GLOS,
        status=Status.PUBLISHED,
        action_status=Status.PUBLISHED,
    ),
    Question(
        code="regional-pain",
        condition=gettext_noop("complex regional pain syndrome"),
        question=gettext_noop(
            "Is the pain far beyond what happened, with changes of color, warmth or sweating?"
        ),
        finding=gettext_noop("Budapest criteria."),
        action=Action.REFER,
        advice=gettext_noop("Refer."),
    ),
    Question(
        code="fluoroquinolone-now",
        condition=gettext_noop("fluoroquinolone antibiotic now"),
        question=gettext_noop(
            "Are you taking ciprofloxacin, levofloxacin, moxifloxacin, ofloxacin or a relative now?"
        ),
        finding=gettext_noop(
            "Dates of the medicine and of the pain; other tendons. Higher risk: over 60, kidney "
            "disease, transplant, steroid tablets."
        ),
        action=Action.REFER,
        advice=gettext_noop("Contact the prescriber today."),
        defers=gettext_noop("all loading"),
        source=_MHRA,
        status=Status.PUBLISHED,
    ),
    Question(
        code="fluoroquinolone-recent",
        condition=gettext_noop("fluoroquinolone antibiotic in recent months"),
        question=gettext_noop("Have you taken one of these antibiotics in the last months?"),
        finding=gettext_noop("Dates of the medicine and of the pain; other tendons."),
        action=Action.CAUTION,
        advice=gettext_noop("Go on with care; ask about other tendons at each visit."),
    ),
    Question(
        code="steroid-injection",
        condition=gettext_noop("corticosteroid injection"),
        question=gettext_noop("Have you had injections in this elbow, or is one planned? When?"),
        finding=gettext_noop("Dates and number; thin or pale skin; signs of instability."),
        action=Action.CAUTION,
        advice=gettext_noop(
            "Record the dates. Relief may hide overload; expect less at 3–12 months."
        ),
        defers=gettext_noop("maximal grip and heavy load for the first weeks"),
        figures=INJECTION_FIGURES,
    ),
    Question(
        code="recent-surgery",
        condition=gettext_noop("recent surgery or unhealed injury of this arm"),
        question=gettext_noop(
            "Has this arm been operated on lately, or is a fracture or dislocation still healing?"
        ),
        finding=gettext_noop("Date, scar, and what the surgeon allows."),
        action=Action.REFER,
        advice=gettext_noop("Ask the surgeon before any test or load."),
        defers=gettext_noop("all resisted tests and all loading"),
        source="common practice: wait 2–6 weeks",
        status=Status.CONVENTION,
        action_status=Status.CONVENTION,
    ),
    Question(
        code="long-holds",
        condition=gettext_noop("high blood pressure, heart disease, pregnancy complications"),
        question=gettext_noop(
            "Is your blood pressure high and not controlled, do you have heart disease, or a "
            "pregnancy with complications?"
        ),
        finding=gettext_noop("Blood pressure; what the doctor allows."),
        action=Action.DEFER,
        advice=gettext_noop("Ask the doctor before long holds."),
        defers=gettext_noop("long holds"),
        source="common practice",
        status=Status.CONVENTION,
        action_status=Status.CONVENTION,
    ),
)
