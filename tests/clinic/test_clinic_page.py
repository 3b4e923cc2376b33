"""The page of the clinic's own details."""

import re

import pytest
from django.urls import reverse

from clinic.models import AuditEvent, Clinic
from clinic.models.clinic import KEPT_YEARS, LENGTHS
from tests.factories.clinic import create_manager
from tests.pages import typed

pytestmark = pytest.mark.django_db

PAGE = "/clinic/"


@pytest.fixture
def desk(signed_in, manager):
    return signed_in(manager)


def send(browser, **changes):
    return browser.post(PAGE, typed(browser.get(PAGE), changes))


def on_record(manager, *names):
    return Clinic.objects.values_list(*names).get(pk=manager.clinic_id)


def test_the_page_opens_with_what_is_on_record(desk, manager):
    form = desk.get(PAGE).context["form"]

    shown = {name: form[name].value() for name in form.fields if name != "opened_with"}
    fields = ("name", "address", "phone", "email", "emergency_phone")
    others = (
        "time_zone",
        "grip_unit",
        "grip_rest_s",
        "paper",
        "diagnosis_codes",
        "snomed_licence",
        "reminder_days",
        "idle_minutes",
        "session_hours",
        "managers_need_code",
    )
    others += (*KEPT_YEARS, "correction_days")
    names = (*fields, *others, *(f"{kind}_minutes" for kind in LENGTHS))
    assert shown == dict(zip(names, on_record(manager, *names), strict=True))


def test_a_unit_stands_beside_its_own_number_alone(desk):
    page = desk.get(PAGE).content.decode()

    assert [page.count(f">{unit}<") for unit in ("minutes", "hours")] == [1, 1]


def test_every_detail_can_be_changed(desk, manager):
    changes = {
        "name": "Boathouse Physiotherapy",
        "address": "2 Slip Lane\nSaltmere",
        "phone": "+44 1632 960111",
        "email": "hello@boathouse.example.org",
        "emergency_phone": "999",
        "time_zone": "America/Argentina/Ushuaia",
        "grip_unit": "lbf",
        "grip_rest_s": 60,
        "paper": "letter",
        "diagnosis_codes": "icd-10-cm",
        "snomed_licence": "Affiliate 123",
        "first_minutes": 60,
        "follow_up_minutes": 20,
        "review_minutes": 25,
        "discharge_minutes": 15,
        "reminder_days": 7,
        "idle_minutes": 15,
        "session_hours": 9,
        "managers_need_code": True,
        "adult_years": 10,
        "child_until_age": 21,
        "child_until_age_if_17": 22,
        "correction_days": 60,
    }

    answer = send(desk, **changes)

    assert (answer.status_code, answer.url) == (302, PAGE)
    assert on_record(manager, *changes) == tuple(changes.values())


def test_the_trail_says_which_details_changed_and_not_to_what(desk, manager):
    send(desk, phone="+44 1632 960111", paper="letter")

    event = AuditEvent.objects.get(verb="changed")
    assert (event.actor, event.object_type, event.object_id, event.detail) == (
        manager,
        "clinic",
        manager.clinic_id,
        {"fields": ["paper", "phone"]},
    )


def test_a_save_that_changes_nothing_leaves_no_trace(desk):
    send(desk)

    assert not AuditEvent.objects.filter(verb="changed").exists()


def test_the_address_loses_its_blank_lines(desk, manager):
    send(desk, address=" 2 Slip Lane \r\n\r\nSaltmere\r\n")

    assert on_record(manager, "address") == ("2 Slip Lane\nSaltmere",)


