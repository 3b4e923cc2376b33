"""Maneuvers beside the five: gripping and lifting. No accuracy of the two lifts was found in print."""

from cases.clinical.battery_tests import BATTERY
from cases.clinical.likelihood import GRIP_DIFFERENCE
from cases.clinical.maneuver import (
    POSITIVE,
    SENSITIVITY,
    SPECIFICITY,
    STOP_COMMON,
    Accuracy,
    Mode,
    ProvocationTest,
    Variant,
    percentage,
)
from clinic.evidence import Status
from clinic.wording import gettext_noop

_KARANASIOS = "Karanasios et al. 2021 J Hand Ther 35(4):541–51"
_DIFFERENCE = (
    "{end} of the range for a grip loss of 5–10 % from bent to straight; not for pain on gripping; "
    "review of few studies, risk of bias"
)
_STOP_LIFTING = (gettext_noop("familiar pain: put it down"), *STOP_COMMON)

GRIP = ProvocationTest(
    code="grip",
    name=gettext_noop("Gripping until it hurts"),
    aliases=(gettext_noop("pain-free grip"),),
    elbow=gettext_noop("straight"),
    forearm=gettext_noop("palm down"),
    wrist=gettext_noop("left to the patient"),
    mode=Mode.TASK,
    resisted="",
    loads=gettext_noop("the wrist extensors, which hold the wrist while the fingers close"),
    steps=(
        gettext_noop("A dynamometer or a rolled towel in the hand, elbow straight, palm down."),
        gettext_noop("The unaffected side first, slowly, as hard as it goes."),
        gettext_noop("Then the affected side at the same rate, only until the pain begins."),
    ),
    positive=POSITIVE,
    errors=(
        gettext_noop("squeezing fast past the first pain: that trial does not count"),
        gettext_noop("elbow or forearm drifting"),
        gettext_noop("done first, before the other tests, so that all of them hurt"),
    ),
    stops=(gettext_noop("the first familiar pain"), *STOP_COMMON),
    variants=(
        Variant(
            code="bent",
            text=gettext_noop("Elbow at 90 degrees, arm at the side, palm down."),
            source="Hill et al. 2023 Physiother Theory Pract 39(5):1007–15",
            status=Status.PUBLISHED,
        ),
        Variant(
            code="arm-forward",
            text=gettext_noop("Arm forward at 90 degrees, elbow straight, palm down."),
            source="Hill et al. 2023 Physiother Theory Pract 39(5):1007–15",
            status=Status.PUBLISHED,
        ),
    ),
    accuracy=(
        percentage(SENSITIVITY, 78, _KARANASIOS, _DIFFERENCE.format(end="lower end")),
        percentage(SENSITIVITY, 83, _KARANASIOS, _DIFFERENCE.format(end="upper end")),
        percentage(SPECIFICITY, 80, _KARANASIOS, _DIFFERENCE.format(end="lower end")),
        percentage(SPECIFICITY, 90, _KARANASIOS, _DIFFERENCE.format(end="upper end")),
        *(
            Accuracy(name=name, figure=figure)
            for row in GRIP_DIFFERENCE
            for name, figure in (
                (gettext_noop("positive"), row.positive),
                (gettext_noop("negative"), row.negative),
            )
            if figure is not None
        ),
    ),
    unsound=gettext_noop(
        "How many of 100 people had a tennis elbow is not worked out from these ratios: each arm was "
        "held against the same person's other arm, the split by cut-off is from memory, and what the "
        "loss is divided by is not in the abstract."
    ),
    plain=(
        gettext_noop("Arm straight, palm down, a rolled towel in the hand."),
        gettext_noop("Squeeze slowly with the hand that does not hurt, then with the other."),
        gettext_noop("Stop as soon as it begins to hurt."),
    ),
    is_optional=True,
    source="Lim 2013 J Physiother 59:59, abstract",
    status=Status.SECOND_HAND,
)

CHAIR_LIFT = ProvocationTest(
    code="chair-lift",
    name=gettext_noop("Lifting a chair by its back"),
    aliases=(gettext_noop("chair pick-up"),),
    elbow=gettext_noop("straight"),
    forearm=gettext_noop("palm down"),
    wrist=gettext_noop("extended"),
    mode=Mode.TASK,
    resisted="",
    loads=gettext_noop("the wrist extensors and their origin, with a weight in the hand"),
    steps=(
        gettext_noop("A light, safe chair; the patient stands behind it."),
        gettext_noop("Elbow straight, palm down, wrist extended; one hand on the back."),
        gettext_noop("Lift it just off the floor, the unaffected side first."),
    ),
    positive=POSITIVE,
    errors=(
        gettext_noop("a heavy chair"),
        gettext_noop("elbow bent or palm turned up to spare the arm"),
        gettext_noop("taken for pushing up from a chair, which looks for instability"),
    ),
    stops=(gettext_noop("a back or shoulder problem: leave it out"), *_STOP_LIFTING),
    variants=(
        Variant(
            code="measured",
            text=gettext_noop(
                "Standing, elbow at 90 degrees, two runs of 10 seconds on a device that measures "
                "the force."
            ),
            source="Paoloni et al. 2004 J Shoulder Elbow Surg 13:72–7, n = 16",
            status=Status.PUBLISHED,
        ),
    ),
    accuracy=(),
    plain=(
        gettext_noop("Stand behind a light chair, arm straight, palm down."),
        gettext_noop("Lift it a hand's breadth with the arm that does not hurt, then the other."),
        gettext_noop("Leave it out if your back or shoulder hurts."),
    ),
    is_optional=True,
    source="alpfmedical.info, provocative tests of the lateral elbow",
    status=Status.PUBLISHED,
)

CUP_LIFT = ProvocationTest(
    code="cup-lift",
    name=gettext_noop("Lifting a full cup of cold water"),
    aliases=(gettext_noop("coffee cup"),),
    elbow=gettext_noop("left to the patient"),
    forearm=gettext_noop("left to the patient"),
    wrist=gettext_noop("left to the patient"),
    mode=Mode.TASK,
    resisted="",
    loads=gettext_noop("the wrist extensors, with a weight in the hand"),
    steps=(
        gettext_noop("A cup or carton of the same weight each time, such as 0.5 kg."),
        gettext_noop("Cold water, never a hot drink."),
        gettext_noop("Lift it and hold it, the unaffected side first."),
    ),
    positive=POSITIVE,
    errors=(
        gettext_noop("a hot drink"),
        gettext_noop("another cup or another filling than last time"),
    ),
    stops=_STOP_LIFTING,
    variants=(
        Variant(
            code="carton",
            text=gettext_noop("A full carton in place of a cup."),
            source="a page for lay readers, low quality",
            status=Status.SECOND_HAND,
        ),
    ),
    accuracy=(),
    plain=(
        gettext_noop("Fill a cup with cold water, the same cup each time."),
        gettext_noop("Lift it with the arm that does not hurt, then with the other."),
    ),
    is_optional=True,
    source="a page for lay readers, low quality",
    status=Status.SECOND_HAND,
)

OPTIONAL = (GRIP, CHAIR_LIFT, CUP_LIFT)

MANEUVERS = (*BATTERY, *OPTIONAL)

BY_CODE = {test.code: test for test in MANEUVERS}
