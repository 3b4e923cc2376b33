"""The five maneuvers of the battery, each described by what is done and not by a name.

Names given to tests differ from page to page (one page calls two of them by the same name), so a
test is stored by its positions, by active or passive, and by the segment that is resisted; eponyms
are aliases. The default positions are common practice without a source; published variants stand
beside them. No published accuracy can rule tennis elbow in or out.
"""

from dataclasses import dataclass

from cases.clinical.labels import Labelled
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop


class Mode(Labelled):
    PASSIVE = "passive", gettext_noop("the examiner moves, the patient relaxes")
    RESISTED = "resisted", gettext_noop("the patient holds, the examiner presses")
    PALPATION = "palpation", gettext_noop("the examiner presses with a fingertip")


@dataclass(frozen=True, kw_only=True)
class Variant:
    """Another published way to do a test."""

    text: str
    source: str
    status: Status


@dataclass(frozen=True, kw_only=True)
class Accuracy:
    """One published accuracy figure; `figure.limits` says how little it carries."""

    name: str
    figure: Figure


@dataclass(frozen=True, kw_only=True)
class ProvocationTest:
    """One maneuver; `by_patient` when it can be repeated alone, with the other hand."""

    code: str
    name: str
    aliases: tuple[str, ...]
    elbow: str
    forearm: str
    wrist: str
    mode: Mode
    resisted: str
    steps: tuple[str, ...]
    positive: str
    errors: tuple[str, ...]
    stops: tuple[str, ...]
    variants: tuple[Variant, ...]
    accuracy: tuple[Accuracy, ...]
    by_patient: bool
    fingers: tuple[int, ...] = ()
    source: str = "common practice"
    status: Status = Status.CONVENTION


SENSITIVITY = gettext_noop("sensitivity")
SPECIFICITY = gettext_noop("specificity")

_SAROJA = "Saroja et al. 2014 Int J Physiother Res 2(6):815–23, doi 10.16965/ijpr.2014.699"
_FACTOR = "Factor et al. 2023 Medicina 59(6):1159, doi 10.3390/medicina59061159"
_KARANASIOS = "Karanasios et al. 2021 J Hand Ther 35(4):541–51"

_TEXTBOOK = "at.uwa.edu special tests, citing Konin 2002 and Magee 2002"
_MNSU = "ahn.mnsu.edu athletic training, elbow special tests"
_MSK = "mskmedicine.com, lateral epicondylitis tests"


def _accuracy(name: str, value: float, source: str, limits: str) -> Accuracy:
    figure = Figure(value=value, unit="%", source=source, status=Status.PUBLISHED, limits=limits)
    return Accuracy(name=name, figure=figure)


_N30 = "n = 30, against ultrasound; counts not printed"
_NO_CONTROLS = "n = 30, nobody without tennis elbow, so specificity can't be estimated"

_POSITIVE = gettext_noop(
    "The familiar pain at or just below the lateral epicondyle. Pain elsewhere, tingling or "
    "weakness without pain is noted apart and is not positive."
)
_STOP_COMMON = (
    gettext_noop("new tingling, giving way, locking or sudden loss of strength"),
    gettext_noop("pain of 8 or more, or not settling in 1–2 minutes"),
    gettext_noop("the patient asks to stop"),
)
_STOP_RESISTED = (
    gettext_noop("familiar pain: build up over 2–3 seconds, hold no longer than 5"),
    *_STOP_COMMON,
)

