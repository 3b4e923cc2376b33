"""How long the answers of a real web server take, what they ask the database and how many bytes they are."""

import gzip
import pathlib
import statistics
import time
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass

from django.db import connection
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from cases.models import Case, Visit
from clinic.models import Staff
from rehab.models import Program
from tests.browser.situations import FILES, NUMBERS, POST_ONLY, filled_in, names
from tests.operations.server import Server, Visitor, session_of

FLOORS = "tests.benchmarks.page_floors"
MOST_S = 4.0  # for all rounds of one page
FEWEST = 5  # rounds, however long they take
CONSTANT = "/floor/constant/"
SHOWN = (200, 204)
SENT = {
    "rehab:caseload_csv",
    "cases:book_figures_csv",
    "rehab:summary_file",
}  # files that are made then


@dataclass(frozen=True, kw_only=True)
class Measured:
    """One page; `compressed` are its bytes by gzip, which the proxy in front would send."""

    page: str
    median_ms: float
    p95_ms: float
    worker_ms: (
        float  # of a processor, by the web process alone: what else the machine does counts little
    )
    queries: int
    bytes: int
    compressed: int

    def told(self) -> dict:
        return asdict(self)


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A page by its name, and who opens it."""

    name: str
    address: str
    by: Staff


def site(numbers: dict, lead: Staff, manager: Staff, *, only: tuple[str, ...] = ()) -> list[Asked]:
    """Every page and sheet that leads on to no other; the manager opens what a physiotherapist may not."""
    clients = {lead: Client(), manager: Client()}
    for who, client in clients.items():
        client.force_login(who)
    found = []
    for label, address in addresses(numbers):
        if not label.startswith(only or ""):
            continue
        opened = (
            who for who, client in clients.items() if client.get(address).status_code in SHOWN
        )
        if who := next(opened, None):
            found.append(Asked(name=label, address=address, by=who))
    return found


def addresses(numbers: dict) -> Iterator[tuple[str, str]]:
    """The name and the address of all that can be opened; a name that takes several rows says which."""
    yield "cases:week, of one", f"{reverse('cases:week')}?who={numbers['practitioner']}"
    for name in names():
        if name in POST_ONLY or (name in FILES and name not in SENT):
            continue
        rows = NUMBERS.get(name, [None])
        for row in rows:
            label = f"{name}, {row}" if rows[1:] else name
            yield label, filled_in(name, numbers, row)


def long_cases(lead: Staff) -> list[Asked]:
    """The pages of a case of ten visits, and lists that are searched or looked through further on."""
    case = Case.objects.led_by(lead).open().order_by("pk").first()
    visit = Visit.objects.signed().filter(case=case).newest_first().first()
    program = Program.objects.current_of(case)
    addresses = {
        "case": reverse("rehab:case", args=[case.pk]),
        "course": reverse("rehab:course", args=[case.pk]),
        "ladder": reverse("rehab:history", args=[case.pk]),
        "diary": reverse("rehab:diary", args=[case.pk]),
        "signed visit": reverse("rehab:visit", args=[visit.pk]),
        "course.pdf": reverse("rehab:course_pdf", args=[case.pk]),
        "summary.pdf": reverse("rehab:summary", args=[case.pk]),
        "home-program.pdf": reverse("rehab:home_program", args=[program.pk]),
        "patients named “lind”": f"{reverse('cases:patients')}?q=lind",
        "patients, third page": f"{reverse('cases:patients')}?page=3",
    }
    return [
        Asked(
            name=f"ten visits: {name}" if "patients" not in name else name, address=address, by=lead
        )
        for name, address in addresses.items()
    ]


def floors(lead: Staff) -> list[tuple[Asked, Asked | None]]:
    """Each floor, and the page that it is the floor of."""
    case = Case.objects.led_by(lead).open().order_by("pk").first()
    pairs = {
        "day list": ("/floor/day/", reverse("cases:day")),
        "case page": (f"/floor/cases/{case.pk}/", reverse("rehab:case", args=[case.pk])),
        "appointment book": ("/floor/book/", reverse("cases:book")),
    }
    constant = Asked(name="floor: a constant", address=CONSTANT, by=lead)
    return [(constant, None)] + [
        (
            Asked(name=f"floor: {name}", address=floor, by=lead),
            Asked(name=name, address=page, by=lead),
        )
        for name, (floor, page) in pairs.items()
    ]


def measure(server: Server, asked: Iterable[Asked], *, rounds: int) -> list[Measured]:
    """Open each page so many times by the server's one worker, unless it takes too long."""
    sessions = {}
    measured = []
    for one in asked:
        session = sessions.setdefault(one.by, session_of(one.by))
        measured.append(_measure(server, server.visitor(session), one, rounds))
    return measured


def _measure(server: Server, visitor: Visitor, asked: Asked, rounds: int) -> Measured:
    queries, content = _queries(asked)
    _time(visitor, asked.address)  # the first one only warms up
    _master, worker = server.everyone()
    times, began, used = [], time.monotonic(), _processor_ms(worker)
    while len(times) < rounds and (len(times) < FEWEST or time.monotonic() - began < MOST_S):
        times.append(_time(visitor, asked.address))
    return Measured(
        page=asked.name,
        median_ms=statistics.median(times),
        p95_ms=statistics.quantiles(times, n=20, method="inclusive")[-1],
        worker_ms=(_processor_ms(worker) - used) / len(times),
        queries=queries,
        bytes=len(content),
        compressed=len(gzip.compress(content, 6)),
    )


def _processor_ms(process: int) -> float:
    """What a process has had of a processor since it began."""
    return int(pathlib.Path(f"/proc/{process}/schedstat").read_text().split()[0]) / 1e6


def _time(visitor: Visitor, address: str) -> float:
    began = time.perf_counter()
    answer = visitor.get(address)
    taken = 1000 * (time.perf_counter() - began)
    if answer.status not in SHOWN:
        raise RuntimeError(f"{address} answered {answer.status}")
    return taken


def _queries(asked: Asked) -> tuple[int, bytes]:
    """How often the page asks the database once all is warm, and the page."""
    client = Client()
    client.force_login(asked.by)
    with override_settings(ROOT_URLCONF=FLOORS):
        client.get(asked.address)
        with CaptureQueriesContext(connection) as queries:
            answer = client.get(asked.address)
    return len(queries), answer.getvalue()
