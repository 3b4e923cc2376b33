"""All cases of a clinic as lines of FHIR: whole, noted, and little of it in memory at a time."""

import gc
import json

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from cases.models import Case, Restriction
from clinic.models import AuditEvent
from rehab.exchange.bulk import export_all
from tests.factories.cases import create_case, create_signed_visit
from tests.factories.clinic import create_clinic, create_manager, create_physiotherapist
from tests.factories.record import create_full_record
from tests.memory import peak_mb
from tests.rehab.exchange.hl7.check import by_definitions, by_fhirkit, by_schema, by_units, walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead():
    return create_physiotherapist()


@pytest.fixture
def manager(lead):
    return create_manager(clinic=lead.clinic)


def lines(folder):
    return {
        path.stem: [json.loads(line) for line in path.read_text().splitlines()]
        for path in folder.glob("*.ndjson")
    }


def silent(done, total):
    pass


def test_every_line_is_accepted_and_names_only_what_is_there(lead, manager, tmp_path):
    create_full_record(lead=lead)

    export_all(manager, tmp_path / "out", told=silent)

    found = lines(tmp_path / "out")
    every = [one for rows in found.values() for one in rows]
    known = {f"{one['resourceType']}/{one['id']}" for one in every}
    named = {part["reference"] for part in walk(every) if "reference" in part}
    assert named <= known
    assert len(known) == len(every)
    for one in every:
        bundle = {"entry": [{"resource": one}]}
        told = [*by_fhirkit(json.dumps(one)), *by_schema(one), *by_definitions(one, bundle)]
        assert [*told, *by_units(bundle)] == []


def test_the_manifest_counts_each_file(lead, manager, tmp_path):
    create_full_record(lead=lead)

    export_all(manager, tmp_path / "out", told=silent)

    told = json.loads((tmp_path / "out/manifest.json").read_text())
    counted = {one["url"].removesuffix(".ndjson"): one["count"] for one in told["output"]}
    assert counted == {kind: len(rows) for kind, rows in lines(tmp_path / "out").items()}
    assert "Composition" not in counted
    assert not list((tmp_path / "out").glob("*.part"))


def test_a_patient_with_two_cases_is_one_patient(lead, manager, tmp_path):
    case = create_case(lead=lead, side="right")
    create_case(lead=lead, patient=case.patient, side="left")
    create_case(lead=lead)

    counts = export_all(manager, tmp_path / "out", told=silent)

    assert (counts["Condition"], counts["Patient"]) == (3, 2)
    assert (counts["Practitioner"], counts["Organization"]) == (1, 1)


def test_a_run_that_is_stopped_leaves_no_file(lead, manager, tmp_path):
    make_cases(lead, 2)

    def stop(done, total):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        export_all(manager, tmp_path / "out", told=stop)

    assert not (tmp_path / "out").exists()


def test_a_restricted_record_and_another_clinic_stay(lead, manager, tmp_path):
    kept = create_case(lead=lead)
    stays = create_case(lead=lead)
    create_case(lead=create_physiotherapist(clinic=create_clinic()))
    today = timezone.localdate()
    Restriction.objects.create(
        patient=stays.patient, reason="In dispute.", since=today, placed_by=lead
    )

    counts = export_all(manager, tmp_path / "out", told=silent)

    assert (counts["Condition"], counts["left out"]) == (1, 1)
    noted = AuditEvent.objects.filter(verb="exported").values_list("object_id", "actor")
    assert list(noted) == [(kept.pk, manager.pk)]


NOTE = "Planing boards. " * 10_000


def make_cases(lead, how_many):
    for _number in range(how_many):
        create_signed_visit(case=create_case(lead=lead), subjective=NOTE)


def held_mb(manager, folder):
    """The most that is held while all cases are written; what could be freed is, after each of them."""
    return peak_mb(lambda: export_all(manager, folder, told=lambda *_far: gc.collect()))


def test_five_times_as_many_cases_take_no_more_memory(lead, manager, tmp_path):
    make_cases(lead, 3)
    export_all(manager, tmp_path / "first", told=silent)  # what is loaded once a process
    few = held_mb(manager, tmp_path / "few")
    make_cases(lead, 12)

    assert held_mb(manager, tmp_path / "many") < few * 1.2


def test_the_command_says_how_far_it_is_and_writes_over_nothing(lead, manager, tmp_path, capsys):
    create_full_record(lead=lead)
    heard = []

    export_all(manager, tmp_path / "heard", told=lambda *far: heard.append(far))
    call_command("export_cases", str(tmp_path / "out"), clinic=str(lead.clinic_id))

    assert heard == [(1, 1)] * Case.objects.of(lead.clinic).count()
    assert "1 Condition" in capsys.readouterr().out
    with pytest.raises(CommandError, match="exists"):
        call_command("export_cases", str(tmp_path / "out"), clinic=str(lead.clinic_id))
