"""Reading a restricted record asks for a reason, once a session and record; the reason is in the trail.

Whose row it is, is asked in `access`, so the question stands there too and no page can forget it. Lists and
the book of appointments still name the patient: that is storage, and the day has to go on.
"""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, resolve_url
from django.utils.http import urlencode

from cases.models import Patient
from clinic.models import Staff
from clinic.typed import bring_back, hold

GIVEN = "reasons_for_reading"


class RestrictedRecord(Exception):
    """The record is restricted, and nobody has said in this session why it is read."""

    def __init__(self, patient: int):
        super().__init__(patient)
        self.patient = patient


def may_read(user: Staff, patient: int) -> None:
    """Let a restricted record be read for a reason that was given, or raise RestrictedRecord.

    Outside of a request, as in a command, nobody reads.
    """
    given = getattr(user, "reasons_given", None)
    if given is None:
        return
    if str(patient) not in given:
        raise RestrictedRecord(patient)
    user.reads_restricted = True


def give_reason(request: HttpRequest, patient: Patient, ground: str) -> None:
    given = request.session.get(GIVEN, {})
    request.session[GIVEN] = given | {str(patient.pk): ground}


class AskForReason:
    """Middleware: knows the reasons given in the session, and asks for one that is missing."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.user.is_authenticated:
            request.user.reasons_given = request.session.get(GIVEN, {})
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        if not isinstance(error, RestrictedRecord):
            return None
        if request.method == "POST":
            hold(request.user.pk, request.path, request.POST.urlencode())
            bring_back(request)
        page = request.headers.get("HX-Current-URL") or request.path
        question = resolve_url("rehab:restricted", error.patient)
        address = f"{question}?{urlencode({'next': page})}"
        if request.headers.get("HX-Request"):
            return HttpResponse(headers={"HX-Redirect": address})
        return redirect(address)
