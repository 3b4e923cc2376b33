"""How a view that writes runs: its POST is one transaction, its GET takes no lock."""

from functools import wraps

from django.db import transaction
from django.http import HttpRequest, HttpResponse

from clinic.access import View


def atomic_post(view: View) -> View:
    """Run a POST of the view in one transaction.

    A GET stays outside: on SQLite a transaction takes the write lock when it begins.
    """

    @wraps(view)
    def run(request: HttpRequest, *args, **kwargs) -> HttpResponse:
        if request.method != "POST":
            return view(request, *args, **kwargs)
        with transaction.atomic():
            return view(request, *args, **kwargs)

    return run
