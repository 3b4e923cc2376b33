"""Erasing a record: all of it goes, nobody else's does, and a mark without content stays."""

import datetime

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction
from django.db.models.signals import pre_save
from django.utils import timezone

from cases.models import Addendum, CorrectionRequest, Hold, Injection, Patient, Restriction, Visit
from clinic.chain_check import check
from clinic.constraints import Sealed
from clinic.models import AuditEvent, Change, Erasure
from rehab.copies.reach import children_first, reach, rows_about
from rehab.erasing import MayNotGo, counted, erase
from rehab.keeping import due_records, kept
from rehab.models import Handout, HandoutFile
from tests.browser.at_work import an_export
from tests.factories.cases import create_case, create_patient, create_signed_visit
from tests.factories.clinic import create_manager
from tests.factories.record import create_full_record
from tests.rehab.copies.whole import begin_copy
from tests.sealed import refused, sql

pytestmark = pytest.mark.django_db
YEARS = datetime.timedelta(days=366 * 9)


def later() -> datetime.datetime:
    """A time when every record of today may go."""
    return timezone.now() + YEARS


def close_cases(patient: Patient) -> None:
    for case in patient.cases.open():
        case.close("discharged", on=timezone.localdate(), reason="Goals met.")


@pytest.fixture
def patient(physiotherapist):
    patient = create_full_record(lead=physiotherapist)
    begin_copy(patient, by=physiotherapist)
    an_export(physiotherapist, ready=True)
    close_cases(patient)
    return patient


def rows_of(patient: int) -> dict[str, int]:
    found = {model._meta.label: rows_about(model, patient).count() for model in reach()}
    return {label: count for label, count in found.items() if count}


def test_every_row_of_the_record_goes_and_is_counted(patient, manager):
    before, told = rows_of(patient.pk), counted(patient)
    assert len(before) == len(reach())
    files = Handout.objects.filter(patient=patient).count()

    erasure = erase(patient, by=manager, at=later())

    assert rows_of(patient.pk) == {}
    assert erasure.counts == told
    assert sorted(told.values()) == sorted([*before.values(), files])
    assert told["visits"] == before["cases.Visit"]
    assert not [word for word in told if "relationship" in word]  # a table of Django's own
    assert not Patient.objects.filter(pk=patient.pk).exists()


def test_nobody_elses_rows_go(physiotherapist, patient, manager):
    second = create_patient(clinic=physiotherapist.clinic, record_number=900)
    create_signed_visit(case=create_case(patient=second, lead=physiotherapist), subjective="Stays.")
    everybody = {one.pk: rows_of(one.pk) for one in Patient.objects.exclude(pk=patient.pk)}

    erase(patient, by=manager, at=later())

    assert {pk: rows_of(pk) for pk in everybody} == everybody
    assert "cases.Visit" in everybody[second.pk]


def test_what_stays_says_who_when_and_why_and_nothing_of_the_person(patient, manager):
    at = later()
    facts = kept(patient)
    erasure = erase(patient, by=manager, at=at)

    assert Erasure.objects.get() == erasure
    assert (erasure.record_number, erasure.erased_by, erasure.erased_at) == (
        patient.record_number,
        manager,
        at,
    )
    assert (erasure.last_contact, erasure.kept_until) == (facts.last_contact, facts.until)
    assert erasure.rule == "8 years after the last contact"
    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.object_type, event.object_id) == ("erased", "erasure", erasure.pk)


def test_no_word_that_was_written_about_the_patient_is_left_in_any_table(physiotherapist, manager):
    texts = (models.CharField, models.TextField)

    def mark(sender, instance, **_more):
        for field in instance._meta.concrete_fields if sender in reach() else ():
            free = type(field) in texts and not field.choices and field.name not in LOOKED_UP
            if free and getattr(instance, field.name):
                setattr(instance, field.name, f"Zq{field.name}qZ"[: field.max_length or 1000])

    pre_save.connect(mark)
    try:
        patient = create_full_record(lead=physiotherapist)
    finally:
        pre_save.disconnect(mark)
    close_cases(patient)
    assert marks() > {"cases.Visit", "cases.Patient", "rehab.Handout"}
    for one in Patient.objects.all():
        close_cases(one)
        erase(one, by=manager, at=later())

    assert marks() == set()


