"""One member of staff: role, account, and what is booked with them."""

import datetime

import pytest
from axes.models import AccessAttempt
from django.test import Client
from django.utils import timezone

from cases.models import CalendarKey
from clinic.models import AuditEvent, Staff
from tests.cases.conftest import at
from tests.factories.cases import create_appointment
from tests.factories.clinic import PASSWORD, create_manager
from tests.pages import typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(manager, signed_in):
    return signed_in(manager)


def page_of(staff, *more):
    return "/".join(["/staff", str(staff.pk), *more, ""])


def save(desk, staff, **changes):
    values = typed(desk.get(page_of(staff)))
    # A box that is not ticked is not sent.
    sent = {name: value for name, value in (values | changes).items() if value is not False}
    return desk.post(page_of(staff), sent)


def again(staff):
    return Staff.objects.get(pk=staff.pk)


def trail():
    return [(e.actor, e.verb, e.object_id, e.detail) for e in AuditEvent.objects.order_by("pk")]


def test_what_is_known_of_somebody_can_be_changed(desk, manager, physiotherapist):
    changes = {
        "first_name": "Nora",
        "last_name": "Strand",
        "email": "nora@example.org",
        "role": "manager",
        "treats": False,
        "registration_number": "PH-2002",
    }

    answer = save(desk, physiotherapist, **changes)

    kept = Staff.objects.values(*changes).get(pk=physiotherapist.pk)
    assert (answer.status_code, answer.url, kept) == (302, "/staff/", changes)
    fields = ["email", "first_name", "last_name", "registration_number", "role", "treats"]
    detail = {"fields": fields, "role": "manager"}
    assert trail() == [(manager, "changed", physiotherapist.pk, detail)]


def test_a_save_that_changes_nothing_leaves_no_trace(desk, physiotherapist):
    save(desk, physiotherapist)

    assert trail() == []


def test_a_physiotherapist_sees_patients_whatever_is_ticked(desk, physiotherapist):
    save(desk, physiotherapist, treats=False, last_name="Strand")

    assert again(physiotherapist).treats is True


@pytest.mark.parametrize(
    ("changes", "errors"),
    [
        ({"last_name": " "}, {"last_name": ["Enter the family name."]}),
        ({"role": ""}, {"role": ["Choose a role."]}),
        (
            {"email": "nora"},
            {"email": ["Enter the e-mail address in full, for example ida@example.org."]},
        ),
        (
            {"role": "front desk", "treats": "on"},
            {"__all__": ["Front desk can't be booked as a practitioner."]},
        ),
    ],
)
def test_what_can_not_be_is_answered_at_its_field(desk, physiotherapist, changes, errors):
    answer = save(desk, physiotherapist, **changes)

    assert (answer.status_code, answer.context["form"].errors) == (422, errors)
    assert str(physiotherapist) in answer.content.decode()
    assert again(physiotherapist).role == "physiotherapist"


def test_a_role_that_does_not_exist_is_refused(desk, physiotherapist):
    assert list(save(desk, physiotherapist, role="owner").context["form"].errors) == ["role"]


def test_a_save_that_comes_too_late_shows_both(desk, physiotherapist):
    opened = typed(desk.get(page_of(physiotherapist)), last_name="Strand")
    Staff.objects.filter(pk=physiotherapist.pk).update(last_name="Vik")

    late = desk.post(page_of(physiotherapist), opened)

    conflicts = [(row.theirs, row.mine) for row in late.context["form"].conflicts]
    assert (late.status_code, conflicts) == (422, [("Vik", "Strand")])
    assert again(physiotherapist).last_name == "Vik"


def test_a_new_role_holds_with_the_next_page(desk, physiotherapist):
    theirs = Client()
    theirs.force_login(physiotherapist)
    assert theirs.get("/caseload/").status_code == 200

    save(desk, physiotherapist, role="front desk", treats=False)

    assert theirs.get("/caseload/").status_code == 403


def test_the_only_manager_stays_one(desk, manager):
    answer = save(desk, manager, role="front desk")

    sentence = "Nobody else manages the clinic. Make somebody else a manager first."
    assert answer.context["form"].errors == {"role": [sentence]}
    assert again(manager).role == "manager"


def test_a_manager_whose_account_is_closed_does_not_count(desk, manager):
    create_manager(clinic=manager.clinic, is_active=False)
    create_manager()

    assert save(desk, manager, role="front desk").status_code == 422


def test_one_of_two_managers_may_stop_being_one(desk, manager):
    create_manager(clinic=manager.clinic)

    answer = save(desk, manager, role="front desk")

    assert (answer.url, again(manager).role) == ("/account/", "front desk")


def test_closing_an_account_ends_its_sessions_at_once(desk, manager, physiotherapist):
    theirs = Client()
    theirs.force_login(physiotherapist)
    theirs.get("/")

    answer = desk.post(page_of(physiotherapist, "close"))

    assert (answer.status_code, answer.url) == (302, "/staff/")
    assert theirs.get("/").url == "/sign-in/?next=/"
    assert trail() == [(manager, "closed the account", physiotherapist.pk, {})]


