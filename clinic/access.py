"""Who may open a view. Every view carries `@allow(...)` or `@open_to_all`; a test finds those that do not."""

from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from clinic.roles import Capability

View = Callable[..., HttpResponse]


def allow(needed: Capability) -> Callable[[View], View]:
    """Let in whoever has the capability; anybody else who is signed in gets 403."""

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args, **kwargs) -> HttpResponse:
            if not request.user.may(needed):
                raise PermissionDenied(needed)
            return view(request, *args, **kwargs)

        guarded.allowed = needed
        return guarded

    return decorate


def unattended(view: View) -> View:
    """Mark a view that a page asks by itself, so that asking doesn't pass for somebody being there."""
    view.unattended = True
    return view


def before_second_factor(view: View) -> View:
    """Mark a view for a manager who has to set up a second factor first, and who gets no further."""
    view.before_second_factor = True
    return view


def open_to_all(view: View) -> View:
    """Mark a view that needs no signing in."""
    view = login_not_required(view)
    view.allowed = None
    return view
