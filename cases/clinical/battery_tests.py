"""The five maneuvers of the battery, each described by what is done and not by a name.

Names given to tests differ from page to page (one page calls two of them by the same name), so a
test is stored by its positions, by active or passive, and by the segment that is resisted; eponyms
are aliases. The default positions are common practice without a source; published variants stand
beside them; optional maneuvers are in `battery_optional`. No published accuracy can rule tennis elbow
in or out.
"""

from cases.clinical.maneuver import (
    POSITIVE,
    SENSITIVITY,
    SPECIFICITY,
    STOP_COMMON,
    STOP_RESISTED,
    Mode,
    ProvocationTest,
    Variant,
    percentage,
)
from clinic.evidence import Status
from clinic.wording import gettext_noop

_SAROJA = "Saroja et al. 2014 Int J Physiother Res 2(6):815–23, doi 10.16965/ijpr.2014.699"
_FACTOR = "Factor et al. 2023 Medicina 59(6):1159, doi 10.3390/medicina59061159"
_KARANASIOS = "Karanasios et al. 2021 J Hand Ther 35(4):541–51"

_TEXTBOOK = "at.uwa.edu special tests, citing Konin 2002 and Magee 2002"
_MNSU = "ahn.mnsu.edu athletic training, elbow special tests"
_MSK = "mskmedicine.com, lateral epicondylitis tests"


_N30 = "n = 30, against ultrasound; counts not printed"
_NO_CONTROLS = "n = 30, nobody without tennis elbow, so specificity can't be estimated"

PASSIVE_STRETCH = ProvocationTest(
    code="passive-stretch",
    name=gettext_noop("Passive stretch, elbow straight"),
    aliases=("Mill",),
    elbow=gettext_noop("straight"),
    forearm=gettext_noop("palm down"),
    wrist=gettext_noop("taken into flexion"),
    mode=Mode.PASSIVE,
    resisted="",
    loads=gettext_noop("the wrist extensors and their origin, by stretching them"),
    steps=(
        gettext_noop("The patient sits relaxed and free of symptoms."),
        gettext_noop("Bring the arm forward to about 90 degrees, elbow straight."),
        gettext_noop("Hold the upper arm just above the elbow."),
        gettext_noop("Take the wrist slowly into flexion."),
        gettext_noop("If that is quiet, add deviation toward the little finger."),
    ),
    positive=POSITIVE,
    errors=(
        gettext_noop("elbow short of straight"),
        gettext_noop("a stretch felt in the forearm taken for the familiar pain"),
        gettext_noop("moving forearm, wrist and elbow with one hand only"),
        gettext_noop("sides not compared; the position also tensions the radial nerve"),
    ),
    stops=(
        gettext_noop("familiar pain of 4–5: do not press further"),
        gettext_noop("block at the end of extension or sharp pain in the joint"),
        *STOP_COMMON,
    ),
    variants=(
        Variant(
            code="palpating",
            text=gettext_noop(
                "Palpate the epicondyle; turn the palm down, flex the wrist fully, then straighten "
                "the elbow."
            ),
            source=_TEXTBOOK,
            status=Status.PUBLISHED,
        ),
        Variant(
            code="thumb-deviation",
            text=gettext_noop("With deviation toward the thumb added."),
            source="forwardthinkingpt.com, epicondylalgia",
            status=Status.PUBLISHED,
        ),
    ),
    accuracy=(
        percentage(SENSITIVITY, 53, _SAROJA, _N30),
        percentage(SPECIFICITY, 100, _SAROJA, _N30),
        percentage(SENSITIVITY, 86.7, _FACTOR, _NO_CONTROLS),
    ),
    plain=(
        gettext_noop("Sit down and relax. Arm forward, elbow straight, palm down."),
        gettext_noop("With the other hand, or by your partner, let the wrist be bent down slowly."),
        gettext_noop("Stop at 4 of 10. Do the arm that does not hurt first."),
    ),
)

