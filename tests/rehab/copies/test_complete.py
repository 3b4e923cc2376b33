"""The copy leaves nothing out: every table and column that leads to a patient, and what is in them."""

import pytest
from django.db import models
from django.db.models.signals import pre_save

from cases.models import Patient, Visit
from rehab.copies.as_data import kept_columns
from rehab.copies.on_paper import is_key, shown_columns
from rehab.copies.reach import reach, rows_about
from rehab.copies.tables import LEFT_OUT, LEFT_OUT_COLUMNS, NOT_ON_PAPER, TREES
from tests.factories.cases import create_case, create_patient, create_signed_visit
from tests.factories.record import create_full_record
from tests.factories.rehab import create_issued
from tests.rehab.copies.whole import archive_of, data_of, make_copy, paper_of, rows_in, unbroken

TABLES = [table for tree in TREES for table in tree.walk()]


def test_each_model_that_leads_to_a_patient_is_in_the_copy_or_left_out_with_a_reason():
    held = [table.model for table in TABLES]
    silent = [
        model._meta.label
        for model in reach()
        if model not in held and model._meta.label not in LEFT_OUT
    ]

    assert silent == []
    assert len(held) == len(set(held))
    assert {model._meta.label for model in reach()} >= LEFT_OUT.keys()
    assert set(held) <= reach().keys()


def test_what_is_left_out_exists_and_says_why():
    columns = {
        name
        for table in TABLES
        for field in table.columns()
        for name in (field.name, f"{table.model._meta.label}.{field.name}")
    }

    assert columns >= LEFT_OUT_COLUMNS.keys() | NOT_ON_PAPER.keys()
    reasons = (LEFT_OUT | LEFT_OUT_COLUMNS | NOT_ON_PAPER).values()
    assert all(len(reason.split()) > 5 and reason.endswith(".") for reason in reasons)


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_each_column_is_in_the_data_and_on_paper_or_left_out_with_a_reason(table):
    every = {field.name for field in table.columns()}
    in_data = {field.name for field in kept_columns(table)}
    on_paper = {field.name for field in shown_columns(table)}
    label = table.model._meta.label

    assert every - in_data <= LEFT_OUT_COLUMNS.keys()
    keys = {field.name for field in table.columns() if is_key(table, field)}
    assert in_data - on_paper - keys <= {name.rpartition(".")[2] for name in NOT_ON_PAPER}
    assert all(f"{label}.{name}" in NOT_ON_PAPER for name in in_data - on_paper - keys)


def test_a_key_is_not_shown_but_whom_a_row_names_is():
    keys = {
        f"{table.name}.{field.name}"
        for table in TABLES
        for field in table.columns()
        if is_key(table, field) and not field.primary_key and field.name not in ("clinic", table.of)
    }

    # Rows that stand under another one on paper than the key names: the same case or patient.
    assert keys == {
        "case.patient", "visit.case", "program.case", "handout.patient", "handout.file",
        "pack.patient", "measuredvalue.case", "diaryday.case", "importrow.appointment",
    }  # fmt: skip


@pytest.fixture
def marked(physiotherapist):
    """A full record, each text of its records marked as it is saved."""
    texts = (models.CharField, models.TextField)

    def write(sender, instance, **_more):
        if sender not in reach() or sender is Patient:
            return
        for field in instance._meta.concrete_fields:
            free = type(field) in texts and not field.choices and field.name not in CODES
            if free and getattr(instance, field.name):
                mark = f"Zq{sender._meta.model_name}{field.name}qZ"
                setattr(instance, field.name, mark[: field.max_length or 1000])

    pre_save.connect(write)
    try:
        create_full_record(lead=physiotherapist)
    finally:
        pre_save.disconnect(write)
    return physiotherapist


# Codes and digests are looked up or compared; they can't be anything that is typed.
CODES = {"measure", "where", "card", "edition", "sha256", "why", "language", "own_number", "name"}


def test_every_row_about_a_patient_is_in_the_data_and_every_text_on_paper(marked):
    seen: set[str] = set()
    for patient in Patient.objects.of(marked.clinic):
        archive = archive_of(make_copy(patient, by=marked))
        found, paper = rows_in(data_of(archive)), paper_of(archive)
        for table in TABLES:
            rows = list(rows_about(table.model, patient.pk))
            held = found[table.name]
            assert sorted(held) == sorted(row.pk for row in rows), (table.name, str(patient))
            for row in rows:
                seen.add(table.name)
                assert _missing(row, held[row.pk], paper) == [], (table.name, str(patient))

    assert {table.name for table in TABLES} == seen


def _missing(row, held: dict, paper: str) -> list[str]:
    """The columns of a row whose text is not in the data or not on paper."""
    missing = []
    for field in row._meta.concrete_fields:
        value = getattr(row, field.attname)
        marked = isinstance(value, str) and value.startswith("Zq")
        if marked and (held[field.name] != value or unbroken(value) not in paper):
            missing.append(field.name)
    return missing


def test_nothing_of_another_patient_is_in_it(marked):
    visit = Visit.objects.signed().latest("pk")
    another = create_patient(clinic=marked.clinic, record_number=900)
    create_issued(case=create_signed_visit(case=create_case(lead=marked, patient=another)).case)
    others = Patient.objects.exclude(pk=visit.case.patient_id)
    archive = archive_of(make_copy(visit.case.patient, by=marked))
    found = rows_in(data_of(archive))

    named = set()
    for other in others:
        for table in TABLES:
            theirs = set(rows_about(table.model, other.pk).values_list("pk", flat=True))
            named |= {table.name for _row in theirs}
            assert not theirs & found[table.name].keys(), table.name
    assert named >= {"patient", "case", "visit", "program"}
