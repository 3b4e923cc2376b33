"""How the cases of a clinic end, and after how many visits: counts, and no verdict on them."""

from collections.abc import Mapping
from dataclasses import dataclass

from rehab.clinical.caseload import MIN_FOR_SHARE, median_of


@dataclass(frozen=True, kw_only=True)
class Ending:
    """The cases that stand or ended one way; `visits` is how many of those that ended had so many visits."""

    cases: int
    visits: Mapping[int, int]

    @property
    def median_visits(self) -> float | None:
        """The median of visits a case; None with too few cases for one, or where they are still open."""
        ended = sum(self.visits.values())
        return median_of(self.visits) if ended >= MIN_FOR_SHARE.value else None
