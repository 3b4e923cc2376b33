"""How far it goes: `python -m tests.benchmarks`.

Builds clinics with 1,000, 100,000 and 1,000,000 visits on SQLite and on PostgreSQL, one after the other,
each in a database that is thrown away, and measures through a real web server: every page and sheet, beside
floors of the same run (`page_floors.py`), what 1, 8 and 64 clients can write, and memory; then decisions and
sheets a second. Prints tables and writes the same to a file. A short run names less of it:
`--visits 1000 --databases sqlite --seconds 1`.

`python -m tests.benchmarks load` lets many people work at once (`load.py`), `sheets` holds the home program
against its own content drawn by bare calls (`printing.py`), `fits` times the first fits (`finder.py`).
Times are reported, never asserted: they speak of the machine that they were taken on.
"""

import argparse
import concurrent.futures
import json
import multiprocessing
import os
import pathlib
import sys
import tempfile
from collections.abc import Callable

from tests.benchmarks import load, one, table

VISITS = (1_000, 100_000, 1_000_000)
A_CLINIC = 10_000  # visits: about a year of four people
ROUNDS, SECONDS = 20, 5.0


def asked(words: list[str]) -> argparse.Namespace:
    asked = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    asked.add_argument("--visits", type=int, nargs="+", default=VISITS)
    asked.add_argument("--databases", choices=load.PEOPLE, nargs="+", default=list(load.PEOPLE))
    asked.add_argument("--a-clinic", type=int, default=A_CLINIC, help="visits of each clinic")
    asked.add_argument("--rounds", type=int, default=ROUNDS, help="of each page")
    asked.add_argument("--seconds", type=float, default=SECONDS, help="of each kind of writing")
    asked.add_argument(
        "--only", nargs="+", default=[], help="beginnings of names: rehab:case cases:"
    )
    asked.add_argument("--json", type=pathlib.Path, default=pathlib.Path("data/benchmark.json"))
    return asked.parse_args(words)


def wishes(told: argparse.Namespace) -> list[one.Wish]:
    return [
        one.Wish(
            database=database,
            visits=visits,
            clinics=max(visits // told.a_clinic, 1),
            rounds=told.rounds,
            seconds=told.seconds,
            only=tuple(told.only),
        )
        for visits in told.visits
        for database in told.databases
    ]


def apart(do: Callable[..., dict], *given) -> dict:
    """Do it in a process of its own: Django knows one database in each."""
    context = multiprocessing.get_context("spawn")
    with concurrent.futures.ProcessPoolExecutor(1, mp_context=context) as process:
        return process.submit(do, *given).result()


def main(words: list[str]) -> None:
    told, runs = asked(words), []
    told.json.parent.mkdir(exist_ok=True)
    alone = apart(one.without_database)
    with tempfile.TemporaryDirectory(prefix="benchmark-") as folder:
        for wish in wishes(told):
            say = f"{table.NAMES[wish.database]}, {wish.visits:,} visits …"
            print(say, file=sys.stderr, flush=True)
            runs.append(apart(one.measured, wish, pathlib.Path(folder)))
            # Kept after each: what follows may take long, or fail.
            found = {"machine": table.machine(), "runs": runs, "alone": alone}
            told.json.write_text(json.dumps(found, indent=1))
    print(*table.lines(found), sep="\n")


def by_itself(name: str) -> None:
    one.begin_django("sqlite://:memory:")
    from tests.benchmarks import finder, printing

    {"sheets": printing.report, "fits": finder.report}[name]()


if __name__ == "__main__":
    if sys.argv[1:2] == ["load"]:
        os.environ |= {"DEBUG": "1", "DJANGO_SETTINGS_MODULE": "clinic.settings"}
        load.main(sys.argv[2:])
    elif sys.argv[1:2] in (["sheets"], ["fits"]):
        by_itself(sys.argv[1])
    else:
        main(sys.argv[1:])
