"""Many people at work at once, against a real web server: `python -m tests.benchmarks load`.

Clinicians open a case, go through a visit that saves itself while it is typed, and sign it; front desks look
at the book, which asks every few seconds what is new, find a patient and book. Each rests between two steps
for a time that chance chooses. In the end what is in the database is held against what everybody was told.
Times are those of the person: with the wait for a free web process.
"""

import argparse
import contextlib
import datetime
import json
import os
import pathlib
import random
import statistics
import tempfile
import threading
import time
from collections import Counter, defaultdict
from dataclasses import dataclass

from tests import postgres
from tests.benchmarks.people import Clinician, Desk, Person, slots
from tests.operations.server import Server, running

REST_S = (3.0, 9.0)  # between two steps; our own guess of somebody who works quickly
CLINIC = 20  # people, of whom every fourth is at the desk
CASES = 3  # of each clinician
PEOPLE = {"sqlite": 100, "postgres": 200}  # people, when nobody says how many
SECONDS = 180
SERVERS = 5  # web processes: twice the cores and one


@dataclass(frozen=True)
class Report:
    people: list[Person]
    seconds: float

    def rows(self) -> list[dict]:
        times = defaultdict(list)
        for one in self.people:
            for page, taken in one.times.items():
                times[page] += taken
        return [_row(page, taken) for page, taken in sorted(times.items())]

    @property
    def wrong(self) -> Counter:
        return Counter(said for one in self.people for said in one.wrong)

    @property
    def saved(self) -> int:
        saves = ("save", "sign", "begin", "book a")
        return sum(row["times"] for row in self.rows() if row["page"].startswith(saves))

    def lost(self) -> list[str]:
        """What somebody was told to be kept, and is not there."""
        return [said for one in self.people for said in _lost_of(one)]


def _row(page: str, taken: list[float]) -> dict:
    return {
        "page": page,
        "times": len(taken),
        "median_ms": round(statistics.median(taken), 1),
        "p95_ms": round(statistics.quantiles(taken, n=20)[-1] if taken[1:] else taken[0], 1),
        "max_ms": round(max(taken), 1),
    }


def _lost_of(person: Person) -> list[str]:
    return _lost_records(person) if isinstance(person, Clinician) else _lost_bookings(person)


def _lost_records(one: Clinician) -> list[str]:
    from assessments.models import PainRating
    from cases.models import Visit

    visits = Visit.objects.in_bulk(one.written)
    rated = dict(
        PainRating.objects.filter(visit__in=one.rated, context="on_gripping").values_list(
            "visit", "value"
        )
    )
    notes = [f"notes of {pk}" for pk, text in one.written.items() if visits[pk].subjective != text]
    pains = [f"pain at {pk}" for pk, pain in one.rated.items() if rated.get(pk) != pain]
    return notes + pains + [f"signature of {pk}" for pk in one.signed if not visits[pk].is_signed]


def _lost_bookings(one: Desk) -> list[str]:
    from django.utils import timezone

    from cases.models import Appointment

    kept = set()
    with timezone.override("Europe/London"):
        for booked in Appointment.objects.filter(practitioner=one.practitioner):
            start = timezone.localtime(booked.starts_at)
            kept.add(
                (booked.practitioner_id, booked.patient_id, f"{start:%Y-%m-%d}", f"{start:%H:%M}")
            )
    return [f"booking {told}" for told in one.booked if told not in kept]


def build(people: int, server: Server, *, rest_s) -> list[Person]:
    """Clinics with their staff, everybody signed in."""
    from tests.factories.clinic import create_clinic

    made: list[Person] = []
    while len(made) < people:
        clinic = create_clinic()
        made += _team(clinic, min(CLINIC, people - len(made)), len(made), server, rest_s)
    return made


