"""Every list can be taken along as CSV: what the page shows, with units, streamed, and noted in the trail."""

import csv
import datetime
import gc
import re
import zoneinfo

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cases.models import Patient
from clinic.csv_file import AT_ONCE
from clinic.models import AuditEvent
from rehab.clinical.thresholds import DEFAULTS, GROUPS
from rehab.models import ThresholdChange
from tests.browser.situations import FILES
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.rehab import create_issued, create_own_card
from tests.memory import peak_mb
from tests.two_clinics import Asker, create_at_work
from tests.who_may_what import HEAD

pytestmark = pytest.mark.django_db

TABLES = sorted(name for name in FILES if name.endswith("_csv"))
# Cells that are read as text, whatever they are made of.
NAMES = {"record", "case", "number", "event", "count", "threshold", "phone", "detail"}
DATE = re.compile(r"\d{4}-\d\d-\d\d")


def rows_of(answer) -> list[list[str]]:
    assert answer.status_code == 200
    assert answer.streaming
    return list(csv.reader(b"".join(answer.streaming_content).decode().splitlines()))


def dicts(answer) -> list[dict[str, str]]:
    head, *rows = rows_of(answer)
    return [dict(zip(head, row, strict=True)) for row in rows]


def bare(head: list[str], rows: list[list[str]]) -> list[str]:
    """Columns of dates or numbers whose heading names no unit."""
    wrong = []
    for name, *cells in zip(head, *rows, strict=True):
        full = [cell for cell in cells if cell]
        is_date = full and all(DATE.match(cell) for cell in full)
        is_number = full and all(re.fullmatch(r"-?[\d.]+", cell) for cell in full)
        if is_date and "date" not in name:
            wrong.append(name)
        if is_number and "(" not in name and name not in NAMES:
            wrong.append(name)
    return wrong


def test_each_names_its_units_and_is_an_event_of_its_own():
    clinic = create_at_work()
    head_of_clinic, wrong, filled = Asker(clinic.people[HEAD]), [], 0
    for name in TABLES:
        before = AuditEvent.objects.latest("pk").pk
        head, *rows = rows_of(head_of_clinic.send("GET", reverse(name)))
        verbs = list(AuditEvent.objects.filter(pk__gt=before).values_list("verb", flat=True))
        wrong += [(name, column) for column in bare(head, rows)]
        wrong += [(name, verbs)] if verbs != ["exported"] else []
        filled += bool(rows)

    assert wrong == []
    assert len(TABLES) == 18
    assert filled >= 12


def test_the_trail_holds_how_many_were_taken_and_not_what_was_looked_for(signed_in, front_desk):
    patient = create_patient(clinic=front_desk.clinic, family_name="Quillfeather")
    create_patient(clinic=front_desk.clinic)

    rows = dicts(signed_in(front_desk).get(reverse("cases:patients_csv"), {"q": "quill"}))

    event = AuditEvent.objects.get()
    assert [row["record"] for row in rows] == [patient.record]
    assert event.detail == {"what": "patients", "patients": 1, "searched": True}


def test_the_file_is_in_the_order_of_the_page(signed_in, front_desk):
    for year in (1980, 1950, 1970):
        create_patient(clinic=front_desk.clinic, born=datetime.date(year, 1, 1))
    client = signed_in(front_desk)

    page = client.get(reverse("cases:patients"), {"sort": "-born"}).context["page"]
    rows = dicts(client.get(reverse("cases:patients_csv"), {"sort": "-born"}))

    assert [row["born (date)"][:4] for row in rows] == ["1980", "1970", "1950"]
    assert [row["record"] for row in rows] == [one.record for one in page]


def test_a_phone_number_is_no_formula(signed_in, front_desk):
    create_patient(clinic=front_desk.clinic, phone="+44 1632 960177")

    (row,) = dicts(signed_in(front_desk).get(reverse("cases:patients_csv")))

    assert row["phone"] == "'+44 1632 960177"


def create_overdue(lead):
    today = timezone.localdate(timezone=zoneinfo.ZoneInfo(lead.clinic.time_zone))
    case = create_case(lead=lead, due_on=today - datetime.timedelta(days=3))
    create_issued(case=case, stage=3)
    return case


def test_who_is_due_is_told_in_days(signed_in, physiotherapist):
    create_overdue(physiotherapist)

    (row,) = dicts(signed_in(physiotherapist).get(reverse("rehab:due_csv")))

    assert (row["overdue (days)"], row["stage (1 to 5)"]) == ("3", "3")


def test_the_desk_takes_no_stage_along(signed_in, front_desk, physiotherapist):
    create_overdue(physiotherapist)

    (row,) = dicts(signed_in(front_desk).get(reverse("rehab:due_csv")))

    assert row["overdue (days)"] == "3"
    assert not {"stage (1 to 5)", "asked for"} & row.keys()


