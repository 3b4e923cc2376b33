"""What the database writes down when a row changes, whichever way it was written."""

import datetime

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction

from cases.models import Appointment, Patient, Visit
from clinic.acting import acting, who
from clinic.audit import record
from clinic.journal import Journaled
from clinic.models import AuditEvent, Change, Staff
from clinic.sealing import AddTriggers, WriteTriggersAgain
from tests.factories.cases import create_appointment, create_patient, create_visit
from tests.factories.clinic import create_physiotherapist
from tests.pages import typed

NINE = datetime.datetime(2026, 3, 2, 9, tzinfo=datetime.UTC)
LEFT_OUT = {
    "clinic.AuditEvent": "is the trail",
    "clinic.Change": "is the trail",
    "clinic.Link": "holds the trail together",
    "clinic.BackupRun": "is a log of its own that the database seals",
    "clinic.BookRevision": "counts, and says nothing else",
    "clinic.Erasure": "says itself what is gone, and stays",
    "clinic.HeldForm": "text that waits for its typist; what comes of it is written down",
    "clinic.Invitation": "holds the mark of a secret; audit events say who invited whom",
    "clinic.AccountNews": "waits to be sent; audit events say what it tells",
    "clinic.ResetRequest": "waits to be sent; an audit event says that the password is another",
    "clinic.SecondFactor": "holds a secret; audit events say who set it up or took it off",
    "clinic.RecoveryCode": "holds the mark of a secret; an audit event says that one was used",
    "clinic.OpenSession": "is touched by every request; the trail says who signed in and out",
    "clinic.SignIn": "is a history itself",
    "rehab.RecordCopy": "a task under way; an audit event says who was given a copy",
    "rehab.CopyPart": "a task under way",
    "rehab.CaseExport": "a task under way; an audit event says of each case who has exported it",
    "rehab.ExportedCase": "a task under way",
    "clinic.Logo": "a picture; an audit event says who changed it",
    "clinic.Staff_groups": "Django's, unused: roles are a column of Staff",
    "clinic.Staff_user_permissions": "Django's, unused: roles are a column of Staff",
    "cases.Import": "a file being brought in; what comes of it is written down row by row",
    "cases.ImportPart": "a file being brought in",
    "cases.ImportRow": "a file being brought in",
    "rehab.HandoutFile": "bytes of paper, which the database keeps as they are",
    "rehab.PackRun": "a task under way; its handouts are written down",
    "rehab.Pack": "a task under way; its handouts are written down",
    "rehab.Pack_handouts": "a task under way; its handouts are written down",
}
OTHERS = {"auth", "axes", "contenttypes", "sessions"}  # tables of libraries


def journaled() -> list[tuple[type[models.Model], Journaled]]:
    return [
        (model, rule)
        for model in apps.get_models(include_auto_created=True)
        for rule in model._meta.constraints
        if isinstance(rule, Journaled)
    ]


def of_row(row: models.Model):
    return Change.objects.of_rows(type(row), [row.pk]).order_by("pk")


def changes(row: models.Model) -> list[tuple]:
    return list(of_row(row).values_list("kind", "before", "after"))


def latest(row: models.Model) -> Change:
    return of_row(row).last()


@pytest.fixture
def patient(db):
    return create_patient(phone="+44 1632 960100")


def test_every_table_is_journaled_or_left_out_for_a_reason():
    labels = {
        model._meta.label
        for model in apps.get_models(include_auto_created=True)
        if model._meta.app_label not in OTHERS
    }

    assert labels == {model._meta.label for model, _rule in journaled()} | set(LEFT_OUT)
    assert not {model._meta.label for model, _rule in journaled()} & set(LEFT_OUT)


def test_every_journaled_row_has_a_number_and_a_clinic_of_its_own():
    """The trigger on PostgreSQL asks for these by name."""
    for model, _rule in journaled():
        columns = {field.column for field in model._meta.local_concrete_fields}
        assert model._meta.pk.column == "id"
        assert "clinic_id" in columns or model._meta.label == "clinic.Clinic"


@pytest.mark.parametrize(
    ("model", "rule"), journaled(), ids=lambda value: getattr(value, "name", "")
)
def test_the_triggers_look_at_every_column_but_those_left_out(db, model, rule):
    """PostgreSQL takes the whole row, so there is only what it leaves out to look at."""
    left_out = [model._meta.get_field(name).column for name in rule.without]
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(
                "SELECT pg_get_triggerdef(oid) FROM pg_trigger WHERE tgname = %s", [rule.name]
            )
            named = cursor.fetchone()[0].split("write_change(")[1].rstrip(")").split(", ")
            assert [name.strip("'") for name in named[1:]] == left_out
            return
        cursor.execute("SELECT sql FROM sqlite_master WHERE name = %s", [f"{rule.name}_changed"])
        text = cursor.fetchone()[0]
    columns = [field.column for field in model._meta.local_concrete_fields]

    assert [c for c in columns if f'OLD."{c}" IS NOT NEW."{c}"' not in text] == left_out