WRIST_EXTENSION = ProvocationTest(
    code="wrist-extension",
    name=gettext_noop("Resisted wrist extension"),
    aliases=("Cozen",),
    elbow=gettext_noop("90 degrees"),
    forearm=gettext_noop("palm down"),
    wrist=gettext_noop("extended"),
    mode=Mode.RESISTED,
    resisted=gettext_noop("back of the hand"),
    loads=gettext_noop("the wrist extensors and their origin, above all the short one (ECRB)"),
    steps=(
        gettext_noop("The patient sits free of symptoms, elbow at 90 degrees."),
        gettext_noop("Hold both forearm bones just above the wrist."),
        gettext_noop("The patient extends the wrist and keeps it there."),
        gettext_noop("Press the hand down; the patient resists."),
        gettext_noop("If that is quiet, add deviation toward the thumb."),
    ),
    positive=POSITIVE,
    errors=(
        gettext_noop("pressing until the wrist gives way"),
        gettext_noop("pressing on the fingers, which tests the finger extensors"),
        gettext_noop("forearm drifting from palm down"),
        gettext_noop("pressure rising too fast"),
        gettext_noop("tested bent only, so that pain in the straight elbow is missed"),
    ),
    stops=STOP_RESISTED,
    variants=(
        Variant(
            code="straight",
            text=gettext_noop("Elbow fully straight."),
            source=f"{_MSK}; Shiri 2006 Am J Epidemiol 164:1065–74, quoted",
            status=Status.SECOND_HAND,
        ),
        Variant(
            code="bent-then-straight",
            text=gettext_noop("Elbow at 90 degrees, then straightened, which increases the pain."),
            source="NICE CKS, quoted by NHS Lothian",
            status=Status.SECOND_HAND,
        ),
        Variant(
            code="fist",
            text=gettext_noop(
                "Fist closed, palm down, deviation toward the thumb; thumb on the epicondyle."
            ),
            source=_MNSU,
            status=Status.PUBLISHED,
        ),
    ),
    accuracy=(
        percentage(SENSITIVITY, 84, _SAROJA, _N30),
        percentage(SPECIFICITY, 0, _SAROJA, _N30),
        percentage(
            SENSITIVITY, 91, _KARANASIOS, "review; only 2 studies of physical tests, risk of bias"
        ),
        percentage(SENSITIVITY, 96.7, _FACTOR, _NO_CONTROLS),
    ),
    plain=(
        gettext_noop("Sit down, elbow at a right angle, palm down, hand lifted at the wrist."),
        gettext_noop(
            "Your other hand, or your partner, presses on the back of the hand; keep the hand up."
        ),
        gettext_noop(
            "Press slowly harder for 2–3 seconds, hold no longer than 5. The arm that does not hurt first."
        ),
    ),
)

SUPINATION = ProvocationTest(
    code="supination",
    name=gettext_noop("Resisted supination"),
    aliases=(),
    elbow=gettext_noop("90 degrees"),
    forearm=gettext_noop("palm up"),
    wrist=gettext_noop("neutral"),
    mode=Mode.RESISTED,
    resisted=gettext_noop("forearm just above the wrist"),
    loads=gettext_noop(
        "the supinator, and the deep branch of the radial nerve that runs through it"
    ),
    steps=(
        gettext_noop("The patient sits free of symptoms, elbow at the side, palm up."),
        gettext_noop("Steady the elbow."),
        gettext_noop("Turn the forearm toward palm down; the patient keeps the palm up."),
    ),
    positive=POSITIVE,
    errors=(
        gettext_noop("holding the hand, which adds the pain of gripping"),
        gettext_noop("shoulder turning instead of the forearm"),
        gettext_noop("not asking where it hurts"),
    ),
    stops=STOP_RESISTED,
    variants=(
        Variant(
            code="neutral-start",
            text=gettext_noop(
                "Forearm neutral or palm down at the start; repeated with the elbow straight."
            ),
            source="textbook practice",
            status=Status.FROM_MEMORY,
        ),
    ),
    accuracy=(),
)

