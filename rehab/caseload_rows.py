"""The caseload as rows of a table: what the page shows, and one row a case."""

from collections.abc import Iterator

from cases.clinical.intake import Duration, duration_class
from clinic.models import Staff
from clinic.templatetags.clinic_tags import say
from rehab.caseload import Chosen, Overview, rows_by_case, value_in
from rehab.clinical.caseload import HORIZONS, AtHorizon, Counted, Missing, Share
from rehab.clinical.ladder import Stage

TABLE_HEAD = (
    "after (weeks)", "what", "name", "threshold", "source", "count", "of (count)", "share (%)",
    "share from (%)", "share to (%)", "median (weeks)", "median (visits)",
)  # fmt: skip


def case_head(unit: str) -> tuple[str, ...]:
    values = ("start", *(f"after {horizon.weeks} weeks" for horizon in HORIZONS))
    about = ("case", "led by", "stage", "complaint before", "measure")
    return *about, *(f"{name} ({unit})" for name in values)


def table_rows(found: Overview) -> list[tuple]:
    """Each count of the page in a row of its own, below TABLE_HEAD."""
    rows: list[tuple] = [TABLE_HEAD]
    for at in found.horizons:
        rows += _horizon_rows(at)
    for stage, time in found.stages.items():
        total = time.finished + time.running
        name = say(stage.label)
        rows.append(
            ("", "stays in a stage", name, "", "", time.finished, total, *_BLANK, time.median, "")
        )
    for status, ending in found.endings.items():
        counts = ending.cases, found.cases, *_BLANK, "", ending.median_visits
        rows.append(("", "how cases stand", status.value, "", "", *counts))
    missed = found.attendance.share
    rows.append(
        ("", "visits", "missed", "", "", missed.count, missed.total, *_parts(missed), "", "")
    )
    return rows


_BLANK = ("", "", "")


def _horizon_rows(at: AtHorizon) -> Iterator[tuple]:
    weeks = at.horizon.weeks
    counts = [("measured", "measured again", at.measured)]
    counts += [("missing", say(why.label), at.missing[why]) for why in Missing]
    for what, name, count in counts:
        yield (weeks, what, name, "", "", count, at.started, *_BLANK, "", "")
    for row in at.reached:
        mark, share = row.mark, row.share
        about = (say(mark.name), say(mark.words), mark.figure.source)
        yield (weeks, "reached", *about, share.count, share.total, *_parts(share), "", "")


def _parts(share: Share) -> tuple:
    return _BLANK if share.interval is None else (share.percent, *share.interval)


def case_rows(chosen: Chosen, counted: Counted) -> Iterator[tuple]:
    """One row a case with a value at its start, read from the database while they are sent."""
    # In words now: what is streamed later is not in the reader's language any more.
    leads = {staff.pk: str(staff) for staff in Staff.objects.filter(clinic=chosen.clinic)}
    stages = {stage.value: say(stage.label) for stage in Stage} | {None: ""}
    lasted = {duration: say(duration.label) for duration in Duration}
    measure, found = say(counted.measure.name), rows_by_case(chosen, counted)
    head = case_head(say(counted.measure.unit))

    def rows() -> Iterator[tuple]:
        yield head
        for row in found.iterator(chunk_size=2000):
            values = (
                value_in(row[name]) for name in ("start", *(f"at_{h.weeks}" for h in HORIZONS))
            )
            before = lasted[duration_class(row["onset"], today=row["opened"])]
            yield (row["case"], leads[row["lead"]], stages[row["stage"]], before, measure, *values)

    return rows()