def test_more_than_is_read_at_once_costs_two_queries_a_block(
    signed_in, physiotherapist, monkeypatch, django_assert_max_num_queries
):
    monkeypatch.setattr("rehab.tables.AT_ONCE", 2)
    for _number in range(6):
        create_overdue(physiotherapist)

    answer = signed_in(physiotherapist).get(reverse("rehab:due_csv"))
    with django_assert_max_num_queries(8):
        assert len(dicts(answer)) == 6


@pytest.mark.parametrize(
    ("asked", "count"), [({}, 1), ({"days": "7"}, 2), ({"days": "7", "who": "me"}, 1)]
)
def test_the_book_of_a_day_a_week_or_one_person(
    signed_in, physiotherapist, front_desk, manager, asked, count
):
    manager.treats = True
    manager.save()
    wednesday = datetime.datetime(2026, 3, 11, 9, tzinfo=datetime.UTC)
    create_appointment(starts_at=wednesday, practitioner=physiotherapist)
    create_appointment(starts_at=wednesday - datetime.timedelta(days=2), practitioner=manager)
    asked = {key: manager.pk if value == "me" else value for key, value in asked.items()}

    answer = signed_in(front_desk).get(reverse("cases:book_csv"), {"day": "2026-03-11", **asked})

    rows = dicts(answer)
    assert len(rows) == count
    assert {row["length (min)"] for row in rows} == {"30"}


def test_a_time_is_the_clinics_own_with_its_offset(signed_in, front_desk, physiotherapist):
    clinic = physiotherapist.clinic
    clinic.time_zone = "Europe/Berlin"
    clinic.save()
    summer = datetime.datetime(2026, 7, 8, 7, 30, tzinfo=datetime.UTC)
    create_appointment(starts_at=summer, practitioner=physiotherapist)
    client: Client = signed_in(front_desk)

    (row,) = dicts(client.get(reverse("cases:book_csv"), {"day": "2026-07-08"}))

    assert row["starts (date and time)"] == "2026-07-08T09:30+02:00"


def test_a_threshold_of_the_clinics_own_stands_beside_the_printed_one(signed_in, physiotherapist):
    ThresholdChange.make("prtee_drop", 12, reason="Agreed in the team.", by=physiotherapist)

    rows = dicts(signed_in(physiotherapist).get(reverse("rehab:thresholds_csv")))

    (row,) = (row for row in rows if row["code"] == "prtee_drop")
    assert (row["here (in its unit)"], row["printed (in its unit)"], row["unit"]) == (
        "12", f"{DEFAULTS['prtee_drop'].value:g}", "points",
    )  # fmt: skip
    assert [row["code"] for row in rows] == [one.code for _c, _t, group in GROUPS for one in group]


def test_exercises_of_one_stage_with_the_clinics_own(signed_in, physiotherapist):
    own = create_own_card(clinic=physiotherapist.clinic)
    client = signed_in(physiotherapist)
    stage = own.stages[0]

    page = client.get(reverse("rehab:catalog"), {"stage": stage}).context["groups"]
    rows = dicts(client.get(reverse("rehab:catalog_csv"), {"stage": stage}))

    assert [row["code"] for row in rows] == [one.card.code for _stage, some in page for one in some]
    assert [row["code"] for row in rows if row["whose"] == "clinic"] == [own.code]


# Measured: 1.3 and 1.5 MB on SQLite.
MORE_MB = 1.0


def many(clinic, count: int) -> None:
    names = ({"given_name": "Ida", "family_name": f"Of {n:05}"} for n in range(count))
    born, unset = datetime.date(1970, 1, 1), Patient.Handedness.UNSTATED
    rows = [
        Patient(born=born, sex="unstated", handedness=unset, phone="1632 960177", **one)
        for one in names
    ]
    Patient.objects.register_all(clinic, rows)


def peak_of(client: Client) -> float:
    """The memory that it takes to send the patients, in MB."""

    def send():
        answer = client.get(reverse("cases:patients_csv"))
        assert sum(1 for _line in answer.streaming_content) > 1

    gc.collect()
    return peak_mb(send)


def test_ten_times_the_patients_take_no_more_memory(signed_in, front_desk, settings):
    settings.DEBUG = False  # Django keeps each statement otherwise
    client = signed_in(front_desk)
    many(front_desk.clinic, 2 * AT_ONCE)
    peak_of(client)  # what is loaded once is loaded
    few = peak_of(client)
    many(front_desk.clinic, 18 * AT_ONCE)

    assert peak_of(client) < few + MORE_MB
