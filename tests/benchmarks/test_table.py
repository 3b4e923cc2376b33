"""What a run is asked for, and how it is printed."""

from tests.benchmarks import table
from tests.benchmarks.__main__ import asked, wishes


def test_a_short_run_asks_for_less():
    told = asked(["--visits", "1000", "200000", "--databases", "sqlite"])

    assert [(wish.database, wish.visits, wish.clinics) for wish in wishes(told)] == [
        ("sqlite", 1_000, 1),
        ("sqlite", 200_000, 20),
    ]


def test_runs_stand_side_by_side():
    times = {"median_ms": 30.0, "p95_ms": 40.0, "worker_ms": 20.0, "queries": 7, "bytes": 9_000}
    page = {"page": "day list", **times, "compressed": 2_000}
    floor = page | {"page": "floor: day list", "median_ms": 10.0}
    runs = [
        {
            "database": kind, "visits": 1_000, "clinics": 1, "rows": 5, "megabytes": 2,
            "built_in_s": 3, "worker_megabytes": {"now": 150, "most": 160},
            "floors": [floor, page], "pages": [page | {"queries": 7 + place}],
            "writes": [{"what": "saves of visits", "clients": 8, "a_second": 9.5, "p95_ms": 80, "errors": 0}],
        }
        for place, kind in enumerate(("sqlite", "postgres"))
    ]  # fmt: skip

    printed = list(table.lines({"machine": "m", "runs": runs}))

    assert "| … times its floor | 3.0 / 1.0 / 1.0 | 3.0 / 1.0 / 1.0 |" in printed
    assert "| saves of visits, clients: 8 | 9.5 (80) | 9.5 (80) |" in printed
    assert "| day list | 30 / 40 / 20 | 30 / 40 / 20 | 7–8 | 9.0 | 2.0 |" in printed
