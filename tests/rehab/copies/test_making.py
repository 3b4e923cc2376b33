"""Asking for a copy, the making of it step by step, and the file that comes of it."""

import hashlib
import io

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from cases.models import Injection
from clinic.models import AuditEvent
from rehab.models import CopyPart, Handout, HandoutFile, RecordCopy
from rehab.models.record_copy import WAITS
from tests.factories.cases import create_case, create_patient, create_signed_visit, create_visit
from tests.factories.clinic import create_front_desk, create_physiotherapist
from tests.factories.rehab import create_issued
from tests.rehab.copies.whole import archive_of, begin_copy, data_of, make_copy, paper_of

pytestmark = pytest.mark.django_db
ASKED = {"receiver": "patient", "to_whom": "", "why": "Asked for on 12 March, by letter."}


@pytest.fixture
def patient(physiotherapist):
    case = create_case(lead=physiotherapist)
    create_signed_visit(case=case, subjective="Hurts when planing boards.")
    create_issued(case=case)
    return case.patient


def ask(browser, patient, **typed):
    return browser.post(reverse("rehab:record_copy_new", args=[patient.pk]), ASKED | typed)


def step(browser, copy, **headers):
    return browser.post(reverse("rehab:record_copy_step", args=[copy.pk]), **headers)


def fetch(browser, copy):
    return browser.get(reverse("rehab:record_copy_zip", args=[copy.pk]))


def events(copy) -> list[tuple[str, str]]:
    told = AuditEvent.objects.filter(object_type="recordcopy", object_id=copy.pk).order_by("pk")
    return [(event.verb, event.actor.username) for event in told]


def test_a_copy_is_made_part_by_part_and_fetched(browser, patient, physiotherapist):
    answer = ask(browser, patient)
    copy = RecordCopy.objects.get()
    assert answer.url == reverse("rehab:record_copy", args=[copy.pk])
    assert fetch(browser, copy).status_code == 404

    for done in range(1, copy.total + 1):
        step(browser, copy)
        assert copy.done == done
    copy.refresh_from_db()
    file = b"".join(fetch(browser, copy).streaming_content)

    assert hashlib.sha256(file).hexdigest() == copy.sha256
    assert len(file) == copy.size
    who = physiotherapist.username
    assert events(copy) == [
        ("asked for", who), ("was refused", who), ("made ready", who), ("exported", who),
    ]  # fmt: skip


def test_the_page_asks_for_the_next_part_and_at_the_end_for_the_page(browser, patient):
    ask(browser, patient)
    copy = RecordCopy.objects.get()
    shown = browser.get(reverse("rehab:record_copy", args=[copy.pk])).content.decode()
    assert f"0 of {copy.total} parts are made" in shown

    answers = [step(browser, copy, headers={"HX-Request": "true"}) for _ in range(copy.total)]

    assert f"1 of {copy.total} parts are made" in answers[0].content.decode()
    assert answers[-1]["HX-Redirect"] == reverse("rehab:record_copy", args=[copy.pk])


def test_pages_and_data_say_the_same(physiotherapist, patient):
    archive = archive_of(make_copy(patient, by=physiotherapist))

    assert archive.namelist() == ["record.pdf", "record.json", "layout.txt"]
    assert "Hurtswhenplaningboards." in paper_of(archive)
    visits = next(part for part in data_of(archive)["parts"] if part["kind"] == "visits")
    assert visits["rows"][0]["subjective"] == "Hurts when planing boards."
    pages = PdfReader(io.BytesIO(archive.read("record.pdf"))).pages
    assert all(patient.record in page.extract_text() for page in pages)


def test_the_sheets_are_in_it_as_they_were_given(physiotherapist, patient):
    program = patient.cases.get().programs.get()
    kept = Handout.objects.keep(
        b"%PDF-1.4 as it was", kind=Handout.Kind.HOME_PROGRAM, about=program,
        language="en", name="home-program.pdf", by=physiotherapist,
    )  # fmt: skip
    archive = archive_of(make_copy(patient, by=physiotherapist))

    (name,) = [name for name in archive.namelist() if name.startswith("sheets/")]
    assert name.startswith(f"sheets/{kept.pk}-")
    assert name.endswith("-home-program.pdf")
    assert archive.read(name) == b"%PDF-1.4 as it was"


def test_a_sheet_that_was_altered_is_named_and_holds_up_nothing(physiotherapist, patient):
    file = HandoutFile.objects.create(
        clinic=patient.clinic, sha256="0" * 64, content=b"not what was handed out"
    )
    Handout.objects.create(
        patient=patient, kind="diary page", printed_by=physiotherapist, language="en",
        name="diary.pdf", sha256="1" * 64, size=3, file=file,
    )  # fmt: skip
    archive = archive_of(make_copy(patient, by=physiotherapist))

    (name,) = [name for name in archive.namelist() if name.startswith("sheets/")]
    assert b"not those that were handed out" in archive.read(name)


