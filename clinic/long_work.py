"""How work that takes longer than a request is answered: each of its steps, and the file that it ends in."""

import tempfile
from collections.abc import Callable
from contextlib import ExitStack
from typing import BinaryIO

from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django_htmx.http import HttpResponseClientRedirect


def answer_step(
    request: HttpRequest, template: str, context: dict, *, goes_on: bool, address: str
) -> HttpResponse:
    """Answer with the partial `progress` while the work `goes_on`, which then asks for the next step.

    When it is over, and without htmx, the page of the work at `address` follows.
    """
    if not request.htmx:
        return redirect(address)
    if not goes_on:
        return HttpResponseClientRedirect(address)
    return render(request, f"{template}#progress", context)


def answer_file(
    write: Callable[[BinaryIO], None], name: str, *, is_saved: bool = True
) -> FileResponse:
    """Answer with a file that is written to the disk first: however much it holds, little is in memory."""
    with ExitStack() as unless_sent:
        file = unless_sent.enter_context(tempfile.TemporaryFile())
        write(file)
        file.seek(0)
        unless_sent.pop_all()
    return FileResponse(file, as_attachment=is_saved, filename=name)
