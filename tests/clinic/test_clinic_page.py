"""The clinic's own settings."""

import pytest

from clinic.models import AuditEvent, Clinic
from tests.factories.clinic import create_clinic
from tests.pages import typed

URL = "/clinic/"


@pytest.fixture
def desk(manager, signed_in):
    return signed_in(manager)


def test_what_is_saved_is_this_clinics_and_the_trail_names_the_fields_alone(desk, manager):
    other = create_clinic()

    answer = desk.post(URL, typed(desk.get(URL), name="Harbor Lane Clinic", paper="letter"))

    manager.clinic.refresh_from_db()
    assert (answer.status_code, answer.url) == (302, URL)
    assert (manager.clinic.name, manager.clinic.paper) == ("Harbor Lane Clinic", "letter")
    assert Clinic.objects.get(pk=other.pk).name == other.name
    event = AuditEvent.objects.get(verb="changed", object_type="clinic")
    assert event.detail == {"fields": ["name", "paper"]}


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("name", "", "This field is required."),
        ("email", "harbor", "Enter a valid email address."),
        ("time_zone", "Mars/Olympus", "Select a valid choice."),
        ("paper", "A5", "Select a valid choice."),
        ("grip_rest_s", "45", "Select a valid choice."),
    ],
)
def test_a_wrong_setting_is_answered_at_its_field(desk, manager, field, value, sentence):
    answer = desk.post(URL, typed(desk.get(URL), {field: value}))

    assert (answer.status_code, list(answer.context["form"].errors)) == (422, [field])
    assert answer.context["form"].errors[field][0].startswith(sentence)


def test_two_who_change_the_settings_see_both_versions(desk, manager):
    page = desk.get(URL)
    Clinic.objects.filter(pk=manager.clinic_id).update(phone="+44 1632 960999")

    answer = desk.post(URL, typed(page, phone="+44 1632 960111"))

    shown = [(one.theirs, one.mine) for one in answer.context["form"].conflicts]
    assert (answer.status_code, shown) == (422, [("+44 1632 960999", "+44 1632 960111")])


@pytest.mark.parametrize("who", ["physiotherapist", "front_desk"])
def test_only_a_manager_opens_the_settings(request, signed_in, who):
    assert signed_in(request.getfixturevalue(who)).get(URL).status_code == 403


def test_settings_are_not_deleted(desk):
    assert desk.delete(URL).status_code == 405