def test_an_addition_keeps_no_columns(patient):
    assert changes(patient) == [("added", None, None)]


# Each past the forms, and most past the model.
WAYS = {
    "saved": lambda row: row.save(),
    "updated": lambda row: Patient.objects.filter(pk=row.pk).update(phone=row.phone),
    "updated many": lambda row: Patient.objects.bulk_update([row], ["phone"]),
    "by SQL": lambda row: connection.cursor().execute(
        "UPDATE cases_patient SET phone = %s WHERE id = %s", [row.phone, row.pk]
    ),
}


@pytest.mark.parametrize("write", WAYS.values(), ids=WAYS)
def test_a_change_keeps_what_differs_before_and_after(patient, write):
    patient.phone = "+44 1632 960999"
    write(patient)

    assert changes(patient)[1:] == [
        ("changed", {"phone": "+44 1632 960100"}, {"phone": "+44 1632 960999"})
    ]


def test_a_save_that_changes_nothing_leaves_nothing(patient):
    patient.save()

    assert changes(patient) == [("added", None, None)]


def test_many_added_at_once_are_written_down(patient):
    some = [Patient(clinic=patient.clinic, record_number=n, given_name="A", family_name="B",
                    born=datetime.date(1980, 1, 1)) for n in (901, 902)]  # fmt: skip

    Patient.objects.bulk_create(some)

    assert [changes(row) for row in some] == [[("added", None, None)]] * 2


def test_a_removal_keeps_the_row(physiotherapist):
    booking = create_appointment(practitioner=physiotherapist, starts_at=NINE)
    number = booking.pk
    booking.delete()
    booking.pk = number

    kind, before, after = changes(booking)[-1]
    assert (kind, after) == ("removed", None)
    assert before["patient_id"] == booking.patient_id
    assert before["status"] == "booked"
    assert set(before) == {field.column for field in Appointment._meta.local_concrete_fields}


def test_both_engines_write_values_alike(physiotherapist):
    physiotherapist.treats, physiotherapist.role = False, "front desk"
    Staff.objects.filter(pk=physiotherapist.pk).update(treats=False, role="manager")
    booking = create_appointment(
        practitioner=create_physiotherapist(clinic=physiotherapist.clinic), starts_at=NINE
    )
    Appointment.objects.filter(pk=booking.pk).update(starts_at=NINE + datetime.timedelta(minutes=5))

    assert latest(physiotherapist).after == {"treats": False, "role": "manager"}
    assert latest(physiotherapist).before == {"treats": True, "role": "physiotherapist"}
    after = latest(booking).after["starts_at"]
    assert Appointment._meta.get_field("starts_at").to_python(after).replace(
        tzinfo=datetime.UTC
    ) == NINE + datetime.timedelta(minutes=5)


def test_a_password_is_left_out(physiotherapist):
    physiotherapist.set_password("another quiet morning")
    physiotherapist.save()
    assert len(changes(physiotherapist)) == 1

    physiotherapist.delete()
    assert "password" not in Change.objects.get(table_name="clinic_staff", kind="removed").before


def test_a_change_belongs_to_the_clinic_of_its_row(patient):
    other = create_patient()

    assert latest(patient).clinic_id == patient.clinic_id
    assert latest(other).clinic_id == other.clinic_id
    assert latest(patient.clinic).clinic_id == patient.clinic_id


def test_a_signed_in_person_is_named_with_the_request_and_its_event(signed_in, front_desk):
    patient = create_patient(clinic=front_desk.clinic)
    client, address = signed_in(front_desk), f"/patients/{patient.pk}/edit/"

    answer = client.post(address, typed(client.get(address), phone="+44 1632 960777"))

    assert answer.status_code == 302
    change = latest(patient)
    assert change.after == {"phone": "+44 1632 960777"}
    assert change.actor_id == front_desk.pk
    event = AuditEvent.objects.latest("pk")
    assert event.request == change.request != ""


def test_nobody_is_named_outside_a_request(patient):
    assert (latest(patient).actor_id, latest(patient).request) == (None, "")


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("in_transaction", [True, False])
def test_who_acted_does_not_stay_with_the_connection(in_transaction):
    patient = create_patient()
    ida, otto = (create_physiotherapist(clinic=patient.clinic) for _ in range(2))
    actors = []

    for number, person in enumerate([ida, otto, None, ida]):
        if person is None:
            Patient.objects.filter(pk=patient.pk).update(phone=str(number))
        else:
            with acting(person.pk):
                if in_transaction:
                    with transaction.atomic():
                        Patient.objects.filter(pk=patient.pk).update(phone=str(number))
                else:
                    Patient.objects.filter(pk=patient.pk).update(phone=str(number))
        actors.append(latest(patient).actor_id)

    assert actors == [ida.pk, otto.pk, None, ida.pk]


