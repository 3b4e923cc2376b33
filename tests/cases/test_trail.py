"""The audit trail as a page and as a file: narrowed, a page at a time, by the index."""

import csv
import datetime
import io

import pytest
from django.db import connection
from django.utils import timezone

from cases.trail import COUNTED, EVENTS_A_PAGE
from clinic.audit import record
from clinic.models import AuditEvent, ClosedDay
from tests.factories.cases import create_case, create_patient
from tests.factories.clinic import create_manager

pytestmark = pytest.mark.django_db

PAGE, FILE = "/audit/", "/audit.csv"


def shown(response):
    return [event.verb for event in response.context["events"]]


def rows_of(answer) -> list[dict]:
    text = b"".join(answer.streaming_content).decode()
    return list(csv.DictReader(io.StringIO(text)))


def test_the_trail_of_the_own_clinic_is_shown_newest_first(manager, front_desk, signed_in):
    record(front_desk, "registered")
    record(manager, "changed", front_desk, fields=["role"])
    record(create_manager(), "printed")

    assert shown(signed_in(manager).get(PAGE)) == ["changed", "registered"]


def test_who_when_what_and_the_codes_are_read_on_the_page(manager, front_desk, signed_in):
    record(front_desk, "marked", manager, status="arrived")

    page = " ".join(signed_in(manager).get(PAGE).content.decode().split())

    told = (str(front_desk), "marked", f"member of staff {manager.pk}", "status: arrived")
    assert [text for text in told if text not in page] == []


def test_the_detail_is_told_in_words(manager, signed_in):
    record(manager, "changed", manager, fields=["given_name", "phone"], is_new=False)

    page = " ".join(signed_in(manager).get(PAGE).content.decode().split())

    assert [text for text in ("fields: given name, phone", "is new: no") if text not in page] == []


def test_it_goes_on_from_page_to_page_and_back_and_keeps_the_choices(manager, signed_in):
    number = 2 * EVENTS_A_PAGE + 3
    for one in range(number):
        record(manager, "did", number=one)
    record(manager, "printed")
    client = signed_in(manager)

    def numbers(answer):
        return [event.detail["number"] for event in answer.context["events"]]

    first = client.get(PAGE, {"verb": "did"})
    second = client.get(PAGE, {"verb": "did", "before": first.context["page"].older})
    third = client.get(PAGE, {"verb": "did", "before": second.context["page"].older})
    back = client.get(PAGE, {"verb": "did", "after": third.context["page"].newer})

    assert numbers(first) + numbers(second) + numbers(third) == list(range(number))[::-1]
    assert numbers(back) == numbers(second)
    assert first.context["page"].newer is None
    assert third.context["page"].older is None
    assert f"verb=did&amp;before={first.context['page'].older}" in first.content.decode()


def test_what_is_no_edge_leads_to_the_newest_page(manager, signed_in):
    record(manager, "did")
    elsewhere = record(create_manager(), "did")
    client = signed_in(manager)

    for before in ("9" * 30, "x", "-1", str(elsewhere.pk)):
        assert len(client.get(PAGE, {"before": before}).context["events"]) == 1


def test_it_is_narrowed_by_person_record_deed_page_and_day(manager, front_desk, signed_in):
    patient, other = (create_patient(clinic=manager.clinic) for _number in range(2))
    signed_in(front_desk).get(f"/patients/{patient.pk}/")
    signed_in(front_desk).get(f"/patients/{other.pk}/")
    client = signed_in(manager)
    client.get(f"/patients/{patient.pk}/")
    record(manager, "printed", patient)
    record(manager, "signed in")
    today = timezone.localdate()

    def found(**choices):
        return len(client.get(PAGE, choices).context["events"])

    assert found(who=front_desk.pk) == 2
    assert found(who=front_desk.pk, record=patient.record_number) == 1
    assert found(verb="printed") == 1
    assert found(page="cases:patient", who=manager.pk) == 1
    assert found(since=today.isoformat(), who=front_desk.pk) == 2
    assert found(until=(today - datetime.timedelta(days=1)).isoformat()) == 0
    assert found(since=today.isoformat(), until=today.isoformat(), verb="signed in") == 1


