"""One line of JSON for each request and each failure, without anything clinical.

A line says when, who, which page by its name, with what outcome. It holds no address: that would tell whose
record was open, and who has seen whom stands in the audit trail, which is guarded better than logs are. Nor
does it hold query strings, form values, or what an exception says: PostgreSQL quotes the row that it refuses.
"""

import datetime
import json
import logging
import pathlib
import time
import traceback

from django.conf import settings

from clinic.reference import new_reference
from clinic.trouble import chain, code_of

logger = logging.getLogger("clinic.requests")

MOST_FRAMES = 30
PACKAGES = "site-packages/"


class JsonLines(logging.Formatter):
    """Writes what was told as `extra={"told": …}`; of other loggers' records only where they come from."""

    def format(self, record: logging.LogRecord) -> str:
        moment = datetime.datetime.fromtimestamp(record.created, datetime.UTC)
        line = {
            "time": moment.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
            "level": record.levelname,
            "logger": record.name,
        }
        line |= getattr(record, "told", None) or _origin(record)
        if record.exc_info and record.exc_info[1]:
            line["errors"] = [_described(error) for error in chain(record.exc_info[1])]
        return json.dumps(line, ensure_ascii=False)


def _origin(record: logging.LogRecord) -> dict:
    # The message before it is filled in; one without places may have been filled in before.
    words = {"message": record.msg} if record.args and isinstance(record.msg, str) else {}
    return {"at": f"{_short(record.pathname)}:{record.lineno}"} | words


def _described(error: BaseException) -> dict:
    kind = f"{type(error).__module__}.{type(error).__qualname__}"
    frames = traceback.extract_tb(error.__traceback__)[-MOST_FRAMES:]
    places = [f"{_short(frame.filename)}:{frame.lineno} {frame.name}" for frame in frames]
    code = code_of(error)
    return {"type": kind} | ({"code": code} if code else {}) | {"at": places}


def _short(path: str) -> str:
    if PACKAGES in path:
        return path.rpartition(PACKAGES)[2]
    file = pathlib.PurePath(path)
    own = file.is_relative_to(settings.BASE_DIR)
    return file.relative_to(settings.BASE_DIR).as_posix() if own else file.name


class RequestLog:
    """Numbers each request and writes its line.

    The number is on the error page, in `X-Request-ID`, and with what the request left in the audit trail.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.reference, began = new_reference(), time.perf_counter()
        response = self.get_response(request)
        response["X-Request-ID"] = request.reference
        # What no view has answered is a file of static/, or leads to the same address with TLS.
        if request.resolver_match or response.status_code >= 400:
            self.write(request, response, ms=1000 * (time.perf_counter() - began))
        return response

    def write(self, request, response, *, ms: float) -> None:
        route = request.resolver_match.view_name if request.resolver_match else ""
        told = {
            "request": request.reference,
            "method": request.method,
            "route": route,
            "status": response.status_code,
            "ms": round(ms, 1),
            "user": _known_user(request),
        }
        failure = getattr(request, "failure", None)
        if trouble := getattr(request, "trouble", None):
            told["trouble"] = trouble.code
        level = logging.ERROR if response.status_code >= 500 else logging.INFO
        logger.log(level, "request", extra={"told": told}, exc_info=failure)


def _known_user(request) -> int | None:
    """The signed-in person's number, as far as it is known: a log line must not ask the database."""
    known = request.__dict__.get("_cached_user")
    return known.pk if known else None