@pytest.mark.django_db(transaction=True)
def test_who_acted_is_known_after_a_savepoint_was_taken_back():
    """The setting goes with the savepoint in which it was made, so it must be made again."""
    patient = create_patient()
    ida = create_physiotherapist(clinic=patient.clinic)

    with acting(ida.pk), transaction.atomic():
        with transaction.atomic():
            Patient.objects.filter(pk=patient.pk).update(phone="1")
            transaction.set_rollback(True)
        Patient.objects.filter(pk=patient.pk).update(phone="2")

    assert latest(patient).after == {"phone": "2"}
    assert latest(patient).actor_id == ida.pk


@pytest.mark.django_db(transaction=True)
def test_who_acted_is_known_in_the_next_transaction_of_the_same_request():
    patient = create_patient()
    ida = create_physiotherapist(clinic=patient.clinic)

    with acting(ida.pk) as now:
        for phone in "12":
            with transaction.atomic():
                Patient.objects.filter(pk=patient.pk).update(phone=phone)
        record(ida, "typed", patient)

    written = of_row(patient).filter(kind="changed")
    assert set(written.values_list("actor", "request")) == {(ida.pk, now.request)}
    assert AuditEvent.objects.get().request == now.request
    assert who().person is None


def test_a_change_that_is_taken_back_leaves_nothing(patient):
    with transaction.atomic():
        Patient.objects.filter(pk=patient.pk).update(phone="1")
        transaction.set_rollback(True)

    assert changes(patient) == [("added", None, None)]


@pytest.mark.parametrize("write", [
    lambda rows: rows.update(request="another"),
    lambda rows: rows._raw_delete(rows.db),
])  # fmt: skip
def test_a_change_stays_as_it_was_written(patient, write):
    with pytest.raises(IntegrityError, match="change_stays"):
        write(Change.objects.all())


@pytest.mark.parametrize("columns", [
    {"before": {"phone": "0"}},
    {"after": {"phone": "0"}},
    {"before": None},
    {"before": {"phone": "0"}, "after": None},
])  # fmt: skip
def test_what_a_change_holds_is_emptied_or_stays(patient, columns):
    Patient.objects.filter(pk=patient.pk).update(phone="+44 1632 960999")

    with pytest.raises(IntegrityError, match="change_only_emptied"):
        of_row(patient).filter(kind="changed").update(**columns)


def test_the_columns_of_a_person_s_changes_are_emptied_and_the_rest_stays(patient):
    other = create_patient(clinic=patient.clinic)
    for row in (patient, other):
        Patient.objects.filter(pk=row.pk).update(phone="+44 1632 960999")
    number = patient.pk
    patient.delete()

    assert Change.objects.of_rows(Patient, [number]).empty() == 2

    emptied = Change.objects.of_rows(Patient, [number]).order_by("pk")
    assert list(emptied.values_list("kind", "before", "after")) == [
        (kind, None, None) for kind in ("added", "changed", "removed")
    ]
    assert changes(other)[-1][2] == {"phone": "+44 1632 960999"}


@pytest.mark.django_db(transaction=True)
def test_changes_are_written_after_the_table_was_rebuilt():
    """SQLite rebuilds a table to alter a column, without the triggers on it."""
    visit = create_visit()
    plan = Visit._meta.get_field("plan")
    longer = models.TextField(default="none", blank=True)
    longer.set_attributes_from_name("plan")
    longer.model = Visit
    for old, new in ((plan, longer), (longer, plan)):
        with connection.schema_editor() as editor:
            editor.alter_field(Visit, old, new)

    Visit.objects.filter(pk=visit.pk).update(plan="rest")
    assert latest(visit).after == {"plan": "rest"}


@pytest.mark.django_db(transaction=True)
def test_triggers_are_written_again_to_cover_a_new_column():
    patient = create_patient()
    rule = next(rule for model, rule in journaled() if model is Patient)
    extra = models.CharField(max_length=5, null=True)
    extra.set_attributes_from_name("extra")
    extra.model = Patient

    with connection.schema_editor() as editor:
        editor.add_field(Patient, extra)
    try:
        Patient._meta.local_fields.append(extra)
        Patient._meta._expire_cache()
        again(WriteTriggersAgain(model_name="patient", name=rule.name))
        connection.cursor().execute("UPDATE cases_patient SET extra = 'new'")
        assert latest(patient).after == {"extra": "new"}
    finally:
        Patient._meta.local_fields.remove(extra)
        Patient._meta._expire_cache()
        again(AddTriggers(model_name="patient", constraint=rule))
        with connection.schema_editor() as editor:
            editor.remove_field(Patient, extra)


def again(operation) -> None:
    class State:
        pass

    state = State()
    state.apps = apps
    with connection.schema_editor() as editor:
        operation.database_forwards("cases", editor, state, state)