@pytest.mark.parametrize(
    ("choices", "sentence"),
    [
        ({"record": "4711"}, "No record has this number."),
        ({"since": "2026-03-12", "until": "2026-03-11"}, "The last day is before the first."),
        ({"since": "0001-01-01"}, "There is no trail of this year."),
        ({"until": "9999-12-31"}, "There is no trail of this year."),
        ({"who": "0"}, "Select a valid choice"),
        ({"page": "none:such"}, "Select a valid choice"),
    ],
)
def test_a_choice_that_makes_no_sense_says_so_and_shows_nothing(
    manager, signed_in, choices, sentence
):
    record(manager, "did")
    answer = signed_in(manager).get(PAGE, choices)

    assert (answer.status_code, shown(answer)) == (422, [])
    assert sentence in answer.content.decode()


def test_the_reference_of_a_failure_finds_what_its_request_left(
    manager, front_desk, signed_in, client, monkeypatch
):
    patient = create_patient(clinic=manager.clinic)
    client.force_login(front_desk)
    client.get(f"/patients/{patient.pk}/")
    client.raise_request_exception = False

    def fail(*args, **kwargs):
        record(front_desk, "printed", patient)
        raise LookupError

    with monkeypatch.context() as broken:
        broken.setattr("cases.views.patients.render", fail)
        page = client.get(f"/patients/{patient.pk}/")
    reference = page["X-Request-ID"]
    assert (page.status_code, f"Reference {reference}" in page.content.decode()) == (500, True)
    typed = f" {reference.lower().replace('-', '')}"
    answer = signed_in(manager).get(PAGE, {"reference": typed})

    assert shown(answer) == ["printed"]
    (row,) = rows_of(client.get(FILE, {"reference": reference}))
    assert row["request"] == reference


def test_a_reference_of_nothing_says_what_that_means(manager, signed_in):
    record(manager, "did")
    answer = signed_in(manager).get(PAGE, {"reference": "4KQ2-M9TD-7HXA"})

    assert (answer.status_code, shown(answer)) == (200, [])
    assert "Nothing was kept" in answer.content.decode()


def test_whose_record_it_was_is_a_look_at_that_record(manager, signed_in):
    patient = create_patient(clinic=manager.clinic)
    signed_in(manager).get(PAGE, {"record": patient.record_number})

    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.page, event.patient_key) == ("opened", "cases:audit", patient.pk)


def test_another_clinics_record_number_is_none(manager, signed_in):
    create_patient(clinic=manager.clinic)
    theirs = [create_patient(clinic=create_manager().clinic) for _number in range(2)][-1]
    theirs.record_number = 77
    theirs.save(update_fields=["record_number"])

    assert signed_in(manager).get(PAGE, {"record": 77}).status_code == 422


def test_the_file_holds_what_was_chosen_with_record_numbers_and_no_names(manager, signed_in):
    case = create_case(patient=create_patient(clinic=manager.clinic))
    client = signed_in(manager)
    client.get(f"/cases/{case.pk}/")
    record(manager, "signed in")

    rows = rows_of(client.get(FILE, {"verb": "opened"}))

    (row,) = rows
    assert (row["did"], row["page"], row["record"]) == (
        "opened", "rehab:case", case.patient.record,
    )  # fmt: skip
    assert case.patient.family_name not in str(rows)
    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.detail) == (
        "exported",
        {"what": "audit trail", "chosen": {"verb": "opened"}},
    )


def test_what_was_touched_is_named_as_its_page_names_it(manager, signed_in):
    day = ClosedDay.objects.create(clinic=manager.clinic, day=timezone.localdate(), name="Regatta")
    record(manager, "removed", day)
    AuditEvent.objects.create(
        clinic=manager.clinic, actor=manager, verb="removed", object_type="abacus", object_id=7
    )
    client = signed_in(manager)

    page = " ".join(client.get(PAGE, {"verb": "removed"}).content.decode().split())
    rows = rows_of(client.get(FILE, {"verb": "removed"}))

    assert [f"{words} " in page for words in (f"closed day {day.pk}", "abacus 7")] == [True, True]
    assert [(row["to what"], row["table"], row["number"]) for row in rows] == [
        ("abacus", "abacus", "7"),  # of a table that is there no more
        ("closed day", "closedday", str(day.pk)),
    ]