def _team(clinic, size: int, seed: int, server: Server, rest_s) -> list[Person]:
    from django.utils import timezone

    from tests.factories.cases import create_patient
    from tests.factories.clinic import create_front_desk, create_physiotherapist
    from tests.operations.server import session_of

    team = []
    for number in range(size):
        treats = number % 4
        staff = (create_physiotherapist if treats else create_front_desk)(clinic=clinic)
        common = {
            "visitor": server.visitor(session_of(staff)),
            "chance": random.Random(seed + number),
            "rest_s": rest_s,
        }
        if treats:
            team.append(
                Clinician(**common, cases=[case_with_program(staff).pk for _number in range(CASES)])
            )
        else:
            # Each desk books for its own: who was first is another test's matter.
            other = create_physiotherapist(clinic=clinic)
            patients = [create_patient(clinic=clinic).pk for _number in range(2 * CASES)]
            free = slots(timezone.localdate())
            desk = {"patients": patients, "practitioner": other.pk, "free": free}
            team.append(Desk(**common, **desk))
    return team


def case_with_program(lead):
    """A case two weeks old, with a program and its diary."""
    from django.utils import timezone

    from tests.factories.cases import create_case, create_clear_screening
    from tests.factories.rehab import create_diary, create_issued

    began = timezone.now() - datetime.timedelta(days=14)
    case = create_case(lead=lead, opened=began.date())
    create_clear_screening(case=case)
    create_diary(program=create_issued(case=case, at=began, version=1), days=12)
    return case


def at_work(server: Server, *, people: int, seconds: float, rest_s=REST_S) -> Report:
    """Let so many people work for so long, and say how it went."""
    return together(build(people, server, rest_s=rest_s), seconds=seconds)


def together(everybody: list[Person], *, seconds: float) -> Report:
    """Let these people work at once."""
    began = time.monotonic()
    threads = [threading.Thread(target=one.work) for one in everybody]
    for one, thread in zip(everybody, threads, strict=True):
        one.ends = began + seconds
        thread.start()
    for thread in threads:
        thread.join()
    return Report(people=everybody, seconds=time.monotonic() - began)


@contextlib.contextmanager
def database(kind: str):
    """A database that pays for what a clinic's does: what is acknowledged is on the disk."""
    if kind == "postgres":
        with postgres.throwaway_server(settings="") as url:
            yield url
    else:
        with tempfile.TemporaryDirectory(prefix="benchmark-") as folder:
            yield f"sqlite:///{folder}/clinic.sqlite3"


def tell(report: Report, *, kind: str) -> None:
    lost = report.lost()
    print(
        f"{kind}: {len(report.people)} people for {report.seconds:.0f} s, {report.saved} saves, ",
        end="",
    )
    print(
        f"{sum(report.wrong.values())} errors, {len(lost)} lost; load average {os.getloadavg()[1]:.1f}"
    )
    print(f"{'page':24} {'times':>7} {'median ms':>10} {'p95 ms':>8} {'max ms':>8}")
    for row in report.rows():
        times = (row[name] for name in ("median_ms", "p95_ms", "max_ms"))
        print(
            f"{row['page']:24} {row['times']:7} {next(times):10.1f} {next(times):8.1f} {next(times):8.1f}"
        )
    for said, often in report.wrong.most_common(10):
        print(f"{often} × {said}")
    print(*lost[:10], sep="\n", end="")


def as_json(report: Report, *, kind: str) -> str:
    told = {
        "database": kind,
        "people": len(report.people),
        "seconds": round(report.seconds, 1),
        "saves": report.saved,
        "errors": sum(report.wrong.values()),
        "lost": len(report.lost()),
        "load_average": round(os.getloadavg()[1], 1),
        "pages": report.rows(),
    }
    return json.dumps(told, indent=2)


def main(words: list[str]) -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.benchmarks load")
    asked.add_argument("database", choices=PEOPLE, nargs="?", default="sqlite")
    asked.add_argument("--people", type=int, help="100 on SQLite and 200 on PostgreSQL")
    asked.add_argument("--seconds", type=float, default=SECONDS)
    asked.add_argument("--json", type=pathlib.Path, help="a file for the same figures")
    told = asked.parse_args(words)
    with database(told.database) as url, tempfile.TemporaryDirectory() as folder:
        os.environ["DATABASE_URL"] = url
        import django

        django.setup()
        from django.core.management import call_command

        call_command("migrate", verbosity=0)
        with running(url, pathlib.Path(folder), workers=SERVERS) as server:
            people = told.people or PEOPLE[told.database]
            report = at_work(server, people=people, seconds=told.seconds)
        tell(report, kind=told.database)
        if told.json:
            told.json.write_text(as_json(report, kind=told.database))
