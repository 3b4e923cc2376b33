"""How many of the chosen cases are open, discharged and declined, and after how many visits."""

from typing import TYPE_CHECKING

from django.db.models import Count

from cases.models import Case
from clinic.sql import count_by
from rehab.clinical.endings import Ending

if TYPE_CHECKING:
    from rehab.caseload import Chosen


def endings(chosen: "Chosen") -> dict[Case.Status, Ending]:
    """Each way a case stands or ends, those without any case included.

    A case with a draft can't be closed: so all visits of one that ended are signed, and their number is in
    the index by case. Reading which are signed would read the notes of every visit.
    """
    cases = chosen.cases.order_by()
    number = dict(cases.values("status").annotate(all=Count("pk")).values_list("status", "all"))
    visits: dict[str, dict[int, int]] = {status: {} for status in Case.Status}
    ended = cases.closed().values("pk", "status").annotate(several=Count("visits"))
    for status, several, count in count_by(ended, "status", "several"):
        visits[status][several] = count
    return {
        status: Ending(cases=number.get(status, 0), visits=visits[status]) for status in Case.Status
    }
