"""The pages that say why there is no other page. They ask the database nothing.

A form that saves itself gets the same words as a part that `unsaved.js` puts beside what was typed.
"""

import sys
from dataclasses import dataclass
from functools import partial

from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext_lazy as _

from clinic.trouble import Trouble, trouble_of

TOO_LARGE = (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)
# Nothing has failed: the person and the clinic are known, and the way to the other pages costs no query. With
# any other status the database may be what has failed.
EXPECTED = (403, 404, 405)
# What is wrong, and what to do.
WORDS = {
    400: (
        _("This request can't be read"),
        _(
            "Something in the address or the form was not as expected. "
            "Go back and try again; nothing was changed."
        ),
    ),
    403: (
        _("This page isn't part of your role"),
        _("The clinic manager decides who may open what. Nothing was changed."),
    ),
    404: (
        _("There is no such page here"),
        _("The address may be mistyped, or what it showed belongs to another clinic."),
    ),
    405: (
        _("This address can't be opened like that"),
        _(
            "It takes what a form sends, or shows a page, but not the other. "
            "Nothing was changed; start from the first page."
        ),
    ),
    413: (
        _("This is more than can be sent at once"),
        _(
            "Nothing was changed. Go back, shorten the text or choose a smaller file, and try again."
        ),
    ),
    500: (
        _("Something went wrong on our side"),
        _(
            "What you sent may not have been saved. Look whether it is there before you send it "
            "again; tell the clinic manager if it happens twice."
        ),
    ),
}
EXPIRED = (
    _("This form was open too long"),
    _("Go back, load the page again and send the form once more. Nothing was saved."),
)


@dataclass(frozen=True)
class SentForm:
    """What somebody typed, kept on the failure page, so that it can be sent again or copied."""

    action: str
    values: list[tuple[str, str]]
    had_files: bool

    @property
    def prose(self) -> list[str]:
        """Texts of more than one word, which are hard to type again."""
        return [value for _name, value in self.values if len(value.split()) > 1]


def sent_form(request: HttpRequest) -> SentForm | None:
    """Return what a POST brought; None for a password, and for what can't be read."""
    if request.method != "POST" or hasattr(request, "sensitive_post_parameters"):
        return None
    try:
        values = [(name, value) for name, many in request.POST.lists() for value in many]
        had_files = bool(request.FILES)
    except Exception:  # whatever has kept it from being read has been answered already
        return None
    if any("password" in name for name, _value in values):
        return None
    return SentForm(request.get_full_path(), values, had_files)


def answer(request: HttpRequest, status: int, words: tuple, **more) -> HttpResponse:
    title, sentence = words
    context = {"title": title, "sentence": sentence} | more
    if status not in EXPECTED:
        context["reference"] = getattr(request, "reference", "")
    if request.headers.get("HX-Request"):
        text = render_to_string("components/not_saved.html", context)
    else:
        text = _page(request, status, context)
    response = HttpResponse(text, status=status)
    response["Cache-Control"] = "no-store"
    return response


def _page(request: HttpRequest, status: int, context: dict) -> str:
    known = request if status in EXPECTED and hasattr(request, "user") else None
    sent = sent_form(request) if status >= 500 else None
    return render_to_string("failure.html", context | {"sent": sent}, request=known)


def unavailable(request: HttpRequest, trouble: Trouble) -> HttpResponse:
    """503: what is wrong around the program, and when to try again."""
    request.trouble = trouble
    saves = request.method == "POST"
    title = _("This could not be saved just now") if saves else _("This can't be shown just now")
    response = answer(request, 503, (title, trouble.sentence), advice=trouble.advice, again=True)
    response["Retry-After"] = str(trouble.retry_s)
    return response


def server_error(request: HttpRequest) -> HttpResponse:
    error = sys.exc_info()[1]
    request.failure = error
    trouble = trouble_of(error)
    return unavailable(request, trouble) if trouble else answer(request, 500, WORDS[500])


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    request.failure = exception
    # A session that can't be saved says that it was deleted; what kept it from being saved is behind that.
    if trouble := trouble_of(exception):
        return unavailable(request, trouble)
    status = 413 if isinstance(exception, TOO_LARGE) else 400
    return answer(request, status, WORDS[status])


def _plain(status: int, request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return answer(request, status, WORDS[status])


forbidden = partial(_plain, 403)
not_found = partial(_plain, 404)


def form_expired(request: HttpRequest, reason: str = "") -> HttpResponse:
    return answer(request, 403, EXPIRED)


class FailurePages:
    """Gives database trouble and refused methods their page; Django asks a project's handlers for neither."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        if response.status_code == 405 and not response.content:
            page = answer(request, 405, WORDS[405])
            response.content, response["Content-Type"] = page.content, page["Content-Type"]
        return response

    def process_exception(self, request, exception):
        if trouble := trouble_of(exception):
            request.failure = exception
            return unavailable(request, trouble)
        return None
