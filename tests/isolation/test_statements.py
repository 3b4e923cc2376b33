"""What a statement must say so that its rows are those of the clinic of whoever asks."""

import pytest
from django.db import connection

from cases.models import Patient
from clinic.models import ClinicQuerySet
from tests.factories.cases import create_patient
from tests.factories.clinic import create_manager
from tests.isolation.statements import Judgment, parsed
from tests.isolation.watching import SECRETS, watching
from tests.two_clinics import Asker, create_at_work
from tests.who_may_what import HEAD

KEYS = {
    "clinic_clinic": {"id": "clinic_clinic"},
    "patient": {"id": "patient", "clinic_id": "clinic_clinic"},
    "case": {"id": "case", "clinic_id": "clinic_clinic", "patient_id": "patient"},
    "visit": {"id": "visit", "clinic_id": "clinic_clinic", "case_id": "case"},
}
# Clinic 5 and its patients 1 and 2 are known.
KNOWN = {"clinic_clinic": {5}, "patient": {1, 2}}
A_ROW, JOINED = 'SELECT p."id" FROM "patient" p ', 'SELECT v."id" FROM "visit" v '

TIED = [
    (A_ROW + "WHERE p.clinic_id = %s", [5]),
    (A_ROW + "WHERE p.born < %s AND (p.clinic_id = %s AND p.id = %s)", [9, 5, 77]),
    (A_ROW + "WHERE p.id IN (%s, %s)", [1, 2]),
    (A_ROW + "WHERE p.clinic_id = %s OR p.id = %s", [5, 2]),
    (A_ROW + "JOIN \"case\" c ON c.patient_id = p.id WHERE c.clinic_id = %s", [5]),
    (A_ROW + "LEFT JOIN \"case\" c ON c.patient_id = p.id WHERE p.clinic_id = %s", [5]),
    (A_ROW + "LEFT JOIN \"case\" c ON c.patient_id = p.id WHERE c.clinic_id = %s", [5]),
    (A_ROW + "WHERE p.clinic_id = %s AND EXISTS (SELECT 1 FROM \"case\" c WHERE c.patient_id = p.id)", [5]),
    (A_ROW + "WHERE p.id IN (SELECT c.patient_id FROM \"case\" c WHERE c.clinic_id = %s)", [5]),
    (A_ROW + "WHERE p.clinic_id = %s AND p.id IN (SELECT c.patient_id FROM \"case\" c)", [5]),
    (JOINED + 'LEFT JOIN "case" c ON v.case_id = c.id WHERE v.clinic_id = %s OR c.patient_id = %s', [5, 1]),
    ("SELECT COUNT(*) FROM (SELECT p.id FROM patient p WHERE p.clinic_id = %s) counted", [5]),
    ('UPDATE "patient" SET "phone" = %s WHERE "patient"."id" = %s', ["", 1]),
    ('DELETE FROM "patient" WHERE "patient"."id" IN (%s)', [2]),
    ("SELECT name FROM somewhere_else", []),
]  # fmt: skip

UNTIED = [
    (A_ROW, [], {"patient"}),
    (A_ROW + "WHERE p.clinic_id = %s", [6], {"patient"}),
    (A_ROW + "WHERE p.id = %s", [3], {"patient"}),
    (A_ROW + "WHERE p.id IN (%s, %s)", [1, 3], {"patient"}),
    (A_ROW + "WHERE NOT (p.clinic_id = %s)", [5], {"patient"}),
    (A_ROW + "WHERE p.clinic_id <> %s", [5], {"patient"}),
    (A_ROW + "WHERE p.clinic_id = %s OR p.phone = %s", [5, ""], {"patient"}),
    # An outer join leaves out nothing: only the cases are of clinic 5.
    (A_ROW + 'LEFT JOIN "case" c ON c.patient_id = p.id AND c.clinic_id = %s', [5], {"patient"}),
    # Joined by what is no key: a name can be had in two clinics.
    (A_ROW + 'JOIN "case" c ON c.name = p.name WHERE p.clinic_id = %s', [5], {"case"}),
    (A_ROW + 'WHERE p.clinic_id = %s AND EXISTS (SELECT 1 FROM "case" c)', [5], {"case"}),
    ('SELECT (SELECT COUNT(*) FROM "case" c) FROM patient p WHERE p.id = %s', [1], {"case"}),
    ("SELECT id FROM patient WHERE clinic_id = %s UNION SELECT id FROM visit", [5], {"visit"}),
    ('UPDATE "patient" SET "clinic_id" = %s', [5], {"patient"}),
    ('DELETE FROM "visit" WHERE "visit"."case_id" = %s', [1], {"visit"}),
]