@pytest.mark.parametrize(
    ("field", "text", "error"),
    [
        ("name", "", "Enter the name of the clinic."),
        ("address", " ", "Enter the address."),
        ("address", "a\nb\nc\nd\ne\nf", "Use at most 5 lines for the address."),
        ("phone", "", "Enter the phone number."),
        ("phone", "ask", "Enter the phone number in digits, for example +44 1632 960100."),
        ("emergency_phone", "", "Enter the number to call in an emergency."),
        ("emergency_phone", "help", "Enter the emergency number in digits, for example 112."),
        ("email", "desk", "Enter the e-mail address in full, for example desk@example.org."),
        ("first_minutes", "", "Enter the minutes."),
        ("review_minutes", "half", "Enter whole minutes."),
        ("review_minutes", "-30", "An appointment takes at least 5 minutes."),
        ("review_minutes", "4", "An appointment takes at least 5 minutes."),
        ("discharge_minutes", "241", "An appointment takes at most 240 minutes."),
        ("discharge_minutes", "99999", "An appointment takes at most 240 minutes."),
    ],
)
def test_a_detail_that_can_not_be_is_answered_at_its_field(desk, manager, field, text, error):
    before = on_record(manager, field)

    answer = send(desk, **{field: text})

    assert (answer.status_code, answer.context["form"].errors) == (422, {field: [error]})
    assert on_record(manager, field) == before


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("time_zone", "Europe/Saltmere"),
        ("paper", "A5"),
        ("grip_rest_s", 45),
        ("grip_unit", "oz"),
        ("reminder_days", 4),
    ],
)
def test_a_choice_that_does_not_exist_is_refused(desk, field, value):
    assert list(send(desk, **{field: value}).context["form"].errors) == [field]


def test_settings_are_not_deleted(desk):
    assert desk.delete(PAGE).status_code == 405


def test_zones_are_found_by_their_place(desk):
    groups = dict(desk.get(PAGE).context["form"].fields["time_zone"].choices)

    assert ("Europe/Madrid", "Madrid") in groups["Europe"]
    assert ("America/New_York", "New York") in groups["America"]


def test_a_zone_on_record_that_the_list_lacks_stays(desk, manager):
    Clinic.objects.filter(pk=manager.clinic_id).update(time_zone="Etc/GMT+3")

    send(desk, phone="+44 1632 960111")

    assert on_record(manager, "time_zone", "phone") == ("Etc/GMT+3", "+44 1632 960111")


def test_a_refused_name_does_not_stand_at_the_head_of_the_page(desk, manager):
    page = send(desk, name="Boathouse", phone="")

    assert page.context["clinic"].name == manager.clinic.name


@pytest.fixture
def late(desk, manager):
    """A save of a page that was opened before somebody else saved."""
    opened = typed(desk.get(PAGE), phone="+44 1632 960111")
    Clinic.objects.filter(pk=manager.clinic_id).update(phone="+44 1632 960222")
    return desk.post(PAGE, opened)


def test_a_save_that_comes_too_late_shows_both_and_overwrites_nothing(late, manager):
    conflicts = [(row.theirs, row.mine) for row in late.context["form"].conflicts]

    assert (late.status_code, conflicts) == (422, [("+44 1632 960222", "+44 1632 960111")])
    assert on_record(manager, "phone") == ("+44 1632 960222",)


def test_after_comparing_the_same_save_is_a_choice(desk, late, manager):
    desk.post(PAGE, typed(late))

    assert on_record(manager, "phone") == ("+44 1632 960111",)


@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
def test_only_a_manager_opens_the_page(request, signed_in, role, status):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == status


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
def test_nobody_else_changes_the_clinic(request, signed_in, role):
    staff = request.getfixturevalue(role)

    answer = signed_in(staff).post(PAGE, {"name": "Mine"})

    assert answer.status_code == 403
    assert Clinic.objects.get(pk=staff.clinic_id).name != "Mine"


def test_a_manager_changes_no_other_clinic(desk):
    other = create_manager()
    before = on_record(other, "name")

    send(desk, name="Boathouse")

    assert on_record(other, "name") == before


@pytest.mark.parametrize(("role", "links"), [("manager", 1), ("physiotherapist", 0)])
def test_only_a_manager_is_led_there(request, signed_in, role, links):
    page = signed_in(request.getfixturevalue(role)).get("/").content.decode()

    assert page.count('<a href="/clinic/"') == links


def test_the_page_costs_few_queries(desk, django_assert_num_queries):
    with django_assert_num_queries(2):
        desk.get(PAGE)


def test_each_number_has_its_own_unit(desk):
    """Years and birthdays say what they count in their label."""
    main = desk.get(PAGE).content.decode().split("</main>")[0]
    units = re.findall(r'class="unit"[^>]*>([^<]+)<', main)

    assert units == ["minutes", "hours"]


def test_the_other_pages_of_the_clinic_come_before_its_long_form(desk):
    page = desk.get(PAGE).content.decode()
    names = ("clinic:staff", "cases:hours", "cases:closed_days", "cases:displays", "clinic:backups")

    first_field = page.index('name="name"')
    assert all(page.index(f'<a href="{reverse(name)}"') < first_field for name in names)
