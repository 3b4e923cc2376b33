"""Right, left, and the hand a person writes and works with."""

from cases.clinical.labels import Labelled
from clinic.wording import gettext_noop


class Side(Labelled):
    """Body side. Never a word for dominance: reference tables differ on which they print."""

    RIGHT = "right", gettext_noop("right")
    LEFT = "left", gettext_noop("left")

    @property
    def other(self) -> "Side":
        """The opposite side of the body."""
        return Side.LEFT if self is Side.RIGHT else Side.RIGHT


class Handedness(Labelled):
    RIGHT = "right", gettext_noop("right-handed")
    LEFT = "left", gettext_noop("left-handed")
    BOTH = "both", gettext_noop("uses both hands alike")
    UNSTATED = "unset", gettext_noop("handedness not stated")
