"""How a form that saves itself is answered, with htmx and without."""

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django_htmx.http import (
    HttpResponseClientRedirect,
    reselect,
    reswap,
    retarget,
    trigger_client_event,
)


def saves_itself(request: HttpRequest) -> bool:
    """Whether this is a save while typing, not the press of the form's button (named `done`)."""
    return bool(request.htmx) and "done" not in request.POST


def answer_form(
    request: HttpRequest, template: str, context: dict, *, ok: bool, state: str, onward: str
) -> HttpResponse:
    """Answer a POST of the form in `template`.

    While typing: the partial `state` alone (what is saved, what is wrong, what follows from it); the event
    `saved` tells the rest of the page to look again.
    Button pressed and all well: go `onward`. Button pressed and something wrong: the whole page with what was
    typed and the errors at their fields.
    """
    if saves_itself(request):
        answer = render(request, f"{template}#{state}", context, status=200 if ok else 422)
        return trigger_client_event(answer, "saved") if ok else answer
    if ok:
        return HttpResponseClientRedirect(onward) if request.htmx else HttpResponseRedirect(onward)
    page = render(request, template, context, status=422)
    return reswap(reselect(retarget(page, "main"), "main"), "outerHTML") if request.htmx else page
