"""Where a maximal grip stands among healthy people of the same sex, age and hand.

Two tables, never mixed: they give different answers, so whatever is said names its table. Both are
printed for the right and the left hand, not for the dominant one. They hold maximal grip, mean of
three trials, with the elbow at 90 degrees; a grip that pain has stopped doesn't belong beside them.

Sources
-------
Mathiowetz et al. (1985) Arch Phys Med Rehabil 66:69–74.
Massy-Westropp et al. (2011) BMC Res Notes 4:127, doi 10.1186/1756-0500-4-127.
Both tables were read second-hand; cells that could not be settled are marked in the files.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite
from pathlib import Path
from statistics import NormalDist

from assessments.clinical.force import Unit, to_newtons
from cases.clinical.labels import Labelled
from cases.clinical.sides import Side
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

FOLDER = Path(__file__).resolve().parent / "reference"

# What the column "doubtful" of a file says, as a sentence.
DOUBTS = {
    "sd_or_se_misprinted": gettext_noop(
        "The spread of this cell does not fit its printed standard error: one of the two is "
        "probably misprinted in the reprint that was read."
    ),
    "sd_disputed": gettext_noop(
        "The spread of this cell is not settled: 9.7 kg in the copy that was read, 8.8 kg from memory."
    ),
}


class Sex(Labelled):
    """The sexes that grip tables are printed for; stored with a patient by the same words."""

    FEMALE = "female", gettext_noop("women")
    MALE = "male", gettext_noop("men")
    UNSTATED = "unstated", gettext_noop("not stated")


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One sex, age group and hand of a table, in the table's own unit; ages in whole years.

    `age_high` is None in the last, open group, `sd` where it is not settled, `low` and `high` (the
    weakest and the strongest person) where the table has none. `doubt` is a key of `DOUBTS` or "".
    Raises ValueError for another doubt, and for a missing `sd` without one.
    """

    sex: Sex
    age_low: int
    age_high: int | None
    side: Side
    mean: float
    sd: float | None
    low: float | None
    high: float | None
    doubt: str

    def __post_init__(self) -> None:
        if self.doubt and self.doubt not in DOUBTS:
            raise ValueError(f"there is no sentence for {self.doubt}")
        if self.sd is None and not self.doubt:
            raise ValueError(f"{self.sex} {self.ages} {self.side} has no spread and no reason")

    @property
    def ages(self) -> str:
        """The age group as tables print it: 35–39, or 75+."""
        return f"{self.age_low}+" if self.age_high is None else f"{self.age_low}–{self.age_high}"

    def holds(self, age: int) -> bool:
        """Return whether an age in years belongs to the group."""
        return self.age_low <= age and (self.age_high is None or age <= self.age_high)


@dataclass(frozen=True, kw_only=True)
class Reference:
    """A table of reference values: where it is from, how it was read, whom and what it measured."""

    key: str
    name: str
    source: str
    status: Status
    read: str
    population: str
    protocol: str
    licence: str
    unit: Unit
    cells: tuple[Cell, ...]

    @property
    def youngest(self) -> int:
        """The age in years at which the table begins."""
        return min(cell.age_low for cell in self.cells)

    def cell(self, *, sex: Sex, age: int, side: Side) -> Cell | None:
        """Return the cell for a person's hand; None below the table's ages or without a sex."""
        rows = (c for c in self.cells if c.sex is sex and c.side is side and c.holds(age))
        return next(rows, None)


@dataclass(frozen=True, kw_only=True)
class Standing:
    """One force (N) beside one cell of one table; `cell` is None where the table has none for it."""

    force_n: float
    reference: Reference
    sex: Sex
    cell: Cell | None

    @property
    def expected_n(self) -> float | None:
        """The mean of the cell, in newtons; None without a cell."""
        return None if self.cell is None else to_newtons(self.cell.mean, self.reference.unit)

    @property
    def sd_n(self) -> float | None:
        """The standard deviation of the cell, in newtons; None without one."""
        if self.cell is None or self.cell.sd is None:
            return None
        return to_newtons(self.cell.sd, self.reference.unit)

    @property
    def z(self) -> float | None:
        """How far from the mean, in standard deviations; None where `why_not` says why."""
        if self.expected_n is None or self.sd_n is None:
            return None
        return (self.force_n - self.expected_n) / self.sd_n

    @property
    def percentile(self) -> float | None:
        """The share of people (%) who are weaker, if strengths are normally spread; None as `z`."""
        return None if self.z is None else 100 * NormalDist().cdf(self.z)

    @property
    def doubt(self) -> str | None:
        """What is not settled about the cell; it belongs beside every value from it."""
        return DOUBTS[self.cell.doubt] if self.cell and self.cell.doubt else None

    @property
    def why_not(self) -> Sentence | None:
        """Why there is no `z`; None where there is one."""
        return None if self.z is not None else self._reason

    @property
    def sentence(self) -> Sentence:
        """What can be said, with the table's name and any doubt; never whether it is good or bad."""
        z, percentile = self.z, self.percentile
        if self.cell is None or z is None or percentile is None:
            return self._reason
        said = say(
            _SENTENCES[self.cell.sex, z < 0],
            z=f"{abs(z):.2f}",
            ages=self.cell.ages,
            hand=_HANDS[self.cell.side],
            table=self.reference.name,
            weaker=_of_hundred(percentile),
        )
        return say(_WITH_DOUBT, said=said, doubt=self.doubt) if self.doubt else said

    @property
    def _reason(self) -> Sentence:
        table = self.reference.name
        if self.cell is not None:
            return say(_NO_SPREAD, table=table, doubt=self.doubt)
        if self.sex is Sex.UNSTATED:
            return say(_NO_SEX, table=table)
        return say(_TOO_YOUNG, table=table, age=self.reference.youngest)

    @property
    def figure(self) -> Figure | None:
        """The mean it is set against, in newtons, with its source and limits; None without a cell."""
        if self.expected_n is None:
            return None
        reference = self.reference
        limits = f"{reference.population}; {reference.protocol}; read {reference.read}"
        return Figure(
            value=self.expected_n,
            unit="N",
            source=reference.source,
            status=reference.status,
            limits=f"{limits}; {self.doubt}" if self.doubt else limits,
        )