PASSIVE_STRETCH = ProvocationTest(
    code="passive-stretch",
    name=gettext_noop("Passive stretch, elbow straight"),
    aliases=("Mill",),
    elbow=gettext_noop("straight"),
    forearm=gettext_noop("palm down"),
    wrist=gettext_noop("taken into flexion"),
    mode=Mode.PASSIVE,
    resisted="",
    steps=(
        gettext_noop("The patient sits relaxed and free of symptoms."),
        gettext_noop("Bring the arm forward to about 90 degrees, elbow straight."),
        gettext_noop("Hold the upper arm just above the elbow."),
        gettext_noop("Take the wrist slowly into flexion."),
        gettext_noop("If that is quiet, add deviation toward the little finger."),
    ),
    positive=_POSITIVE,
    errors=(
        gettext_noop("elbow short of straight"),
        gettext_noop("a stretch felt in the forearm taken for the familiar pain"),
        gettext_noop("moving forearm, wrist and elbow with one hand only"),
        gettext_noop("sides not compared; the position also tensions the radial nerve"),
    ),
    stops=(
        gettext_noop("familiar pain of 4–5: do not press further"),
        gettext_noop("block at the end of extension or sharp pain in the joint"),
        *_STOP_COMMON,
    ),
    variants=(
        Variant(
            text=gettext_noop(
                "Palpate the epicondyle; turn the palm down, flex the wrist fully, then straighten "
                "the elbow."
            ),
            source=_TEXTBOOK,
            status=Status.PUBLISHED,
        ),
        Variant(
            text=gettext_noop("With deviation toward the thumb added."),
            source="forwardthinkingpt.com, epicondylalgia",
            status=Status.PUBLISHED,
        ),
    ),
    accuracy=(
        _accuracy(SENSITIVITY, 53, _SAROJA, _N30),
        _accuracy(SPECIFICITY, 100, _SAROJA, _N30),
        _accuracy(SENSITIVITY, 86.7, _FACTOR, _NO_CONTROLS),
    ),
    by_patient=True,
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
    steps=(
        gettext_noop("The patient sits free of symptoms, elbow at 90 degrees."),
        gettext_noop("Hold both forearm bones just above the wrist."),
        gettext_noop("The patient extends the wrist and keeps it there."),
        gettext_noop("Press the hand down; the patient resists."),
        gettext_noop("If that is quiet, add deviation toward the thumb."),
    ),
    positive=_POSITIVE,
    errors=(
        gettext_noop("pressing until the wrist gives way"),
        gettext_noop("pressing on the fingers, which tests the finger extensors"),
        gettext_noop("forearm drifting from palm down"),
        gettext_noop("pressure rising too fast"),
        gettext_noop("tested bent only, so that pain in the straight elbow is missed"),
    ),
    stops=_STOP_RESISTED,
    variants=(
        Variant(
            text=gettext_noop("Elbow fully straight."),
            source=f"{_MSK}; Shiri 2006 Am J Epidemiol 164:1065–74, quoted",
            status=Status.SECOND_HAND,
        ),
        Variant(
            text=gettext_noop("Elbow at 90 degrees, then straightened, which increases the pain."),
            source="NICE CKS, quoted by NHS Lothian",
            status=Status.SECOND_HAND,
        ),
        Variant(
            text=gettext_noop(
                "Fist closed, palm down, deviation toward the thumb; thumb on the epicondyle."
            ),
            source=_MNSU,
            status=Status.PUBLISHED,
        ),
    ),
    accuracy=(
        _accuracy(SENSITIVITY, 84, _SAROJA, _N30),
        _accuracy(SPECIFICITY, 0, _SAROJA, _N30),
        _accuracy(
            SENSITIVITY, 91, _KARANASIOS, "review; only 2 studies of physical tests, risk of bias"
        ),
        _accuracy(SENSITIVITY, 96.7, _FACTOR, _NO_CONTROLS),
    ),
    by_patient=True,
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
    steps=(
        gettext_noop("The patient sits free of symptoms, elbow at the side, palm up."),
        gettext_noop("Steady the elbow."),
        gettext_noop("Turn the forearm toward palm down; the patient keeps the palm up."),
    ),
    positive=_POSITIVE,
    errors=(
        gettext_noop("holding the hand, which adds the pain of gripping"),
        gettext_noop("shoulder turning instead of the forearm"),
        gettext_noop("not asking where it hurts"),
    ),
    stops=_STOP_RESISTED,
    variants=(
        Variant(
            text=gettext_noop(
                "Forearm neutral or palm down at the start; repeated with the elbow straight."
            ),
            source="textbook practice",
            status=Status.FROM_MEMORY,
        ),
    ),
    accuracy=(),
    by_patient=False,
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
    steps=(
        gettext_noop("The same position as for the wrist, fingers straight."),
        gettext_noop("Press near the end of one finger; the patient holds it up."),
        gettext_noop("One finger at a time: index, middle, ring, little."),
    ),
    positive=_POSITIVE,
    errors=(
        gettext_noop("several fingers at once"),
        gettext_noop("wrist extending along"),
        gettext_noop("pressing on the very tip, which tests the last joint"),
    ),
    stops=_STOP_RESISTED,
    variants=(
        Variant(
            text=gettext_noop(
                "Elbow supported on a table, pressure just beyond the middle joint of the middle "
                "finger."
            ),
            source=_MNSU,
            status=Status.PUBLISHED,
        ),
        Variant(
            text=gettext_noop("Arm forward, elbow straight, middle finger only."),
            source=_MSK,
            status=Status.PUBLISHED,
        ),
        Variant(
            text=gettext_noop(
                "For the radial nerve: elbow straight, palm down, wrist flexed, middle and ring "
                "finger."
            ),
            source="handsurgeryresource.net, middle finger test",
            status=Status.PUBLISHED,
        ),
    ),
    accuracy=(
        _accuracy(SENSITIVITY, 88, _SAROJA, f"middle finger; {_N30}"),
        _accuracy(SPECIFICITY, 0, _SAROJA, f"middle finger; {_N30}"),
        _accuracy(SENSITIVITY, 83.3, _FACTOR, f"middle finger; {_NO_CONTROLS}"),
    ),
    by_patient=True,
    fingers=(2, 3, 4, 5),
)

PALPATION = ProvocationTest(
    code="palpation",
    name=gettext_noop("Palpation of the common extensor origin"),
    aliases=(),
    elbow=gettext_noop("90 degrees"),
    forearm=gettext_noop("palm down, supported"),
    wrist=gettext_noop("hand relaxed"),
    mode=Mode.PALPATION,
    resisted="",
    steps=(
        gettext_noop("The hand is relaxed."),
        gettext_noop("Follow the extensor muscles up to the lateral epicondyle."),
        gettext_noop("Press on their insertion there."),
    ),
    positive=_POSITIVE,
    errors=(
        gettext_noop("pressing on the head of the radius"),
        gettext_noop("pressure different from side to side"),
        gettext_noop("other side left out"),
    ),
    stops=_STOP_COMMON,
    variants=(
        Variant(
            text=gettext_noop("Tenderness over or below the lateral epicondyle."),
            source="NICE CKS, quoted by NHS Lothian",
            status=Status.SECOND_HAND,
        ),
    ),
    accuracy=(),
    by_patient=True,
)

BATTERY = (PASSIVE_STRETCH, WRIST_EXTENSION, SUPINATION, FINGER_EXTENSION, PALPATION)

BY_CODE = {test.code: test for test in BATTERY}
