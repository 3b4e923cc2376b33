"""The number of a request: read out on the phone, found in the log and in the audit trail."""

import datetime
import re

import pytest

from clinic.models import AuditEvent, Change
from clinic.reference import LONGEST, SIGNS, as_typed, new_reference
from tests.factories.cases import create_case, create_patient


def test_a_reference_has_no_sign_that_is_mistaken_for_another():
    assert re.fullmatch(rf"[{SIGNS}]{{4}}(-[{SIGNS}]{{4}}){{2}}", new_reference())
    assert set("01OIL") & set(SIGNS) == set()
    assert len({new_reference() for _number in range(1000)}) == 1000


@pytest.mark.parametrize("later", [1, 31, 86_400, 400 * 86_400])
def test_a_later_one_sorts_behind_so_an_index_grows_at_its_end(monkeypatch, later):
    at = datetime.datetime(2026, 3, 2, tzinfo=datetime.UTC).timestamp()
    monkeypatch.setattr("clinic.reference.time.time", lambda: at)
    before = new_reference()
    monkeypatch.setattr("clinic.reference.time.time", lambda: at + later)

    assert before < new_reference()


@pytest.mark.parametrize(
    "typed", ["4KQ2-M9TD-7HXA", "4kq2-m9td-7hxa", "4KQ2 M9TD 7HXA", " 4kq2m9td7hxa "]
)
def test_it_is_known_however_it_is_typed(typed):
    assert as_typed(typed) == "4KQ2-M9TD-7HXA"


@pytest.mark.parametrize("older", ["0198f3a2b7c1d4e5", "4KQ2-M9TD-7HX0", ""])
def test_what_has_another_form_stays_as_it_was_typed(older):
    assert as_typed(f" {older} ") == older


@pytest.mark.parametrize("model", [AuditEvent, Change])
def test_it_fits_where_the_trail_keeps_it(model):
    assert model._meta.get_field("request").max_length >= LONGEST == len(new_reference())


def test_answer_event_and_change_of_one_request_have_one_number(signed_in, front_desk):
    case = create_case(patient=create_patient(clinic=front_desk.clinic))
    told = {"outcome": "message", "note": "Left a message."}
    answer = signed_in(front_desk).post(f"/cases/{case.pk}/calls/", told)

    event, change = AuditEvent.objects.latest("pk"), Change.objects.latest("pk")
    assert (event.object_type, change.table_name) == ("case", "cases_contact")
    assert event.request == change.request == answer["X-Request-ID"]
