"""The diary as Observations: a day each, based on the program that was done, told by the patient."""

from rehab.clinical.codes import PAIN_0_TO_10

from .draft import Draft, own, quantity, score
from .facts import Json, facts, facts_of
from .found import of
from .record import CaseRecord, DiaryDay

DAY_FACTS = (
    "on", "version", "sets_done", "last_set_repetitions", "load_kg", "hold_s", "worst_pain",
    "next_morning_pain", "night_wakings", "sharp_or_locking", "remark",
)  # fmt: skip


def diary_key(day: DiaryDay) -> str:
    return f"diary/{day.on.isoformat()}"


def write_diary(draft: Draft, record: CaseRecord) -> None:
    for day in record.diary:
        draft.add(
            diary_key(day),
            "Observation",
            extension=facts("diary", day, DAY_FACTS),
            basedOn=[draft.ref(f"program/{day.version}")],
            status="final",
            code=own("diary_day"),
            subject=draft.ref("patient"),
            effectiveDateTime=day.on.isoformat(),
            performer=[draft.ref("patient")],
            note=[{"text": day.remark}] if day.remark else [],
            component=_told(day),
        )


def _told(day: DiaryDay) -> list[Json]:
    """What a reader who does not know our fields can count."""
    told = [(own("sets_done"), quantity(day.sets_done, "sets", "{sets}"))]
    if day.worst_pain is not None:
        told.append((own("pain_during_exercise", PAIN_0_TO_10), score(day.worst_pain)))
    if day.next_morning_pain is not None:
        told.append((own("pain_next_morning", PAIN_0_TO_10), score(day.next_morning_pain)))
    if day.load_kg is not None:
        told.append((own("load"), quantity(day.load_kg, "kg", "kg")))
    return [{"code": code, "valueQuantity": value} for code, value in told]


def read_diary(seen: list[Json]) -> tuple[DiaryDay, ...]:
    return tuple(DiaryDay(**facts_of(one, "diary")) for one in of(seen, "diary_day"))
