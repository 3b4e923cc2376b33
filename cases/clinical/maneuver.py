"""What a maneuver of the battery is: positions, what is resisted, steps, what counts, when to stop."""

from dataclasses import dataclass

from cases.clinical.labels import Labelled
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop


class Mode(Labelled):
    PASSIVE = "passive", gettext_noop("the examiner moves, the patient relaxes")
    RESISTED = "resisted", gettext_noop("the patient holds, the examiner presses")
    PALPATION = "palpation", gettext_noop("the examiner presses with a fingertip")
    TASK = "task", gettext_noop("the patient grips or lifts alone")


@dataclass(frozen=True, kw_only=True)
class Variant:
    """Another published way to do a test; `code` is stored when it was done so."""

    code: str
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
    """One maneuver. `loads` names what it acts on; that anatomy is from memory.

    `plain` are its steps in plain words for a partner or the patient alone; a maneuver without
    them needs an examiner. Optional ones are no part of a full round. `unsound` says what the accuracy
    can't be turned into, and why.
    """

    code: str
    name: str
    aliases: tuple[str, ...]
    elbow: str
    forearm: str
    wrist: str
    mode: Mode
    resisted: str
    loads: str
    steps: tuple[str, ...]
    positive: str
    errors: tuple[str, ...]
    stops: tuple[str, ...]
    variants: tuple[Variant, ...]
    accuracy: tuple[Accuracy, ...]
    unsound: str = ""
    plain: tuple[str, ...] = ()
    fingers: tuple[int, ...] = ()
    is_optional: bool = False
    source: str = "common practice"
    status: Status = Status.CONVENTION

    @property
    def needs_examiner(self) -> bool:
        """Whether a partner or the patient alone leaves it out."""
        return not self.plain

    @property
    def has_strength(self) -> bool:
        """Whether strength is noted beside the pain."""
        return self.mode is Mode.RESISTED


SENSITIVITY = gettext_noop("sensitivity")
SPECIFICITY = gettext_noop("specificity")


def percentage(name: str, value: float, source: str, limits: str) -> Accuracy:
    """Return a published accuracy of `value` per cent, read on its own page or abstract."""
    figure = Figure(value=value, unit="%", source=source, status=Status.PUBLISHED, limits=limits)
    return Accuracy(name=name, figure=figure)


POSITIVE = gettext_noop(
    "The familiar pain at or just below the lateral epicondyle. Pain elsewhere, tingling or "
    "weakness without pain is noted apart and is not positive."
)
STOP_COMMON = (
    gettext_noop("new tingling, giving way, locking or sudden loss of strength"),
    gettext_noop("pain of 8 or more, or not settling in 1–2 minutes"),
    gettext_noop("the patient asks to stop"),
)
STOP_RESISTED = (
    gettext_noop("familiar pain: build up over 2–3 seconds, hold no longer than 5"),
    *STOP_COMMON,
)