FINGER_EXTENSION = ProvocationTest(
    code="finger-extension",
    name=gettext_noop("Resisted extension of one finger"),
    aliases=("Maudsley (middle finger)",),
    elbow=gettext_noop("90 degrees"),
    forearm=gettext_noop("palm down"),
    wrist=gettext_noop("neutral"),
    mode=Mode.RESISTED,
    resisted=gettext_noop("one finger, near its end"),
    loads=gettext_noop("the finger extensor (EDC)"),
    steps=(
        gettext_noop("The same position as for the wrist, fingers straight."),
        gettext_noop("Press near the end of one finger; the patient holds it up."),
        gettext_noop("One finger at a time: index, middle, ring, little."),
    ),
    positive=POSITIVE,
    errors=(
        gettext_noop("several fingers at once"),
        gettext_noop("wrist extending along"),
        gettext_noop("pressing on the very tip, which tests the last joint"),
    ),
    stops=STOP_RESISTED,
    variants=(
        Variant(
            code="supported",
            text=gettext_noop(
                "Elbow supported on a table, pressure just beyond the middle joint of the middle "
                "finger."
            ),
            source=_MNSU,
            status=Status.PUBLISHED,
        ),
        Variant(
            code="arm-forward",
            text=gettext_noop("Arm forward, elbow straight, middle finger only."),
            source=_MSK,
            status=Status.PUBLISHED,
        ),
        Variant(
            code="radial-nerve",
            text=gettext_noop(
                "For the radial nerve: elbow straight, palm down, wrist flexed, middle and ring "
                "finger."
            ),
            source="handsurgeryresource.net, middle finger test",
            status=Status.PUBLISHED,
        ),
    ),
    accuracy=(
        percentage(SENSITIVITY, 88, _SAROJA, f"middle finger; {_N30}"),
        percentage(SPECIFICITY, 0, _SAROJA, f"middle finger; {_N30}"),
        percentage(SENSITIVITY, 83.3, _FACTOR, f"middle finger; {_NO_CONTROLS}"),
    ),
    plain=(
        gettext_noop("Sit as before, palm down, fingers straight."),
        gettext_noop(
            "Your other hand, or your partner, presses near the end of one finger; keep it up."
        ),
        gettext_noop("One finger after the other, the hand that does not hurt first."),
    ),
    fingers=(2, 3, 4, 5),
)

PALPATION = ProvocationTest(
    code="palpation",
    name=gettext_noop("Palpation of the common extensor origin"),
    aliases=(),
    elbow=gettext_noop("90 degrees"),
    forearm=gettext_noop("palm down, supported"),
    wrist=gettext_noop("relaxed"),
    mode=Mode.PALPATION,
    resisted="",
    loads=gettext_noop("the common extensor origin, by pressing on it"),
    steps=(
        gettext_noop("The hand is relaxed."),
        gettext_noop("Follow the extensor muscles up to the lateral epicondyle."),
        gettext_noop("Press on their insertion there."),
    ),
    positive=POSITIVE,
    errors=(
        gettext_noop("pressing on the head of the radius"),
        gettext_noop("pressure different from side to side"),
        gettext_noop("other side left out"),
    ),
    stops=STOP_COMMON,
    variants=(
        Variant(
            code="over-or-below",
            text=gettext_noop("Tenderness over or below the lateral epicondyle."),
            source="NICE CKS, quoted by NHS Lothian",
            status=Status.SECOND_HAND,
        ),
    ),
    accuracy=(),
    plain=(
        gettext_noop("Rest the forearm on a table, elbow at a right angle, palm down."),
        gettext_noop(
            "Feel for the knob of bone on the outside of the elbow and press there with a fingertip."
        ),
        gettext_noop("Press as hard on the other side and compare."),
    ),
)

# The short wrist extensor steadies the base of the third finger, so this finger strains it as well.
MIDDLE_FINGER = 3
MIDDLE_FINGER_LOADS = gettext_noop("the finger extensor (EDC) and the short wrist extensor (ECRB)")

BATTERY = (PASSIVE_STRETCH, WRIST_EXTENSION, SUPINATION, FINGER_EXTENSION, PALPATION)
