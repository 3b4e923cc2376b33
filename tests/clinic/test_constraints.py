"""The rules that the database keeps by itself, reached past the forms, on both engines."""

import datetime
import zoneinfo

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction
from django.db.migrations.loader import MigrationLoader

from cases.models import Appointment, Visit
from clinic.constraints import NoOverlap, Sealed
from clinic.revision import RaisesRevision
from clinic.sealing import Reseal, Seal, Unseal
from tests.factories.cases import create_appointment, create_patient, create_signed_visit
from tests.factories.clinic import create_physiotherapist

NINE = datetime.datetime(2026, 3, 2, 9, tzinfo=datetime.UTC)
HALF_HOUR = datetime.timedelta(minutes=30)


def sealed() -> list[tuple[type[models.Model], Sealed]]:
    return [
        (model, rule)
        for model in apps.get_models()
        for rule in model._meta.constraints
        if isinstance(rule, Sealed)
    ]


def written_rule(rule: Sealed) -> str:
    """What the database itself holds of a seal against updates."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT prosrc FROM pg_proc WHERE proname = %s", [f"refuse_{rule.name}"])
        else:
            cursor.execute("SELECT sql FROM sqlite_master WHERE name = %s", [f"{rule.name}_update"])
        return cursor.fetchone()[0]


@pytest.fixture
def ida(db):
    return create_physiotherapist()


@pytest.fixture
def booked(ida):
    return create_appointment(practitioner=ida, starts_at=NINE)


def again(booked: Appointment, **changes) -> Appointment:
    """Book the same half hour of the same practitioner once more, but for `changes`."""
    patient = create_patient(clinic=booked.clinic)
    same = {"practitioner": booked.practitioner, "starts_at": NINE, "patient": patient}
    return create_appointment(**(same | changes))


def test_the_same_half_hour_is_refused(booked):
    with pytest.raises(IntegrityError, match="practitioner_double_booked"):
        again(booked)


@pytest.mark.parametrize("minutes", [-29, -1, 1, 29])
def test_a_minute_of_overlap_is_refused(booked, minutes):
    with pytest.raises(IntegrityError, match="practitioner_double_booked"):
        again(booked, starts_at=NINE + datetime.timedelta(minutes=minutes))


@pytest.mark.parametrize("start", [NINE - HALF_HOUR, NINE + HALF_HOUR])
def test_back_to_back_is_no_overlap(booked, start):
    assert again(booked, starts_at=start).pk


def test_a_cancelled_appointment_frees_its_time_and_cannot_come_back(booked):
    booked.cancel(reason="ill")
    again(booked)

    with pytest.raises(IntegrityError), transaction.atomic():
        Appointment.objects.filter(pk=booked.pk).update(status="booked")
    booked.refresh_from_db()
    assert booked.status == "cancelled"


def test_many_at_once_are_guarded_too(booked):
    twin = Appointment.objects.get(pk=booked.pk)
    twin.pk = None

    with pytest.raises(IntegrityError, match="practitioner_double_booked"):
        Appointment.objects.bulk_create([twin])


def test_an_appointment_ends_after_it_starts(ida):
    with pytest.raises(IntegrityError, match="appointment_ends_after_start"):
        create_appointment(practitioner=ida, starts_at=NINE, minutes=0)


@pytest.mark.parametrize("minutes", [241, 242, 24 * 60])
def test_an_appointment_that_lasts_for_more_than_four_hours_is_refused(ida, minutes):
    with pytest.raises(IntegrityError, match="appointment_within_four_hours"):
        create_appointment(practitioner=ida, starts_at=NINE, minutes=minutes)


@pytest.mark.parametrize("start", [NINE, NINE + datetime.timedelta(hours=12, microseconds=1)])
def test_four_hours_are_taken_at_any_time_of_the_day(ida, start):
    assert create_appointment(practitioner=ida, starts_at=start, minutes=240).minutes == 240


def test_half_an_hour_of_the_wall_clock_that_the_clocks_skip_is_refused(ida):
    """01:30 on 29 March 2026 in London is no moment; as winter time it comes after 02:00 summer time."""
    skipped = datetime.datetime(2026, 3, 29, 1, 30, tzinfo=zoneinfo.ZoneInfo("Europe/London"))

    with pytest.raises(IntegrityError, match="appointment_ends_after_start"):
        create_appointment(practitioner=ida, starts_at=skipped)


@pytest.mark.parametrize(("model", "rule"), sealed(), ids=lambda value: getattr(value, "name", ""))
def test_a_seal_covers_every_column_but_those_named(db, model, rule):
    text = written_rule(rule)
    columns = {field.name: field.column for field in model._meta.local_concrete_fields}

    open_ones = [name for name, column in columns.items() if f'NEW."{column}"' not in text]

    # A row's own seal looks at OLD only, so what is compared with NEW is what is covered.
    assert open_ones == list(rule.may_change)


@pytest.mark.django_db(transaction=True)
def test_seals_and_the_overlap_rule_survive_a_rebuilt_table():
    """SQLite rebuilds a table to alter a column; the triggers on it and looking at it must come back."""
    visit = create_signed_visit()
    plan = Visit._meta.get_field("plan")
    longer = models.TextField(default="none", blank=True)
    longer.set_attributes_from_name("plan")
    longer.model = Visit

    for old, new in ((plan, longer), (longer, plan)):
        with connection.schema_editor() as editor:
            editor.alter_field(Visit, old, new)

    with pytest.raises(IntegrityError, match="visit_signed_stays"), transaction.atomic():
        Visit.objects.filter(pk=visit.pk).update(plan="changed")
    with pytest.raises(IntegrityError, match="pain_of_signed_visit_stays"), transaction.atomic():
        visit.pain_ratings.create(context="at_rest", value=3, clinic=visit.clinic)


@pytest.mark.django_db(transaction=True)
def test_a_seal_is_taken_off_and_put_on_while_others_look_at_its_table():
    visit = create_signed_visit()
    sealed_state = MigrationLoader(connection).project_state()
    rule = next(rule for rule in Visit._meta.constraints if rule.name == "visit_signed_stays")
    off, on = (
        Unseal(model_name="visit", name=rule.name),
        Seal(model_name="visit", constraint=rule),
    )
    bare_state = sealed_state.clone()
    off.state_forwards("cases", bare_state)

    with connection.schema_editor() as editor:
        off.database_forwards("cases", editor, sealed_state, bare_state)
    Visit.objects.filter(pk=visit.pk).update(plan="changed while open")
    with connection.schema_editor() as editor:
        on.database_forwards("cases", editor, bare_state, sealed_state)

    with pytest.raises(IntegrityError, match="visit_signed_stays"), transaction.atomic():
        Visit.objects.filter(pk=visit.pk).update(plan="changed once more")
    with pytest.raises(IntegrityError, match="pain_of_signed_visit_stays"), transaction.atomic():
        visit.pain_ratings.create(context="at_rest", value=3, clinic=visit.clinic)


@pytest.mark.django_db(transaction=True)
def test_a_seal_is_written_in_place_of_another():
    visit = create_signed_visit()
    strict = MigrationLoader(connection).project_state()
    rule = next(rule for rule in Visit._meta.constraints if rule.name == "visit_signed_stays")
    wider = Sealed(by=rule.by, may_change=(*rule.may_change, "plan"), name=rule.name)
    loosen, tighten = (Reseal(model_name="visit", constraint=one) for one in (wider, rule))
    loose = strict.clone()
    loosen.state_forwards("cases", loose)

    with connection.schema_editor() as editor:
        loosen.database_forwards("cases", editor, strict, loose)
    Visit.objects.filter(pk=visit.pk).update(plan="changed while it may be")
    with connection.schema_editor() as editor:
        tighten.database_forwards("cases", editor, loose, strict)

    with pytest.raises(IntegrityError, match="visit_signed_stays"), transaction.atomic():
        Visit.objects.filter(pk=visit.pk).update(plan="changed once more")


def test_a_rule_is_equal_to_what_its_migration_rebuilds():
    for rule in (
        Sealed(name="stays", by="signed_at", may_change=("ended_at",)),
        NoOverlap(name="once", resource="a", start="b", end="c", unless=("d", "e")),
        RaisesRevision(name="raises"),
    ):
        _path, args, kwargs = rule.deconstruct()

        assert type(rule)(*args, **kwargs) == rule
