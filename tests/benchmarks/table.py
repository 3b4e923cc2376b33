"""What was measured, as tables in Markdown: a column for each database and size, side by side."""

import os
import platform
import statistics
from collections.abc import Iterable, Iterator

TIMES = ("median_ms", "p95_ms", "worker_ms")
TIMED = "ms: median / p95 / of a processor"
NAMES = {"sqlite": "SQLite", "postgres": "PostgreSQL"}


def lines(told: dict) -> Iterator[str]:
    """The tables of a whole run, as `python -m tests.benchmarks` gathers it."""
    runs = told["runs"]
    yield f"{told['machine']}"
    yield ""
    yield from _table("", runs, _sizes(runs))
    yield from _table(TIMED, runs, _floors(runs))
    yield from _table("a second (p95 in ms)", runs, _writes(runs))
    pages = [_page(found) for found in _together(runs, "pages")]
    yield from _table(TIMED, runs, pages, more=("queries", "kB", "gzip, kB"))
    if alone := told.get("alone"):
        yield f"Decisions a second: {alone['decisions']:,.0f}. "
        yield f"Home programs of 4 exercises a second: {alone['sheets']:,.0f}."


def machine() -> str:
    load = ", ".join(f"{average:.1f}" for average in os.getloadavg())
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return (
        f"{platform.machine()}, {os.cpu_count()} cores, {memory:.0f} GiB, "
        f"Python {platform.python_version()}; load average at the end {load}"
    )


def _table(title: str, runs: list[dict], rows: Iterable[list[str]], more=()) -> Iterator[str]:
    head = [title, *(f"{NAMES[run['database']]} {run['visits']:,}" for run in runs), *more]
    yield _row(head)
    yield _row(["---", *["---:"] * (len(head) - 1)])
    yield from map(_row, rows)
    yield ""


def _row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _sizes(runs: list[dict]) -> list[list[str]]:
    return [
        ["clinics", *(f"{run['clinics']:,}" for run in runs)],
        ["rows", *(f"{run['rows']:,}" for run in runs)],
        ["database, MB", *(f"{run['megabytes']:,}" for run in runs)],
        ["built in, s", *(f"{run['built_in_s']:,}" for run in runs)],
        ["memory of a worker after all pages, MB", *(f"{_memory(run)}" for run in runs)],
    ]


def _memory(run: dict) -> str:
    return f"{run['worker_megabytes']['now']} (most {run['worker_megabytes']['most']})"


def _together(runs: list[dict], key: str) -> Iterator[list[dict]]:
    """What each run found of one page or one kind of writing, in the order of the first run."""
    for found in zip(*(run[key] for run in runs), strict=True):
        yield list(found)


def _floors(runs: list[dict]) -> Iterator[list[str]]:
    """Each floor, the page above it, and how many times as long that takes."""
    before = None
    for found in _together(runs, "floors"):
        yield [found[0]["page"], *map(_times, found)]
        if not found[0]["page"].startswith("floor"):
            pairs = list(zip(found, before, strict=True))
            yield ["… times its floor", *(_ratios(page, floor) for page, floor in pairs)]
        before = found


def _ratios(page: dict, floor: dict) -> str:
    return " / ".join(f"{page[key] / floor[key]:.1f}" for key in TIMES)


def _times(found: dict) -> str:
    return " / ".join(f"{found[key]:.0f}" for key in TIMES)


def _page(found: list[dict]) -> list[str]:
    sizes = [statistics.median(one[key] for one in found) for key in ("bytes", "compressed")]
    return [
        found[0]["page"],
        *map(_times, found),
        _span(one["queries"] for one in found),
        *(f"{size / 1000:.1f}" for size in sizes),
    ]


def _span(numbers: Iterable[int]) -> str:
    ordered = sorted(set(numbers))
    return f"{ordered[0]}–{ordered[-1]}" if ordered[1:] else str(ordered[0])


def _writes(runs: list[dict]) -> Iterator[list[str]]:
    for found in _together(runs, "writes"):
        cells = [
            f"{one['a_second']:.1f} ({one['p95_ms']:.0f})"
            + (f", {one['errors']} errors" if one["errors"] else "")
            for one in found
        ]
        yield [f"{found[0]['what']}, clients: {found[0]['clients']}", *cells]
