"""Where a form leads when it is done: back to where the person came from, if that is on this site."""

from django.http import HttpRequest
from django.shortcuts import resolve_url
from django.utils.http import url_has_allowed_host_and_scheme


def came_from(request: HttpRequest) -> str:
    """Return the `next` of the form or the address when it is on this site, otherwise nothing."""
    wanted = request.POST.get("next") or request.GET.get("next", "")
    safe = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    # Anything else than a path would be taken for the name of a view, or lead on from the form's own page.
    return wanted if safe and wanted.startswith("/") else ""


def way_on(request: HttpRequest, default: str = "") -> str:
    """Return where the person came from, otherwise `default`, otherwise today's page."""
    return came_from(request) or default or resolve_url("cases:day")