def standing(force_n: float, reference: Reference, *, sex: Sex, age: int, side: Side) -> Standing:
    """Return where a maximal grip (N) of one hand stands in `reference`; `age` in whole years.

    Never refuses in silence: without a recorded sex, below the table's ages, or where the spread of
    the cell is not settled, `why_not` has the reason. Raises ValueError for a force or an age that
    is negative or not finite.
    """
    if not isfinite(force_n) or force_n < 0:
        raise ValueError(f"grip {force_n} N is not a force")
    if age < 0:
        raise ValueError(f"{age} years is not an age")
    cell = reference.cell(sex=sex, age=age, side=side)
    return Standing(force_n=force_n, reference=reference, sex=sex, cell=cell)


def _of_hundred(percentile: float) -> Sentence:
    whole = round(percentile)
    if whole < 1:
        return say(_FEWER_THAN_ONE)
    return say(_MORE_THAN_99) if whole > 99 else say(_ABOUT, whole=whole)


_NO_SEX = gettext_noop(
    "%(table)s is printed for women and men, and the patient's sex for reference values is not stated."
)
_TOO_YOUNG = gettext_noop("%(table)s begins at %(age)s years.")
_NO_SPREAD = gettext_noop("%(table)s can't say how far from the mean this is. %(doubt)s")
_WITH_DOUBT = gettext_noop("%(said)s %(doubt)s")
_HANDS = {Side.RIGHT: gettext_noop("right hand"), Side.LEFT: gettext_noop("left hand")}
# By sex, and by whether the force is below the mean.
_SENTENCES = {
    (Sex.MALE, True): gettext_noop(
        "%(z)s standard deviations below the mean of men of %(ages)s, %(hand)s (%(table)s). If "
        "strengths are normally spread, %(weaker)s of 100 such men are weaker."
    ),
    (Sex.MALE, False): gettext_noop(
        "%(z)s standard deviations above the mean of men of %(ages)s, %(hand)s (%(table)s). If "
        "strengths are normally spread, %(weaker)s of 100 such men are weaker."
    ),
    (Sex.FEMALE, True): gettext_noop(
        "%(z)s standard deviations below the mean of women of %(ages)s, %(hand)s (%(table)s). If "
        "strengths are normally spread, %(weaker)s of 100 such women are weaker."
    ),
    (Sex.FEMALE, False): gettext_noop(
        "%(z)s standard deviations above the mean of women of %(ages)s, %(hand)s (%(table)s). If "
        "strengths are normally spread, %(weaker)s of 100 such women are weaker."
    ),
}
_FEWER_THAN_ONE = gettext_noop("fewer than 1")
_MORE_THAN_99 = gettext_noop("more than 99")
_ABOUT = gettext_noop("about %(whole)s")

_SEXES = {sex.value: sex for sex in Sex}
_SIDES = {side.value: side for side in Side}


def _cells(name: str) -> Iterator[Cell]:
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            yield Cell(
                sex=_SEXES[row["sex"]],
                age_low=int(row["age_low"]),
                age_high=int(row["age_high"]) if row["age_high"] else None,
                side=_SIDES[row["hand"]],
                mean=float(row["mean"]),
                sd=_number(row["sd"]),
                low=_number(row["low"]),
                high=_number(row["high"]),
                doubt=row["doubtful"],
            )


def _number(text: str) -> float | None:
    return float(text) if text else None


MATHIOWETZ = Reference(
    key="mathiowetz_1985",
    name="Mathiowetz 1985",
    source="Mathiowetz et al. 1985 Arch Phys Med Rehabil 66:69–74",
    status=Status.SECOND_HAND,
    read="from a dynamometer maker's manual that reprints the table; the paper itself was not read",
    population="310 men and 328 women of 20–94 years, Milwaukee",
    protocol="mean of three trials; the reprint's sentence on the position is garbled",
    licence="the publisher's copyright; single figures with their source are usual (from memory)",
    unit=Unit.LBF,
    cells=tuple(_cells("mathiowetz_1985_lb.csv")),
)
MASSY_WESTROPP = Reference(
    key="massy_westropp_2011",
    name="Massy-Westropp 2011",
    source="Massy-Westropp et al. 2011 BMC Res Notes 4:127, doi 10.1186/1756-0500-4-127",
    status=Status.SECOND_HAND,
    read=(
        "from a web page that copies the table and calls its columns dominant and non-dominant; the "
        "paper prints right and left (from memory), and was not read"
    ),
    population=(
        "1366 men and 1312 women without hand pain or arthritis, North West Adelaide; mean body mass "
        "index 28.1"
    ),
    protocol="seated, elbow by the side at 90 degrees, wrist neutral, mean of three trials",
    licence="open access; the version of its Creative Commons licence is from memory",
    unit=Unit.KGF,
    cells=tuple(_cells("massy_westropp_2011_kg.csv")),
)
REFERENCES = (MASSY_WESTROPP, MATHIOWETZ)
