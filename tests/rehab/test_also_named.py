"""Erasing finds the patient where no key leads: in forms that wait for their typist, in rows of files."""

import datetime
import re
from urllib.parse import urlencode

import pytest
from django.urls import URLResolver, get_resolver
from django.utils import timezone

from cases.models import Import, ImportRow
from clinic.models import HeldForm
from rehab.erasing import MayNotGo, counted, erase
from rehab.refusals import ROWS
from tests.browser.at_work import an_import
from tests.factories.cases import create_case, create_patient, create_visit
from tests.factories.clinic import create_physiotherapist

pytestmark = pytest.mark.django_db

# Of these the number is no row of one patient's.
NOBODYS = {"audit/", "calendar/", "case-exports/", "displays/", "import/", "packs/", "staff/"}


@pytest.fixture
def patient(manager):
    """Whose record may go in nine years, with a visit that was begun and never written."""
    born = datetime.date(1990, 4, 5)
    return create_patient(clinic=manager.clinic, given_name="Kari", family_name="Strand", born=born)


def hold(staff, path, **typed) -> HeldForm:
    HeldForm.objects.hold(staff.pk, path, urlencode(typed))
    return HeldForm.objects.get(staff=staff, path=path)


def gone(patient, by):
    return erase(patient, by=by, at=timezone.now() + datetime.timedelta(days=9 * 366))


def closed_visit(patient, lead):
    case = create_case(lead=lead, patient=patient)
    visit = create_visit(case=case)
    case.close("discharged", on=timezone.localdate(), reason="Goals met.")
    return visit


def test_what_was_typed_about_the_patient_goes_with_the_record(
    patient, manager, physiotherapist, front_desk
):
    visit = closed_visit(patient, physiotherapist)
    hold(physiotherapist, f"/visits/{visit.pk}/notes/", plan="Go on.")
    hold(front_desk, f"/patients/{patient.pk}/edit/", phone="+44 1632 960999")
    hold(front_desk, "/book/new/", patient=patient.pk, day="2026-03-12")
    hold(manager, "/patients/new/", given_name="kari", family_name="STRAND")

    assert counted(patient)["held forms"] == 4
    gone(patient, manager)
    assert not HeldForm.objects.exists()


def test_what_was_typed_about_anybody_else_stays(patient, manager, physiotherapist, front_desk):
    visit = closed_visit(patient, physiotherapist)
    other = create_patient(clinic=manager.clinic, family_name="Strandberg", given_name="Kari")
    stranger = create_physiotherapist()
    kept = [
        hold(physiotherapist, f"/cases/{visit.case_id + 1}/calls/", note="Kari called."),
        hold(
            front_desk, f"/patients/{other.pk}/edit/", given_name="Kari", family_name="Strandberg"
        ),
        hold(front_desk, "/book/new/", patient=other.pk),
        hold(manager, f"/staff/{patient.pk}/", last_name="Strand"),
        hold(stranger, "/patients/new/", given_name="Kari", family_name="Strand"),
    ]
    gone(patient, manager)

    assert set(HeldForm.objects.all()) == set(kept)


def test_rows_of_a_file_that_were_left_out_go_by_name_and_birth_date(patient, manager):
    run = an_import(manager, ends="done")
    left = run.rows.exclude(state="brought").filter(name__contains="kari")
    assert [row.patient for row in left] != []
    others = set(run.rows.exclude(born=patient.born))

    gone(patient, manager)

    assert set(ImportRow.objects.filter(run=run, patient=None, born=patient.born)) == set()
    assert others <= set(run.rows.all())


@pytest.mark.parametrize("ends", ["open", "checked"])
def test_a_file_that_waits_keeps_the_record_until_it_is_cancelled(patient, manager, ends):
    run = an_import(manager, ends=ends)

    with pytest.raises(MayNotGo) as refusal:
        gone(patient, manager)
    assert ["A file that waits" in str(reason) for reason in refusal.value.reasons] == [True]

    run.finish(Import.State.CANCELLED)
    gone(patient, manager)
    assert not ImportRow.objects.filter(name__contains="kari").exists()


def test_a_file_of_others_that_was_read_keeps_nobody(manager):
    other = create_patient(clinic=manager.clinic, born=datetime.date(1970, 1, 1))
    an_import(manager, ends="checked")

    gone(other, manager)


def addresses(resolver=None, before=""):
    for entry in (resolver or get_resolver()).url_patterns:
        path = f"{before}{entry.pattern}"
        yield from addresses(entry, path) if isinstance(entry, URLResolver) else [path]


def test_every_kind_of_address_is_known_or_is_nobodys():
    kinds = {match[1] for path in addresses() if (match := re.match(r"([a-z-]+/)<int:", path))}

    assert kinds - set(ROWS) - NOBODYS == set()
    assert set(ROWS) <= kinds
