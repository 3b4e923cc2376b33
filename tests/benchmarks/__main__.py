"""How long each page and each sheet takes: `python -m tests.benchmarks`.

Builds one clinic at work in a database that is thrown away, opens every address as a physiotherapist a number
of times, and prints one table: median and 95th percentile in milliseconds, queries, and bytes of the answer.
The book follows, of 20 practitioners and 1,000 appointments, or as many as asked for:
`python -m tests.benchmarks 1000000` writes a million of them in some minutes.
`python -m tests.benchmarks load` lets many people work at once (`load.py`).
Times are reported, never asserted: they speak of the machine that they were taken on.
"""

import datetime
import os
import platform
import re
import statistics
import sys
import tempfile
import time

from tests.benchmarks import finder, load, printing

ROUNDS = 15
PRACTITIONERS, APPOINTMENTS = 20, 1_000
# A physiotherapist may not open these.
MANAGERS = re.compile(r"^/audit/|^/clinic/|^/exercises/(new|[^/]+/change)/")


def measure(client, address: str, **headers: str) -> tuple[float, float, int, int]:
    """Return median ms, 95th percentile ms, queries, bytes of one address; the first call only warms up."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.get(address, headers=headers)
    with CaptureQueriesContext(connection) as queries:
        answer = client.get(address, headers=headers)
    count = len(queries)  # now: the log is emptied by the next request
    if answer.status_code not in (200, 204):
        raise RuntimeError(f"{address} answered {answer.status_code}")
    times = []
    for _round in range(ROUNDS):
        start = time.perf_counter()
        client.get(address, headers=headers)
        times.append(1000 * (time.perf_counter() - start))
    ninety_fifth = statistics.quantiles(times, n=20)[-1]
    return statistics.median(times), ninety_fifth, count, len(answer.content)


def report() -> None:
    from django.core.management import call_command
    from django.test import Client
    from django.urls import reverse

    from tests.browser.situations import NUMBERS, PAPER, a_clinic_at_work, pages
    from tests.factories.clinic import create_physiotherapist

    call_command("migrate", verbosity=0)
    lead = create_physiotherapist()
    numbers = a_clinic_at_work(lead)
    papers = [reverse(name, args=[numbers[NUMBERS[name][0]]]) for name in sorted(PAPER)]
    client = Client()
    client.force_login(lead)
    print(
        f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, SQLite"
    )
    print(f"{'address':42} {'median ms':>9} {'p95 ms':>8} {'queries':>8} {'kB':>7}")
    for address in [page for page in pages(numbers) if not MANAGERS.search(page)] + papers:
        if address == reverse("clinic:sign_in"):
            continue  # somebody who is signed in is led on from there
        tell(address, measure(client, address))


def tell(name: str, measured: tuple[float, float, int, int]) -> None:
    median, slow, queries, size = measured
    print(f"{name:42} {median:9.1f} {slow:8.1f} {queries:8} {size / 1000:7.1f}", flush=True)


def report_book(appointments: int) -> None:
    """The pages of a full book, and what a page that is open asks every few seconds."""
    from django.test import Client
    from django.utils import timezone

    from tests.benchmarks.full_book import fill
    from tests.factories.clinic import create_front_desk, create_physiotherapist

    first, today = create_physiotherapist(), timezone.localdate()
    monday = today - datetime.timedelta(days=today.weekday())
    fill(first, people=PRACTITIONERS, appointments=appointments, today=today)
    client = Client()
    client.force_login(create_front_desk(clinic=first.clinic))
    print(f"The book of {PRACTITIONERS} practitioners and {appointments:,} appointments:")
    day = f"/book/?day={monday}"
    for address in (day, f"/book/week/?who={first.pk}", "/book/week/"):
        tell(address, measure(client, address))
    seen = re.search(r'name="seen" value="([^"]+)"', client.get(day).content.decode())
    asked = f"{day}&seen={seen[1]}"
    tell("the same, nothing new", measure(client, asked, **{"HX-Request": "true"}))


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="benchmark-") as folder:
        os.environ["DATABASE_URL"] = f"sqlite:///{folder}/clinic.sqlite3"
        import django

        django.setup()
        from django.conf import settings

        settings.DEBUG = False
        settings.ALLOWED_HOSTS = ["testserver"]
        report()
        report_book(int(sys.argv[1]) if sys.argv[1:] else APPOINTMENTS)
        finder.report()
        printing.report()


if __name__ == "__main__":
    os.environ |= {"DEBUG": "1", "DJANGO_SETTINGS_MODULE": "clinic.settings"}
    if sys.argv[1:2] == ["load"]:
        load.main(sys.argv[2:])
    else:
        main()
