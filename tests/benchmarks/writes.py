"""How many visits are logged and how many times are booked a second, by one client, by 8 and by 64."""

import random
from dataclasses import asdict, dataclass

from django.utils import timezone

from clinic.models import Clinic
from tests.benchmarks.load import CLINIC, case_with_program, together
from tests.benchmarks.people import Clinician, Desk, Person, slots
from tests.factories.cases import PatientFactory, create_patient
from tests.factories.clinic import create_front_desk, create_physiotherapist
from tests.operations.server import Server, session_of

CLIENTS = (1, 8, 64)
UNUSED = 10_000_000  # a record number that no clinic has reached
WARM_UP_S = 8.0
NO_REST = (0.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class Written:
    """What some clients wrote without a rest: a visit is four requests that write and one that reads."""

    what: str
    clients: int
    a_second: float
    p95_ms: float  # of the slowest kind of request
    errors: int

    def told(self) -> dict:
        return asdict(self)


class Logging(Clinician):
    """Begins a visit, rates pain, writes notes and signs."""

    def round(self) -> None:
        case = self.chance.choice(self.cases)
        visit = self.begin(case)
        page = self.open("visit", f"/visits/{visit}/")
        self.rate(visit, page.text)
        self.write(visit, page.text, saves=1)
        self.sign(visit)


class Booking(Desk):
    """Books one half hour after the other."""

    def round(self) -> None:
        day, start = next(self.free)
        patient = self.chance.choice(self.patients)
        self.book(patient, day, start)


def measure(server: Server, clinics: list[Clinic], *, seconds: float) -> list[Written]:
    """Let the clients work, each kind and number on its own, twenty in a clinic while there are clinics."""
    PatientFactory.reset_sequence(UNUSED)
    # The first requests of each web process only warm up.
    together([_logging(server, clinics[0], number) for number in range(8)], seconds=WARM_UP_S)
    return [
        _measured(make, what, server, clinics, clients, seconds)
        for make, what in ((_logging, "saves of visits"), (_booking, "times booked"))
        for clients in CLIENTS
    ]


def _measured(make, what: str, server, clinics, clients: int, seconds: float) -> Written:
    people = [
        make(server, clinics[number // CLINIC % len(clinics)], number) for number in range(clients)
    ]
    report = together(people, seconds=seconds)
    return Written(
        what=what,
        clients=clients,
        a_second=report.saved / report.seconds,
        p95_ms=max((row["p95_ms"] for row in report.rows()), default=0.0),
        errors=sum(report.wrong.values()) + len(report.lost()),
    )


def _common(server: Server, staff, number: int) -> dict:
    return {
        "visitor": server.visitor(session_of(staff)),
        "chance": random.Random(number),
        "rest_s": NO_REST,
    }


def _logging(server: Server, clinic: Clinic, number: int) -> Person:
    staff = create_physiotherapist(clinic=clinic)
    return Logging(**_common(server, staff, number), cases=[case_with_program(staff).pk])


def _booking(server: Server, clinic: Clinic, number: int) -> Person:
    return Booking(
        **_common(server, create_front_desk(clinic=clinic), number),
        practitioner=create_physiotherapist(clinic=clinic).pk,
        patients=[create_patient(clinic=clinic).pk],
        free=slots(timezone.localdate()),
    )