def test_what_was_removed_long_ago_leaves_the_journal_as_well(patient, manager, physiotherapist):
    second = create_patient(clinic=physiotherapist.clinic, record_number=903)
    other = create_case(lead=physiotherapist, patient=second)
    for case in (patient.cases.first(), other):
        row = Injection.objects.create(case=case, given_on="2026-01-02", substance="other")
        row.delete()
    erase(patient, by=manager, at=later())

    held = Change.objects.filter(table_name="cases_injection").exclude(before=None)
    assert [change.before["case_id"] for change in held] == [other.pk]


@pytest.mark.django_db(transaction=True)
def test_the_chain_holds_when_a_record_is_erased(patient, manager):
    erase(patient, by=manager, at=later())

    found = check(patient.clinic)
    assert found.wrong == ""
    assert found.emptied > 10


# Codes and digests are looked up or compared; they can't be anything that is typed.
LOOKED_UP = {"measure", "where", "card", "edition", "sha256", "why", "language", "search_name"}


def marks() -> set[str]:
    """The tables in which a marked text stands."""
    return {
        model._meta.label
        for model in apps.get_models()
        for row in model._base_manager.values()
        if any("qZ" in str(value) for value in row.values())
    }


def test_the_number_of_an_erased_record_names_nobody_else(patient, manager, physiotherapist):
    Patient.objects.filter(pk=patient.pk).update(record_number=900_000)
    patient.refresh_from_db()
    erase(patient, by=manager, at=later())

    new = Patient(given_name="Nils", family_name="Berg", born="1980-01-01", sex="male")
    new.register(physiotherapist.clinic)
    assert new.record_number == 900_001


def test_a_sheet_that_is_somebody_elses_too_stays(physiotherapist, patient, manager):
    other = create_patient(clinic=physiotherapist.clinic, record_number=901)
    shared = [
        Handout.objects.keep(
            b"%PDF-1.4 the same", kind="appointment card", about=about, language="en",
            name="card.pdf", by=physiotherapist,
        )
        for about in (patient, other)
    ]  # fmt: skip
    erase(patient, by=manager, at=later())

    assert HandoutFile.objects.get(pk=shared[0].file_id).content == b"%PDF-1.4 the same"
    assert Handout.objects.filter(patient=other).get() == shared[1]


# What keeps a record although somebody wants it to go.
KEEPS = {
    "A case is open": lambda patient, by: create_case(patient=patient, lead=by),
    "on hold": lambda patient, by: Hold.objects.create(
        patient=patient, reason="A claim.", placed_by=by
    ),
    "request for correction": lambda patient, by: CorrectionRequest.objects.create(
        patient=patient, asked_on="2026-03-12", what="Side.", taken_by=by, due_on="2026-04-11"
    ),
    "restricted": lambda patient, by: Restriction.objects.create(
        patient=patient, reason="A claim.", since="2026-03-12", placed_by=by
    ),
}


@pytest.mark.parametrize("why", KEEPS)
def test_what_keeps_a_record(patient, physiotherapist, manager, why):
    KEEPS[why](patient, physiotherapist)

    with pytest.raises(MayNotGo) as refusal:
        erase(patient, by=manager, at=later())
    assert [str(reason) for reason in refusal.value.reasons if why in str(reason)]
    assert len(refusal.value.reasons) == 1
    assert patient not in listed(patient, today=later().date())


def listed(patient: Patient, *, today: datetime.date) -> list[Patient]:
    return [one.patient for one in due_records(patient.clinic, today=today)]


