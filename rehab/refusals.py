"""Who was kept from a row of a patient's: the attempt stands in the trail, by its page and the row."""

from collections.abc import Callable

from django.core.exceptions import PermissionDenied
from django.db.models import F
from django.http import Http404, HttpRequest, HttpResponse

from cases.models import (
    Appointment,
    Case,
    CorrectionRequest,
    ErasureRefusal,
    Notice,
    Patient,
    ScreeningAnswer,
    Visit,
)
from clinic import fetched
from clinic.audit import record
from clinic.models import ClinicOwned
from clinic.reads import unless_it_fails
from rehab.copies.reach import reach
from rehab.models import Handout, Program, RecordCopy

# What the number in an address is the number of, by what stands before it.
ROWS: dict[str, type[ClinicOwned]] = {
    "patients/": Patient,
    "cases/": Case,
    "visits/": Visit,
    "programs/": Program,
    "screening-answers/": ScreeningAnswer,
    "handouts/": Handout,
    "record-copies/": RecordCopy,
    "corrections/": CorrectionRequest,
    "erasure-refusals/": ErasureRefusal,
    "book/": Appointment,
    "due/": Case,
    "mail/": Notice,
}


class NotesRefusals:
    """Middleware: writes down that a view let somebody not in, where there is such a row in their clinic."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> None:
        if isinstance(error, PermissionDenied | Http404) and request.user.is_authenticated:
            status = 403 if isinstance(error, PermissionDenied) else 404
            unless_it_fails(request, lambda: _note(request, status))


def _note(request: HttpRequest, status: int) -> None:
    before, takes_number, _after = request.resolver_match.route.partition("<int:pk>")
    model = ROWS.get(before)
    if model is None or not takes_number:
        return
    number = request.resolver_match.kwargs["pk"]
    there = model._base_manager.filter(clinic=request.user.clinic_id, pk=number)
    row = there.only("pk").annotate(whose=F(reach()[model][0])).first()
    if row is not None:
        fetched.row_of(row.whose, row)
        record(request.user, "was refused", row, status=status)
