"""The register of measures as a page shows it: measures that share their figures stand together."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from assessments.clinical.change import ImportantChange, MeasurementError
from assessments.clinical.completeness import WANTED, Wanted
from assessments.clinical.measures import MEASURES, Measure


@dataclass(frozen=True, kw_only=True)
class Family:
    """Measures whose figures are the same, such as pain in every situation."""

    measures: tuple[Measure, ...]

    @property
    def key(self) -> str:
        return self.measures[0].key

    @property
    def names(self) -> list[str]:
        return [measure.name for measure in self.measures]

    @property
    def errors(self) -> tuple[MeasurementError, ...]:
        return self.measures[0].known_errors

    @property
    def important(self) -> tuple[ImportantChange, ...]:
        return self.measures[0].important


@dataclass(frozen=True, kw_only=True)
class Register:
    """Every measure, every figure by family, and what the core outcome set asks for."""

    measures: tuple[Measure, ...] = MEASURES
    wanted: tuple[Wanted, ...] = WANTED

    @property
    def families(self) -> tuple[Family, ...]:
        """Those measures that have any figure, in the order of the register."""
        return families(self.measures)


def families(measures: Sequence[Measure]) -> tuple[Family, ...]:
    """Return neighbors with the same figures as one family; those without any figure are left out."""
    groups = groupby(measures, key=lambda measure: (measure.known_errors, measure.important))
    return tuple(Family(measures=tuple(group)) for figures, group in groups if any(figures))
