"""How long each page and each sheet takes: `python -m tests.benchmarks`.

Builds one clinic at work in a database that is thrown away, opens every address as a physiotherapist a number
of times, and prints one table: median and 95th percentile in milliseconds, queries, and bytes of the answer.
Times are reported, never asserted: they speak of the machine that they were taken on.
"""

import os
import platform
import re
import statistics
import tempfile
import time

from tests.benchmarks import finder

ROUNDS = 15
# A physiotherapist may not open these.
MANAGERS = re.compile(r"^/audit/|^/clinic/|^/exercises/(new|[^/]+/change)/")


def measure(client, address: str) -> tuple[float, float, int, int]:
    """Return median ms, 95th percentile ms, queries, bytes of one address; the first call only warms up."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.get(address)
    with CaptureQueriesContext(connection) as queries:
        answer = client.get(address)
    count = len(queries)  # now: the log is emptied by the next request
    if answer.status_code != 200:
        raise RuntimeError(f"{address} answered {answer.status_code}")
    times = []
    for _round in range(ROUNDS):
        start = time.perf_counter()
        client.get(address)
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
        median, slow, queries, size = measure(client, address)
        print(f"{address:42} {median:9.1f} {slow:8.1f} {queries:8} {size / 1000:7.1f}", flush=True)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(prefix="benchmark-") as folder:
        os.environ |= {
            "DEBUG": "1",
            "DATABASE_URL": f"sqlite:///{folder}/clinic.sqlite3",
            "DJANGO_SETTINGS_MODULE": "clinic.settings",
        }
        import django

        django.setup()
        from django.conf import settings

        settings.DEBUG = False
        settings.ALLOWED_HOSTS = ["testserver"]
        report()
        finder.report()