def test_a_name_that_the_type_lacks_is_spelled_and_whole_in_the_data(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, family_name="王")
    archive = archive_of(make_copy(patient, by=physiotherapist))

    assert "[U+738B]" in paper_of(archive)
    assert data_of(archive)["parts"][0]["rows"][0]["family_name"] == "王"


def test_who_has_looked_is_in_it(browser, physiotherapist, patient):
    browser.get(reverse("cases:patient", args=[patient.pk]))
    archive = archive_of(make_copy(patient, by=physiotherapist))

    (trail,) = [part for part in data_of(archive)["parts"] if part["kind"] == "trail"]
    looked = [row for row in trail["rows"] if row["object_type"] == "patient"]
    assert [(row["verb"], row["object_id"]) for row in looked] == [("opened", patient.pk)]
    assert looked[0]["actor"] == {"id": physiotherapist.pk, "name": str(physiotherapist)}


def test_what_it_said_before_is_in_it(physiotherapist, patient):
    case = patient.cases.get()
    Injection.objects.create(case=case, given_on="2026-01-02", substance="other").delete()
    case.set_due("2026-03-12")
    archive = archive_of(make_copy(patient, by=physiotherapist))

    (part,) = [part for part in data_of(archive)["parts"] if part["kind"] == "changes"]
    told = [(row["table_name"], row["kind"], row["before"], row["after"]) for row in part["rows"]]
    due = {"due_on": None}, {"due_on": "2026-03-12"}
    assert ("cases_case", "changed", *due) in told
    (removed,) = [before for table, _kind, before, _after in told if table == "cases_injection"]
    assert (removed["case_id"], removed["given_on"]) == (case.pk, "2026-01-02")
    assert "given_on:2026-01-02" in paper_of(archive)


def test_a_long_text_that_was_removed_runs_over_pages(physiotherapist, patient):
    visit = create_visit(case=patient.cases.get(), subjective="Hurts when planing. " * 300)
    visit.delete()
    archive = archive_of(make_copy(patient, by=physiotherapist))

    assert paper_of(archive).count("Hurtswhenplaning.") >= 298  # two may be cut by a page's end


def test_a_stranger_is_named_with_the_address(browser, patient):
    answer = ask(browser, patient, receiver="payer")

    assert answer.status_code == 422
    assert "Write who gets it, with the address." in answer.content.decode()
    assert not RecordCopy.objects.exists()
    ask(browser, patient, receiver="payer", to_whom="Harbor Mutual, 3 Quay")
    assert RecordCopy.objects.get().to_whom == "Harbor Mutual, 3 Quay"


def test_what_is_removed_leaves_for_whom_and_why(browser, patient, physiotherapist):
    copy = make_copy(patient, by=physiotherapist)
    browser.post(reverse("rehab:record_copy_remove", args=[copy.pk]))

    assert not CopyPart.objects.exists()
    assert fetch(browser, copy).status_code == 404
    shown = browser.get(reverse("rehab:rights", args=[patient.pk])).content.decode()
    assert "Asked for by letter." in shown
    assert "removed" in shown


def test_a_copy_that_nobody_fetched_goes_when_the_next_is_asked_for(
    browser, patient, physiotherapist
):
    old = make_copy(patient, by=physiotherapist)
    late = begin_copy(patient, by=physiotherapist)
    RecordCopy.objects.filter(pk=late.pk).update(made_at=timezone.now() - 2 * WAITS)
    ask(browser, patient)

    assert RecordCopy.objects.get(pk=late.pk).removed_at is not None
    assert RecordCopy.objects.get(pk=old.pk).can_be_fetched


def test_the_front_desk_gives_out_no_record(signed_in, patient):
    browser = signed_in(create_front_desk(clinic=patient.clinic))
    copy = make_copy(patient, by=patient.cases.get().lead)

    assert ask(browser, patient).status_code == 403
    assert fetch(browser, copy).status_code == 403
    assert step(browser, copy).status_code == 403
    assert browser.get(reverse("rehab:rights", args=[patient.pk])).status_code == 403


def test_another_clinic_has_no_such_patient_and_no_such_copy(signed_in, patient):
    copy = make_copy(patient, by=patient.cases.get().lead)
    browser = signed_in(create_physiotherapist())

    assert ask(browser, patient).status_code == 404
    for name in ("record_copy", "record_copy_zip"):
        assert browser.get(reverse(f"rehab:{name}", args=[copy.pk])).status_code == 404
    for name in ("record_copy_step", "record_copy_remove"):
        assert browser.post(reverse(f"rehab:{name}", args=[copy.pk])).status_code == 404


def test_a_copy_that_is_stopped_leaves_nothing_and_is_not_made_any_further(browser, patient):
    ask(browser, patient)
    copy = RecordCopy.objects.get()
    step(browser, copy)

    browser.post(reverse("rehab:record_copy_remove", args=[copy.pk]))
    step(browser, copy)

    assert not CopyPart.objects.exists()
    assert RecordCopy.objects.get().ready_at is None
    page = browser.get(reverse("rehab:record_copy", args=[copy.pk])).content.decode()
    assert "Nothing of it is left" in page
    assert fetch(browser, copy).status_code == 404
