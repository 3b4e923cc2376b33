"""One database of one size, from empty to measured: `python -m tests.benchmarks` runs it for each of them."""

import os
import pathlib
import time
from dataclasses import dataclass

from django.core.management import call_command

from tests.benchmarks.load import SERVERS, database
from tests.operations.server import Server, running


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What to build and how long to measure; all `clinics` have the same number of visits."""

    database: str  # sqlite or postgres
    visits: int
    clinics: int
    rounds: int
    seconds: float
    only: tuple[str, ...] = ()  # pages whose name begins so; all of them when empty


def measured(wish: Wish, folder: pathlib.Path) -> dict:
    """Build the database, measure it, and return the figures as they go into the file."""
    with database(wish.database) as url:
        begin_django(url)
        call_command("migrate", verbosity=0)
        began = time.monotonic()
        built = build(wish)
        told = {
            "database": wish.database,
            "visits": built["visits"],
            "clinics": wish.clinics,
            "rows": built["rows"],
            "megabytes": round(_bytes() / 1e6),
            "built_in_s": round(time.monotonic() - began),
        }
        floors = {"TEST_URLS": "tests.benchmarks.page_floors"}
        with running(url, folder, workers=1, variables=floors) as server:
            told |= _pages(server, wish, built)
        with running(url, folder, workers=SERVERS) as server:
            told["writes"] = _writes(server, wish)
    return told


def without_database() -> dict:
    """What the rules and the sheets manage a second; they ask no database."""
    begin_django("sqlite://:memory:")
    from tests.benchmarks.printing import sheets_a_second
    from tests.simulation.__main__ import decisions_a_second

    return {"decisions": decisions_a_second(100), "sheets": sheets_a_second()}


def begin_django(url: str) -> None:
    os.environ |= {
        "DEBUG": "1",
        "DJANGO_SETTINGS_MODULE": "clinic.settings",
        "DATABASE_URL": url,
    }
    import django

    django.setup()
    from django.conf import settings

    settings.DEBUG, settings.ALLOWED_HOSTS = False, ["testserver"]
    # Hundreds of accounts are made, and nobody signs in by password.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def build(wish: Wish) -> dict:
    """Fill the migrated database: the copies, and in the first clinic every situation that has a page."""
    from cases.models import Visit
    from tests.benchmarks import clinics, copies
    from tests.browser.situations import a_clinic_at_work
    from tests.factories.cases import PatientFactory
    from tests.factories.clinic import create_manager

    staff = clinics.open_clinics(wish.clinics)
    lead = staff[0][0]
    clinics.tell_four(lead)
    number = max(wish.visits // clinics.VISITS, 1)
    rows = copies.copy(clinics.planned(number, staff))
    PatientFactory.reset_sequence(len(clinics.FOUR) * number + 1)
    return {
        "numbers": a_clinic_at_work(lead),
        "lead": lead,
        "manager": create_manager(clinic=lead.clinic, treats=True),
        "rows": rows,
        "visits": Visit.objects.signed().count(),
    }


def _pages(server: Server, wish: Wish, built: dict) -> dict:
    from tests.benchmarks import pages

    lead, rounds = built["lead"], wish.rounds
    floors = []
    for floor, page in pages.floors(lead):
        pair = pages.measure(server, [one for one in (floor, page) if one], rounds=rounds)
        floors += [one.told() for one in pair]
    site = pages.site(built["numbers"], lead, built["manager"], only=wish.only)
    asked = [*pages.long_cases(lead), *site]
    measured = [one.told() for one in pages.measure(server, asked, rounds=rounds)]
    return {"floors": floors, "pages": measured, "worker_megabytes": _most_megabytes(server)}


def _writes(server: Server, wish: Wish) -> list[dict]:
    from clinic.models import Clinic
    from tests.benchmarks import writes

    clinics = list(Clinic.objects.order_by("pk")[:20])
    return [one.told() for one in writes.measure(server, clinics, seconds=wish.seconds)]


def _most_megabytes(server: Server) -> dict[str, int]:
    """What the worker holds in memory now, and at most until now."""
    _master, worker = server.everyone()
    status = pathlib.Path(f"/proc/{worker}/status").read_text()
    lines = dict(line.split(":", 1) for line in status.splitlines())
    return {
        name: int(lines[key].split()[0]) // 1000
        for name, key in (("now", "VmRSS"), ("most", "VmHWM"))
    }


def _bytes() -> int:
    """How large the database is."""
    from django.db import connection

    sizes = {
        "sqlite": "SELECT page_count * page_size FROM pragma_page_count(), pragma_page_size()",
        "postgresql": "SELECT pg_database_size(current_database())",
    }
    with connection.cursor() as cursor:
        cursor.execute(sizes[connection.vendor])
        return cursor.fetchone()[0]
