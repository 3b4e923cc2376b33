"""The chain of the audit trail: a gap, an edit, a forged row and a cut tail show."""

import hashlib
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction

from cases.models import Patient
from clinic.audit import record
from clinic.chain import digest_of_content, digest_of_link
from clinic.chain_check import Head, check
from clinic.models import AuditEvent, Change, Link
from tests.factories.cases import create_patient
from tests.factories.clinic import create_physiotherapist

# On PostgreSQL the links are made when a transaction commits, so these tests commit theirs.
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def ida():
    """A physiotherapist with some entries in the trail: 9 of the clinic, its hours and her, and these 3."""
    ida = create_physiotherapist()
    record(ida, "signed in")
    patient = create_patient(clinic=ida.clinic)
    Patient.objects.filter(pk=patient.pk).update(phone="+44 1632 960999")
    return ida


def by_force(*statements: str) -> None:
    """Write past the triggers, as somebody who owns the database can."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SET session_replication_role = replica")
            for statement in statements:
                cursor.execute(statement)
            cursor.execute("SET session_replication_role = DEFAULT")
            return
        cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        triggers = cursor.fetchall()
        for name, _sql in triggers:
            cursor.execute(f'DROP TRIGGER "{name}"')
        for statement in statements:
            cursor.execute(statement)
        for _name, sql in triggers:
            cursor.execute(sql)


def wrong(clinic, **options) -> str:
    """What `audit_check` complains of, or nothing."""
    try:
        call_command("audit_check", clinic=clinic.pk, stdout=StringIO(), **options)
    except CommandError as error:
        return str(error).split(": ", 1)[1]
    return ""


def last_change() -> int:
    return Change.objects.latest("pk").pk


def test_digests_are_those_of_the_standard():
    """FIPS 180-4, the example "abc" of NIST's file SHA256.pdf."""
    abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

    assert digest_of_content("abc") == abc
    assert digest_of_link(abc, 2, abc) == hashlib.sha256(f"{abc} 2 {abc}".encode()).hexdigest()


def test_links_are_numbered_without_a_gap_and_each_covers_the_one_before(ida):
    links = list(Link.objects.of(ida.clinic).order_by("number"))

    assert [link.number for link in links] == list(range(1, 13))
    before = ""
    for link in links:
        assert link.digest == digest_of_link(before, link.number, link.content)
        before = link.digest
    assert {link.change_id for link in links} == {
        None,
        *Change.objects.values_list("pk", flat=True),
    }
    assert [link.event_id for link in links if link.event_id] == [AuditEvent.objects.get().pk]


def test_a_chain_that_holds_is_said_to_hold_and_its_head_is_printed(ida):
    said = StringIO()

    call_command("audit_check", stdout=said)

    head = Link.objects.head(ida.clinic)
    assert f"12 entries hold. Head 12:{head.digest}" in said.getvalue()


def test_each_clinic_has_a_chain_of_its_own(ida):
    other = create_physiotherapist()

    assert wrong(ida.clinic) == wrong(other.clinic) == ""
    assert Link.objects.head(other.clinic).number == 9


