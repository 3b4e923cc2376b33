"""The cases of a clinic from the page: step by step, stopped, and the same lines as the command writes."""

import gc
import io
import json
import zipfile

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Case, Restriction
from clinic.models import AuditEvent
from rehab.erasing import erase
from rehab.exchange import stepwise
from rehab.exchange.bulk import export_all
from rehab.models import CaseExport, ExportedCase
from rehab.models.record_copy import WAITS
from tests.factories.cases import create_case, create_signed_visit
from tests.factories.clinic import create_clinic, create_manager, create_physiotherapist
from tests.factories.record import create_full_record
from tests.memory import peak_mb
from tests.pages import HTMX

pytestmark = pytest.mark.django_db
PAGE = "/case-exports/"


@pytest.fixture
def lead():
    return create_physiotherapist()


@pytest.fixture
def manager(lead):
    return create_manager(clinic=lead.clinic)


@pytest.fixture
def browser(signed_in, manager):
    return signed_in(manager)


def ask_for(browser, which="all", **days):
    answer = browser.post(PAGE, {"which": which, "since": "", "until": ""} | days)
    export = CaseExport.objects.latest("pk")
    assert answer.url == page(export)
    return export


def page(export, name="case_export"):
    return reverse(f"rehab:{name}", args=[export.pk])


def step(browser, export, **headers):
    return browser.post(page(export, "case_export_step"), **headers)


def write_all(browser, export):
    while not export.is_ready:
        step(browser, export)


def files_of(browser, export):
    answer = browser.get(page(export, "case_export_zip"))
    with zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content))) as archive:
        return {name: archive.read(name).decode() for name in archive.namelist()}


def words(answer):
    return " ".join(answer.content.decode().split())


def restrict(case, *, by):
    today = timezone.localdate()
    return Restriction.objects.create(
        patient=case.patient, reason="In dispute.", since=today, placed_by=by
    )


def test_the_file_holds_what_the_command_writes(browser, lead, manager, tmp_path):
    create_case(lead=lead)
    create_full_record(lead=lead)
    export = ask_for(browser)
    write_all(browser, export)
    export_all(manager, tmp_path / "out", told=lambda *_far: None)

    files = files_of(browser, export)
    assert files.keys() == {path.name for path in (tmp_path / "out").iterdir()}
    for name in files.keys() - {"manifest.json"}:
        assert files[name] == (tmp_path / "out" / name).read_text()
    written = json.loads((tmp_path / "out/manifest.json").read_text())
    assert json.loads(files["manifest.json"])["output"] == written["output"]


def test_each_step_says_how_far_it_is(browser, lead):
    create_case(lead=lead), create_case(lead=lead)
    export = ask_for(browser)
    first, second = step(browser, export, **HTMX), step(browser, export, **HTMX)

    assert "1 of 2 cases are written" in words(first)
    assert second["HX-Redirect"] == page(export)
    assert "<strong>2 cases</strong> are in the file." in words(browser.get(page(export)))


def test_each_case_is_noted_before_the_file_leaves_and_the_file_too(browser, lead, manager):
    cases = [create_case(lead=lead), create_case(lead=lead)]
    export = ask_for(browser)
    write_all(browser, export)
    noted = AuditEvent.objects.filter(verb="exported", object_type="case")
    patients = {(case.pk, case.patient_id, manager.pk) for case in cases}
    assert set(noted.values_list("object_id", "patient_key", "actor")) == patients

    files_of(browser, export)
    assert AuditEvent.objects.filter(verb="exported", object_type="caseexport").count() == 1


@pytest.mark.parametrize(
    ("chosen", "meant"),
    [
        ({"which": "all"}, {"old", "new", "closed"}),
        ({"which": "open"}, {"old", "new"}),
        ({"which": "closed"}, {"closed"}),
        ({"which": "all", "since": "2026-02-02"}, {"new", "closed"}),
        ({"which": "open", "until": "2026-02-02"}, {"old"}),
        ({"which": "all", "since": "2026-02-02", "until": "2026-02-02"}, {"closed"}),
    ],
)
def test_open_or_closed_and_when_it_was_opened_is_chosen(browser, lead, chosen, meant):
    cases = {
        "old": create_case(lead=lead, onset="2026-01-01", opened="2026-02-01"),
        "new": create_case(lead=lead, onset="2026-01-01", opened="2026-02-03"),
        "closed": create_case(lead=lead, onset="2026-01-01", opened="2026-02-02"),
    }
    cases["closed"].close(Case.Status.DISCHARGED, on=timezone.localdate(), reason="Done.")

    export = ask_for(browser, **chosen)

    asked = set(export.cases.values_list("case", flat=True))
    assert asked == {cases[name].pk for name in meant}


