"""Every answer that shows a patient leaves an event: who, when, which page, whose record.

It is written once, when the answer is there, for all that was fetched (`clinic.fetched`), unless an event of
the same request names the patient already: what is printed, exported or saved has been told.

- A page is noted each time that it is opened. What htmx asks for belongs to a page that is open, and some of
  it asks every few seconds: it is noted only where nothing of the kind by this person has been for an hour.
  So it never floods, and nobody reads unseen by sending htmx's header.
- A page that names patients without fetching one's row is a list: it is noted with how many it named, and
  without their numbers; so is a search, and never what was looked for.
- What can't be written keeps nobody from reading: a record is needed most when something is wrong, and its
  reader is still known from the line in the log. All else that can't be written is refused.
"""

import datetime
import logging
from collections.abc import Callable

from django.db import DatabaseError, models
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from clinic import fetched
from clinic.audit import record
from clinic.fetched import Fetched
from clinic.models import AuditEvent, Staff
from clinic.trouble import trouble_of

logger = logging.getLogger("clinic.reads")

OPENED, LISTED, SEARCHED = "opened", "listed", "searched"
SAME_LOOK = datetime.timedelta(hours=1)
# What was sent and is not right comes back in its page, as does what others have changed meanwhile.
SHOWN_AGAIN = (409, 422)


class NotesReads:
    """Middleware: listens to what is fetched for a request, and writes down what its answer has shown."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with fetched.listening() as found:
            response = self.get_response(request)
            if _shows(response) and request.user.is_authenticated:
                unless_it_fails(request, lambda: _note(request, found))
        return response

    def process_view(self, request, view_func, view_args, view_kwargs):
        fetched.now().page = request.resolver_match.view_name


def _shows(response: HttpResponse) -> bool:
    """Whether there is something to see: no redirect, no refusal, no failure, no empty answer."""
    if "HX-Redirect" in response or "HX-Refresh" in response:
        return False
    return response.status_code == 200 or response.status_code in SHOWN_AGAIN


def unless_it_fails(request: HttpRequest, write: Callable[[], object]) -> None:
    """Write about a look; where the database can't, say in the log whose look has left no event."""
    try:
        write()
    except DatabaseError as error:
        trouble = trouble_of(error)
        told = {
            "request": getattr(request, "reference", ""),
            "route": request.resolver_match.view_name,
            "user": request.user.pk,
            "trouble": trouble.code if trouble else "",
        }
        logger.exception("a look is not in the trail", extra={"told": told})


def _note(request: HttpRequest, found: Fetched) -> None:
    by_htmx = bool(request.headers.get("HX-Request"))
    if found.rows:
        for patient, row in found.unnamed.items():
            if not (by_htmx and _seen_lately(request.user, **_whose(patient, row))):
                record(request.user, OPENED, row, **_others(found))
    elif (found.loaded or found.searched) and not found.recorded:
        verb = SEARCHED if found.searched else LISTED
        if not (by_htmx and _seen_lately(request.user, verb=verb, page=found.page)):
            record(request.user, verb, patients=len(found.loaded))


def _whose(patient: int | None, row: models.Model) -> dict[str, object]:
    if patient is not None:
        return {"patient_key": patient}
    return {"object_type": row._meta.model_name, "object_id": row.pk}


def _others(found: Fetched) -> dict[str, int]:
    """How many others the page names beside whom it is about."""
    others = len(found.loaded - found.rows.keys())
    return {"others": others} if others else {}


def _seen_lately(user: Staff, **what) -> bool:
    lately = AuditEvent.objects.of(user.clinic).by(user).since(timezone.now() - SAME_LOOK)
    return lately.filter(**what).exists()