FORGED = {
    "a change that was edited": (
        "UPDATE clinic_change SET after = '{{\"phone\": \"0\"}}' WHERE id = {change}",
        "Entry 12, change {change}, has been changed.",
    ),
    "who did it": (
        "UPDATE clinic_change SET actor_id = {ida} WHERE id = {change}",
        "Entry 12, change {change}, has been changed.",
    ),
    "an event that was edited": (
        "UPDATE clinic_auditevent SET verb = 'signed out' WHERE id = {event}",
        "Entry 10, event {event}, has been changed.",
    ),
    "when it was": (
        "UPDATE clinic_auditevent SET at = '2020-01-01 00:00:00+00:00' WHERE id = {event}",
        "Entry 10, event {event}, has been changed.",
    ),
    "an event that was removed": (
        "DELETE FROM clinic_auditevent WHERE id = {event}",
        "Entry 10, event {event}, has been removed.",
    ),
    "an event that was removed with its link": (
        "DELETE FROM clinic_auditevent WHERE id = {event}; DELETE FROM clinic_link WHERE event_id = {event}",
        "Entry 10 is missing.",
    ),
    "an event that was removed, and the rest moved up": (
        "DELETE FROM clinic_auditevent WHERE id = {event}; DELETE FROM clinic_link WHERE event_id = {event}; "
        "UPDATE clinic_link SET number = 10 WHERE number = 11; "
        "UPDATE clinic_link SET number = 11 WHERE number = 12",
        "Entry 10, change {added}, doesn't follow the one before it.",
    ),
    "a digest that was edited": (
        "UPDATE clinic_link SET digest = content WHERE number = 3",
        "Entry 3, change {third}, doesn't follow the one before it.",
    ),
    "an edit with a digest that fits it": (
        "UPDATE clinic_link SET content = digest WHERE number = 12",
        "Entry 12, change {change}, has been changed.",
    ),
    "an event that was slipped in": (
        "INSERT INTO clinic_auditevent (clinic_id, at, actor_id, verb, object_type, detail, request) "
        "SELECT clinic_id, at, actor_id, verb, object_type, detail, request FROM clinic_auditevent",
        "Event {next_event} is not in the chain.",
    ),
    "a change that was slipped in": (
        "INSERT INTO clinic_change (clinic_id, at, request, table_name, row_id, kind) "
        "SELECT clinic_id, at, request, table_name, row_id, kind FROM clinic_change WHERE id = {change}",
        "Change {next_change} is not in the chain.",
    ),
    "a link to nothing": (
        "INSERT INTO clinic_link (clinic_id, number, content, digest) VALUES ({clinic}, 13, 'a', 'b')",
        "Entry 13, None, has been removed.",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("statements", "sentence"), FORGED.values(), ids=FORGED)
def test_what_was_forged_past_the_triggers_is_named(ida, statements, sentence):
    event, change = AuditEvent.objects.get().pk, last_change()
    third = Link.objects.get(number=3).change_id
    numbers = {"event": event, "change": change, "added": change - 1, "third": third, "ida": ida.pk,
               "clinic": ida.clinic_id, "next_event": event + 1, "next_change": change + 1}  # fmt: skip
    assert wrong(ida.clinic) == ""

    by_force(*statements.format(**numbers).split("; "))

    assert wrong(ida.clinic) == sentence.format(**numbers)


def test_a_tail_that_was_cut_off_shows_against_the_head_that_was_written_down(ida):
    head = Head.of(ida.clinic)
    assert wrong(ida.clinic, expect=str(head)) == ""

    by_force("DELETE FROM clinic_change WHERE id = (SELECT change_id FROM clinic_link WHERE number = 12)",
             "DELETE FROM clinic_link WHERE number = 12")  # fmt: skip

    assert wrong(ida.clinic) == ""
    assert wrong(ida.clinic, expect=str(head)) == "Entries 12 to 12 are missing at the end."
    record(ida, "signed in")
    assert wrong(ida.clinic, expect=str(head)) == "Entry 12 is not the one that was expected."


def test_a_chain_that_went_on_since_is_the_one_that_was_expected(ida):
    head = Head.of(ida.clinic)
    record(ida, "signed in")

    assert check(ida.clinic, head).wrong == ""


def test_a_question_that_makes_no_sense_is_said_to_make_none(ida):
    with pytest.raises(CommandError, match="say which with --clinic"):
        call_command("audit_check", expect="12:ab")
    with pytest.raises(CommandError, match="--expect takes NUMBER:DIGEST"):
        call_command("audit_check", expect="twelve", clinic=ida.clinic_id)
    with pytest.raises(CommandError, match="There is no such clinic"):
        call_command("audit_check", clinic=0x7FFFFFFF)


@pytest.mark.parametrize("write", [
    lambda links: links.update(digest=""),
    lambda links: links.update(number=99),
    lambda links: links.delete(),
])  # fmt: skip
def test_a_link_stays_as_it_was_written(ida, write):
    with pytest.raises(IntegrityError, match="link_stays"):
        write(Link.objects.filter(number=12))


def test_what_is_taken_back_leaves_no_gap(ida):
    with transaction.atomic():
        record(ida, "signed in")
        transaction.set_rollback(True)
    record(ida, "signed in")

    assert Link.objects.head(ida.clinic).number == 13
    assert wrong(ida.clinic) == ""


def test_emptied_changes_are_counted_and_the_chain_holds(ida):
    assert Change.objects.filter(kind="changed").empty() == 1
    said = StringIO()

    call_command("audit_check", stdout=said)

    assert "12 entries hold, 1 of them emptied. Head 12:" in said.getvalue()


def test_a_walk_goes_on_past_what_is_in_memory_at_once(ida, monkeypatch):
    monkeypatch.setattr("clinic.chain_check.AT_ONCE", 5)

    assert check(ida.clinic).head == Head.of(ida.clinic)