def test_a_closed_account_opens_to_nobody(desk, client, physiotherapist):
    desk.post(page_of(physiotherapist, "close"))
    fields = {"username": physiotherapist.username, "password": PASSWORD}

    assert Client().post("/sign-in/", fields).status_code == 200
    assert Client().get("/").status_code == 302


def test_old_sessions_and_the_old_password_do_not_come_back_with_the_account(
    desk, manager, physiotherapist
):
    theirs = Client()
    theirs.force_login(physiotherapist)
    desk.post(page_of(physiotherapist, "close"))

    desk.post(page_of(physiotherapist, "open"))

    assert again(physiotherapist).is_active
    assert theirs.get("/").status_code == 302
    assert not again(physiotherapist).check_password(PASSWORD)
    assert [verb for _actor, verb, _pk, _detail in trail()] == [
        "closed the account",
        "opened the account",
    ]


def test_the_calendar_address_goes_for_good(desk, physiotherapist):
    secret = CalendarKey.objects.give(physiotherapist)
    desk.post(page_of(physiotherapist, "close"))
    desk.post(page_of(physiotherapist, "open"))

    assert not CalendarKey.objects.opened_by(secret).exists()


@pytest.mark.parametrize("others", [0, 1])
def test_nobody_closes_their_own_account(desk, manager, others):
    for _other in range(others):
        create_manager(clinic=manager.clinic)

    for send in (desk.get, desk.post):
        assert send(page_of(manager, "close")).url == page_of(manager)
    assert again(manager).is_active


def test_two_managers_can_not_close_each_other_out(desk, manager, monkeypatch):
    """The other's demotion has come between: the one who is left can't be closed by somebody who was."""
    other = create_manager(clinic=manager.clinic)
    Staff.objects.filter(pk=manager.pk).update(role="front desk")
    monkeypatch.setattr(Staff, "may", lambda self, needed: True)

    desk.post(page_of(other, "close"))

    assert again(other).is_active


@pytest.fixture
def booked(morning, physiotherapist):
    """Tomorrow at nine; it is 12 March 2026, early in the morning."""
    friday = datetime.date(2026, 3, 13)
    return create_appointment(practitioner=physiotherapist, starts_at=at(9, day=friday))


def test_before_closing_it_is_said_what_is_booked(booked, desk, physiotherapist):
    page = desk.get(page_of(physiotherapist, "close"))

    assert page.context["coming"] == 1
    assert "<strong>1 booking</strong> to come is with this person." in page.content.decode()


@pytest.mark.parametrize("how", ["closed", "made a manager"])
def test_whoever_sees_patients_no_more_leaves_bookings_to_be_moved(
    desk, physiotherapist, booked, how
):
    if how == "closed":
        answer = desk.post(page_of(physiotherapist, "close"))
    else:
        answer = save(desk, physiotherapist, role="manager", treats=False)
    listed = desk.get("/book/to-move/").context

    assert answer.url == "/book/to-move/"
    rows = [(row.booking, row.reasons) for row in listed["page"]]
    reason = f"{physiotherapist} sees no patients here any more."
    assert rows == [(booked, (reason,))]
    assert (
        '<a href="/book/to-move/">Move them</a>'
        in desk.get(page_of(physiotherapist)).content.decode()
    )


def test_a_colleague_is_offered_in_their_place(desk, physiotherapist, booked):
    colleague = create_manager(clinic=booked.clinic, treats=True)
    desk.post(page_of(physiotherapist, "close"))

    (move,) = desk.get("/book/to-move/").context["moves"]
    assert {offer.fit.who for offer in move.offers} == {colleague}


def test_a_wait_can_be_lifted(desk, manager, physiotherapist):
    AccessAttempt.objects.create(
        username=physiotherapist.username,
        ip_address="192.0.2.1",
        attempt_time=timezone.now(),
        failures_since_start=5,
    )
    assert "192.0.2.1" in desk.get(page_of(physiotherapist)).content.decode()

    desk.post(page_of(physiotherapist, "let-in"))

    assert desk.get(page_of(physiotherapist)).context["locks"] == []
    assert trail() == [(manager, "let in again", physiotherapist.pk, {})]


@pytest.mark.parametrize("where", [[], ["close"], ["open"], ["let-in"]])
@pytest.mark.parametrize("method", ["get", "post"])
def test_staff_of_another_clinic_do_not_exist(desk, where, method):
    other = create_manager()
    create_manager(clinic=other.clinic)

    answer = getattr(desk, method)(page_of(other, *where), {"last_name": "Mine"})

    assert answer.status_code in ({404} if method == "post" else {404, 405})
    assert (again(other).last_name, again(other).is_active) == (other.last_name, True)


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
@pytest.mark.parametrize("where", [[], ["close"], ["open"], ["let-in"]])
def test_only_a_manager_may(request, signed_in, role, where, manager):
    staff = request.getfixturevalue(role)

    assert signed_in(staff).post(page_of(manager, *where)).status_code == 403