def judged(sql: str, values: list, dialect: str) -> set[str]:
    judgment = Judgment(KEYS, SECRETS, KNOWN, tuple(values))
    judgment.of(parsed(sql, dialect))
    return judgment.untied


@pytest.mark.parametrize("dialect", ["sqlite", "postgres"])
@pytest.mark.parametrize(("sql", "values"), TIED)
def test_a_statement_that_names_a_clinic_or_what_it_owns(sql, values, dialect):
    assert judged(sql, values, dialect) == set()


@pytest.mark.parametrize("dialect", ["sqlite", "postgres"])
@pytest.mark.parametrize(("sql", "values", "tables"), UNTIED)
def test_a_statement_that_may_bring_rows_of_another_clinic(sql, values, tables, dialect):
    assert judged(sql, values, dialect) == tables


def test_what_a_tied_row_names_is_known_and_nothing_else():
    judgment = Judgment(KEYS, SECRETS, KNOWN, (5,))
    sql = A_ROW.replace("p.", "p.clinic_id, p.born, c.id, p.") + (
        'LEFT JOIN "case" c ON c.name = p.name WHERE p.clinic_id = %s'
    )

    assert judgment.of(parsed(sql, "sqlite")) == ["clinic_clinic", None, None, "patient"]


def forgets(rows, clinic):
    return rows


def names_another(rows, clinic):
    return rows.filter(clinic_id=clinic.pk + 1)


@pytest.mark.django_db
@pytest.mark.parametrize("fault", [forgets, names_another])
def test_a_page_whose_query_forgets_the_clinic_is_found(fault, monkeypatch):
    somebody = Asker(create_at_work().people[HEAD])
    address = "/patients/"
    with watching() as sound:
        assert somebody.ask("GET", address).status_code == 200
    monkeypatch.setattr(ClinicQuerySet, "of", fault)

    with watching() as broken:
        somebody.ask("GET", address)

    assert sound.judged > 0
    assert sound.untied == {}
    assert ("cases:patients", "cases_patient") in broken.untied


@pytest.mark.django_db
def test_a_number_that_was_sent_picks_nothing_until_its_row_is_fetched():
    """A row of the same clinic even, but nobody has asked whether it is."""
    patient = create_patient()
    with watching() as watch:
        watch.begin({"PATH_INFO": "/"})
        watch.known = {"clinic_clinic": {patient.clinic_id}}
        Patient.objects.of(patient.clinic).get(pk=patient.pk)
        Patient.objects.get(pk=patient.pk)
        assert watch.untied == {}
        watch.known = {"clinic_clinic": {patient.clinic_id}}
        Patient.objects.get(pk=patient.pk)

    assert list(watch.untied) == [("cases:day", "cases_patient")]


@pytest.mark.django_db
def test_rows_that_were_looked_at_are_handed_out_all_the_same():
    numbers = sorted(create_manager().pk for _number in range(5))

    def read():
        with connection.cursor() as cursor:
            rows = []
            for _time in range(2):
                cursor.execute("SELECT id FROM clinic_staff ORDER BY id")
                rows += [cursor.fetchone(), *cursor.fetchmany(2), *cursor.fetchall()]
                rows.append(cursor.fetchone())
            return rows

    with watching() as watch:
        watch.begin({"PATH_INFO": "/"})
        looked_at = read()

    assert looked_at == read() == [*((number,) for number in numbers), None] * 2