def test_days_the_wrong_way_round_and_no_case_at_all_are_refused(browser, lead):
    create_case(lead=lead)
    asked = {"which": "open", "since": "2026-02-03", "until": "2026-02-02"}
    wrong, nothing = browser.post(PAGE, asked), browser.post(PAGE, {"which": "closed"})

    assert (wrong.status_code, nothing.status_code) == (422, 422)
    assert "The last day is before the first." in words(wrong)
    assert "No case fits. Choose others, or other days." in words(nothing)
    assert not CaseExport.objects.exists()


def test_a_restricted_record_stays_also_where_it_was_restricted_meanwhile(browser, lead):
    before, meanwhile, leaves = (create_case(lead=lead) for _number in range(3))
    restrict(before, by=lead)
    export = ask_for(browser)
    write_all(browser, export)
    restrict(meanwhile, by=lead)

    files = files_of(browser, export)
    assert files["Condition.ndjson"].count("\n") == 1
    assert leaves.patient.family_name in files["Patient.ndjson"]
    told = words(browser.get(page(export)))
    assert "2 cases of restricted records are left out." in told
    noted = AuditEvent.objects.filter(verb="exported", object_type="case")
    assert not noted.filter(object_id=before.pk).exists()


def test_an_export_that_is_stopped_leaves_nothing_and_goes_no_further(browser, lead):
    create_case(lead=lead), create_case(lead=lead)
    export = ask_for(browser)
    step(browser, export)

    browser.post(page(export, "case_export_remove"))
    step(browser, export)

    assert not ExportedCase.objects.exists()
    assert browser.get(page(export, "case_export_zip")).status_code == 404
    assert "Nothing of the file is left here." in words(browser.get(page(export)))
    assert AuditEvent.objects.filter(verb="stopped", object_id=export.pk).count() == 1


def test_a_case_that_was_written_when_it_was_stopped_is_not_kept_and_not_noted(
    browser, lead, monkeypatch
):
    create_case(lead=lead)
    export = ask_for(browser)
    gathered = stepwise.resources_of

    def stopped_meanwhile(number):
        ExportedCase.objects.all().delete()
        return gathered(number)

    one = export.next_case
    monkeypatch.setattr(stepwise, "resources_of", stopped_meanwhile)
    stepwise.write_one(one, by=lead)

    assert not AuditEvent.objects.filter(verb="exported").exists()


def test_a_file_that_nobody_fetched_goes_with_the_next_one(browser, lead):
    create_case(lead=lead)
    export = ask_for(browser)
    write_all(browser, export)
    CaseExport.objects.update(made_at=timezone.now() - 2 * WAITS)

    ask_for(browser)

    assert not ExportedCase.objects.filter(export=export).exists()


def test_whoever_is_erased_goes_out_of_a_file_that_waits(browser, lead):
    gone = create_case(lead=lead, onset="2010-01-01", opened="2010-02-01")
    stays = create_case(lead=lead)
    gone.close(Case.Status.DISCHARGED, on=gone.opened, reason="Done.")
    export = ask_for(browser)
    write_all(browser, export)

    later = timezone.now() + timezone.timedelta(days=30 * 366)
    erase(gone.patient, by=lead, at=later)

    assert list(export.cases.values_list("case", flat=True)) == [stays.pk]


def test_another_clinic_has_no_such_export_and_is_not_in_it(browser, lead, signed_in):
    create_case(lead=lead)
    create_case(lead=create_physiotherapist(clinic=create_clinic()))
    export = ask_for(browser)
    assert export.cases.count() == 1

    stranger = signed_in(create_manager(clinic=create_clinic()))
    for name in ("case_export", "case_export_zip"):
        assert stranger.get(page(export, name)).status_code == 404
    for name in ("case_export_step", "case_export_remove"):
        assert stranger.post(page(export, name)).status_code == 404


def test_five_times_as_many_cases_take_no_more_memory(browser, lead, manager):
    note = "Planing boards. " * 10_000

    def held_mb(how_many):
        for _number in range(how_many):
            create_signed_visit(case=create_case(lead=lead), subjective=note)
        export = ask_for(browser)
        making = max(peak_mb(lambda: _one(export)) for _ in range(export.cases.count()))
        with open("/dev/null", "wb") as file:
            return making, peak_mb(lambda: stepwise.write_archive(export, _Sink(file)))

    def _one(export):
        gc.collect()
        stepwise.write_one(export.next_case, by=manager)

    held_mb(3)  # what is loaded once a process
    few = held_mb(1)
    many = held_mb(16)
    assert all(more < less * 1.2 + 0.1 for less, more in zip(few, many, strict=True))


class _Sink(io.RawIOBase):
    """A file that keeps nothing."""

    def __init__(self, file):
        self.file = file

    def writable(self):
        return True

    def write(self, data):
        return self.file.write(data)
