"""What is answered where a sheet can't be set."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from rehab.printing.fonts import CannotPrint


class SaysWhy:
    """Middleware: a sheet that can't be set, on paper or as a page, is answered with the reason."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, refusal: Exception) -> HttpResponse | None:
        if not isinstance(refusal, CannotPrint):
            return None
        return render(request, "rehab/cannot_print.html", {"refusal": str(refusal)}, status=422)
