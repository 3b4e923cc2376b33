"""A case of the database leaves as a document: by the page, by the command, and noted."""

import dataclasses
import hashlib
import json

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from assessments.models.own import SINGLE
from cases.models import Case, Restriction, Visit
from clinic.models import AuditEvent, Clinic
from rehab.copies.reach import reach
from rehab.exchange import record as parts
from rehab.exchange.carried import CARRIED, COLUMNS_LEFT_OUT, LEFT_OUT
from rehab.exchange.gather import gather
from rehab.exchange.observations import TOLD
from tests.factories.clinic import create_manager, create_physiotherapist
from tests.factories.record import create_full_record
from tests.rehab.exchange.hl7.check import findings

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead():
    return create_physiotherapist()


@pytest.fixture
def case(lead):
    return Case.objects.get(patient=create_full_record(lead=lead))


@pytest.fixture
def page(client, lead, case):
    client.force_login(lead)
    return client.get(f"/cases/{case.pk}/case.fhir.json")


def resources(bundle, kind):
    found = (entry["resource"] for entry in bundle["entry"])
    return [one for one in found if one["resourceType"] == kind]


def test_the_page_gives_a_document_that_independent_checkers_accept(page, case):
    assert page["Content-Type"] == "application/fhir+json"
    assert list(findings(page.json())) == []
    assert str(case.patient) not in page["Content-Disposition"]


def test_only_what_is_signed_leaves(page, case):
    assert Visit.objects.drafts().filter(case=case).exists()

    assert len(resources(page.json(), "Encounter")) == case.visits.signed().count() == 1


def test_the_trail_says_who_took_it_and_which_file_it_was(page, lead, case):
    event = AuditEvent.objects.get(verb="exported")

    mark = hashlib.sha256(page.content).hexdigest()[:12]
    assert (event.actor, event.object_id, event.patient_key) == (lead, case.pk, case.patient_id)
    assert event.detail == {"what": "case as FHIR R4", "sha": mark}


def test_the_case_page_leads_to_it(client, lead, case):
    client.force_login(lead)

    assert f"/cases/{case.pk}/case.fhir.json" in client.get(f"/cases/{case.pk}/").content.decode()


def test_the_code_of_the_diagnosis_follows_the_clinics_setting(client, lead, case):
    Clinic.objects.update(diagnosis_codes="icd-10-cm", snomed_licence="Affiliate 12")
    client.force_login(lead)

    (condition,) = resources(client.get(f"/cases/{case.pk}/case.fhir.json").json(), "Condition")

    side = {"right": "M77.11", "left": "M77.12"}[case.side]
    assert [one["code"] for one in condition["code"]["coding"]] == [side, "202855006"]


def test_without_a_licence_no_snomed_code_leaves(page):
    assert "snomed" not in page.content.decode()


def test_a_restricted_record_does_not_leave(client, lead, case):
    today = timezone.localdate()
    Restriction.objects.create(
        patient=case.patient, reason="In dispute.", since=today, placed_by=lead
    )
    manager = create_manager(clinic=case.clinic)

    with pytest.raises(CommandError, match="restricted"):
        call_command("export_case", str(case.pk), by=manager.username)
    assert not AuditEvent.objects.filter(verb="exported").exists()


def test_the_command_writes_the_same_case(case, tmp_path, capsys):
    manager = create_manager(clinic=case.clinic)

    call_command("export_case", str(case.pk), out=tmp_path / "one.json")

    bundle = json.loads((tmp_path / "one.json").read_text())
    assert list(findings(bundle)) == []
    assert AuditEvent.objects.get(verb="exported").actor == manager
    assert "one.json" in capsys.readouterr().out


def test_a_case_that_is_none_is_refused_with_a_sentence():
    with pytest.raises(CommandError, match="No case has this number"):
        call_command("export_case", "404")


def test_gathering_a_full_case_takes_few_queries(case, lead, django_assert_max_num_queries):
    with django_assert_max_num_queries(25):
        gather(Case.objects.with_people().get(pk=case.pk))


# Where a column's value stands under another name than its own.
CALLED = {
    ("Patient", "given_name"): "given",
    ("Patient", "family_name"): "family",
    ("Addendum", "written_at"): "at",
    ("PainRating", "context"): "pains",
    ("PainRating", "value"): "pains",
    ("ActivityRating", "value"): "activities",
    **{(model.__name__, "value"): name for name, model in SINGLE.items()},
}
FIELDS = {
    field.name
    for part in vars(parts).values()
    if dataclasses.is_dataclass(part)
    for field in dataclasses.fields(part)
}


@pytest.mark.parametrize("model", CARRIED, ids=lambda model: model.__name__)
def test_each_column_of_a_table_is_carried_or_left_out_with_a_reason(model):
    facts = [one for one in model._meta.concrete_fields if not (one.is_relation or one.primary_key)]
    silent = [
        field.name
        for field in facts
        if CALLED.get((model.__name__, field.name), field.name) not in FIELDS
        and f"{model._meta.label}.{field.name}" not in COLUMNS_LEFT_OUT
    ]

    assert silent == []


def test_columns_that_are_left_out_exist():
    columns = {f"{one._meta.label}.{field.name}" for one in CARRIED for field in one._meta.fields}

    assert columns >= COLUMNS_LEFT_OUT.keys()


def test_what_is_one_number_a_visit_is_told():
    assert TOLD.keys() == SINGLE.keys()


def test_each_table_of_a_record_is_carried_or_left_out_with_a_reason():
    silent = [
        model._meta.label
        for model in reach()
        if model not in CARRIED and model._meta.label not in LEFT_OUT
    ]

    assert silent == []
    assert all(reason.endswith(".") for reason in LEFT_OUT.values())