def test_before_its_time_a_record_stays(patient, manager):
    until = kept(patient).until
    day_before = datetime.datetime.combine(until, datetime.time(12), datetime.UTC)

    with pytest.raises(MayNotGo, match="has to be kept until"):
        erase(patient, by=manager, at=day_before - datetime.timedelta(days=1))
    assert patient not in listed(patient, today=until - datetime.timedelta(days=1))
    assert patient in listed(patient, today=until)
    assert erase(patient, by=manager, at=day_before)


def sealed_rows() -> list[tuple[type[models.Model], Sealed]]:
    return [
        (model, rule)
        for model in apps.get_models()
        for rule in model._meta.constraints
        if isinstance(rule, Sealed)
    ]


def test_each_seal_of_a_patients_row_knows_the_way_to_the_patient():
    ways = {model: rule.erased_with.replace(".", "__") for model, rule in sealed_rows()}

    assert {model for model, way in ways.items() if way} - {
        HandoutFile
    } == reach().keys() & ways.keys()
    for model in reach().keys() & ways.keys():
        assert ways[model] in reach()[model], model


def test_without_an_erasure_nothing_sealed_goes(patient):
    always = {model for model, rule in sealed_rows() if not rule.by} & reach().keys() - {Visit}
    assert always > {Addendum, Handout}
    for model in always:
        rows = rows_about(model, patient.pk)
        assert rows.exists(), model
        assert refused(lambda rows=rows: rows._raw_delete("default"), by="stays"), model


def test_while_one_record_is_erased_every_other_stays_sealed(physiotherapist, patient, manager):
    second = create_patient(clinic=physiotherapist.clinic, record_number=902)
    other = create_signed_visit(case=create_case(lead=physiotherapist, patient=second))
    with transaction.atomic():
        erasure = begin(patient, manager)
        delete = sql("DELETE FROM cases_visit WHERE id = %s", other.pk)
        assert refused(delete, by="visit_signed_stays")
        change = sql("UPDATE cases_visit SET plan = 'x' WHERE signed_at IS NOT NULL")
        assert refused(change, by="visit_signed_stays")
        erasure.finish({})
    mine = Visit.objects.signed().filter(case__patient=patient).get()
    assert refused(sql("DELETE FROM cases_visit WHERE id = %s", mine.pk), by="visit_signed_stays")


def begin(patient: Patient, by) -> Erasure:
    today = timezone.localdate()
    return Erasure.begin(
        at=timezone.now(), clinic=patient.clinic, patient_key=patient.pk, record_number=1,
        last_contact=today, kept_until=today, rule="", erased_by=by,
    )  # fmt: skip


@pytest.mark.django_db(transaction=True)
def test_an_erasure_that_is_not_finished_can_not_be_committed():
    manager = create_manager()
    visit = create_signed_visit()

    def leave_open():
        with transaction.atomic():
            begin(visit.case.patient, manager)

    with pytest.raises(IntegrityError):
        leave_open()
    assert not Erasure.objects.exists()
    assert refused(lambda: Visit.objects.all()._raw_delete("default"), by="visit_signed_stays")


def test_the_mark_of_an_erasure_stays_from_its_first_moment(patient, manager):
    with transaction.atomic():
        erasure = begin(patient, manager)
        assert refused(sql("DELETE FROM clinic_erasure"), by="erasure_stays")
        erasure.finish({})
    assert refused(sql("DELETE FROM clinic_erasure"), by="erasure_stays")
    assert refused(sql("UPDATE clinic_erasure SET record_number = 7"), by="erasure_stays")


def test_what_is_deleted_is_overwritten():
    """SQLite does it at once, PostgreSQL when VACUUM has come by, which it runs by itself."""
    asked = {"sqlite": ("PRAGMA secure_delete", 1), "postgresql": ("SHOW autovacuum", "on")}
    question, answer = asked[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(question)
        assert cursor.fetchone() == (answer,)


def test_the_patients_own_row_goes_last():
    assert children_first()[-1] is Patient