def test_the_file_goes_on_past_what_is_read_at_once(manager, signed_in, monkeypatch):
    monkeypatch.setattr("cases.trail.AT_ONCE", 3)
    for one in range(10):
        record(manager, "did", number=one)

    rows = rows_of(signed_in(manager).get(FILE, {"verb": "did"}))

    assert [row["detail"] for row in rows] == [f"number: {one}" for one in range(10)][::-1]


def test_the_file_for_one_record_is_in_the_trail_of_that_record(manager, signed_in):
    patient = create_patient(clinic=manager.clinic)
    rows_of(signed_in(manager).get(FILE, {"record": patient.record_number}))

    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.patient_key) == ("exported", patient.pk)


def test_an_empty_trail_says_what_will_appear(manager, signed_in):
    assert "Nothing has been done yet" in signed_in(manager).get(PAGE).content.decode()


@pytest.mark.parametrize("rows", [1, 3])
def test_the_trail_costs_the_same_however_long_it_is(
    manager, signed_in, rows, django_assert_num_queries
):
    for _ in range(rows):
        patient = create_patient(clinic=manager.clinic)
        record(create_manager(clinic=manager.clinic), "printed", patient)
    client = signed_in(manager)

    # Session with its person, verbs and pages, events, patients, count, staff, and the look itself.
    with django_assert_num_queries(7):
        client.get(PAGE)


def test_so_many_are_counted_and_no_more(manager, signed_in):
    AuditEvent.objects.bulk_create(
        AuditEvent(clinic=manager.clinic, actor=manager, verb="did") for _n in range(COUNTED + 1)
    )

    assert f"More than <strong>{COUNTED}</strong>" in signed_in(manager).get(PAGE).content.decode()


CHOSEN = {
    "the whole trail": (lambda events, who: events, "audit_by_time"),
    "a person": (lambda events, who: events.by(who), "audit_by_actor"),
    "a record": (lambda events, who: events.about(1), "audit_by_patient"),
    "a deed": (lambda events, who: events.that("did"), "audit_by_verb"),
    "a page": (lambda events, who: events.on_page("rehab:case"), "audit_by_page"),
    "a request": (lambda events, who: events.in_request("R 77"), "audit_by_request"),
    "days": (
        lambda events, who: events.since(timezone.now() - datetime.timedelta(days=1)),
        "audit_by_time",
    ),
}


@pytest.fixture
def long_trail(manager):
    """Enough events that a look at all of them is worth avoiding."""
    people = [manager, *(create_manager(clinic=manager.clinic) for _number in range(19))]
    events = AuditEvent.objects.bulk_create(
        AuditEvent(
            clinic=manager.clinic,
            actor=people[number % 20],
            verb="did" if number % 50 == 0 else f"verb {number % 7}",
            page="rehab:case" if number % 40 == 0 else f"page {number % 11}",
            patient_key=1 + number % 500,
            request=f"R {number % 1000}",
        )
        for number in range(20_000)
    )
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    return events


@pytest.mark.parametrize("what", CHOSEN)
def test_each_choice_is_read_by_its_index(manager, long_trail, what):
    choose, index = CHOSEN[what]
    events = choose(AuditEvent.objects.of(manager.clinic), manager).newest_first()
    edge = long_trail[len(long_trail) // 2]

    for wanted in (events, events.older_than(edge)):
        plan = wanted[:EVENTS_A_PAGE].explain()
        assert index in plan, plan
        assert "Seq Scan" not in plan
        assert "TEMP B-TREE" not in plan


def test_verbs_and_pages_are_found_by_leaps(manager, long_trail):
    verbs, _pages = AuditEvent.objects.verbs_and_pages(manager.clinic_id)

    assert verbs == ["did", *(f"verb {number}" for number in range(7))]
    assert AuditEvent.objects.verbs_and_pages(create_manager().clinic_id) == ([], [])


@pytest.mark.parametrize("address", [PAGE, FILE])
@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
def test_only_a_manager_reads_the_trail(request, signed_in, role, status, address):
    assert signed_in(request.getfixturevalue(role)).get(address).status_code == status


def test_other_methods_are_refused(manager, signed_in):
    assert signed_in(manager).post(PAGE).status_code == 405
