"""When who signed in from where, and what was tried in vain (OWASP ASVS 5.0, 16.3.1)."""

import datetime
import io

import pytest
from django.core.management import call_command
from django.utils import timezone

from clinic.models import Invitation, ResetRequest, SignIn
from tests.factories.clinic import PASSWORD, create_front_desk, create_invitation, create_manager

pytestmark = pytest.mark.django_db

FIREFOX = "Mozilla/5.0 (Windows NT 10.0; rv:140.0) Gecko/20100101 Firefox/140.0"
OWN, ALL = "/account/sign-ins/", "/staff/sign-ins/"


def attempt(client, name, password=PASSWORD, address="192.0.2.1"):
    fields = {"username": getattr(name, "username", name), "password": password}
    headers = {"User-Agent": FIREFOX}
    return client.post("/sign-in/", fields, REMOTE_ADDR=address, headers=headers)


def kept():
    names = ("clinic", "staff", "outcome", "address", "browser")
    return list(SignIn.objects.order_by("pk").values_list(*names))


def create_sign_in(staff, outcome="in", *, days_ago=0):
    at = timezone.now() - datetime.timedelta(days=days_ago)
    return SignIn.objects.create(staff=staff, clinic=staff.clinic, outcome=outcome, at=at)


def shown(client, address, **query):
    return list(client.get(address, query).context["page"])


def test_a_sign_in_and_one_in_vain_are_kept(client, front_desk):
    attempt(client, front_desk, "wrong")
    attempt(client, front_desk)

    told = ("192.0.2.1", "Firefox on Windows")
    assert kept() == [
        (front_desk.clinic_id, front_desk.pk, "password", *told),
        (front_desk.clinic_id, front_desk.pk, "in", *told),
    ]


def test_behind_a_proxy_the_clients_own_address_is_kept(client, settings, front_desk):
    settings.BEHIND_PROXY = True
    fields = {"username": front_desk.username, "password": PASSWORD}

    client.post("/sign-in/", fields, headers={"X-Forwarded-For": "203.0.113.9, 198.51.100.7"})

    assert SignIn.objects.get().address == "198.51.100.7"


def test_a_name_that_nobody_has_is_not_kept_but_the_attempt_is(client, front_desk):
    attempt(client, PASSWORD, "wrong")

    (row,) = SignIn.objects.values()
    assert (row["staff_id"], row["clinic_id"]) == (None, front_desk.clinic_id)
    assert PASSWORD not in str(row)


def test_among_several_clinics_such_an_attempt_is_nobodys(client, front_desk):
    create_manager()
    attempt(client, "nobody", "wrong")

    assert SignIn.objects.get().clinic is None


def test_a_form_without_name_or_password_is_no_attempt(client, front_desk):
    attempt(client, "", "wrong")
    attempt(client, front_desk, "")

    assert kept() == []


@pytest.mark.parametrize("who", ["known", "unknown"])
def test_while_a_name_has_to_wait_nothing_is_looked_at_or_kept(client, who):
    create_front_desk(username="known")
    for _try in range(8):
        attempt(client, who, "wrong")

    assert len(kept()) == 5


def test_each_person_sees_their_own(signed_in, front_desk, physiotherapist):
    create_sign_in(physiotherapist)
    mine = [create_sign_in(front_desk, outcome) for outcome in ("in", "password")]
    client = signed_in(front_desk)

    assert shown(client, OWN) == mine[::-1]
    assert shown(client, OWN, show="failed") == mine[1:]
    assert list(client.get("/account/").context["sign_ins"]) == mine[::-1]


def test_nobody_sees_anothers_by_a_number_in_the_address(signed_in, front_desk, physiotherapist):
    create_sign_in(physiotherapist)

    assert shown(signed_in(front_desk), OWN, who=physiotherapist.pk) == []


def test_a_manager_sees_those_of_the_clinic_and_of_one_person(
    signed_in, manager, front_desk, physiotherapist
):
    theirs, others = create_sign_in(front_desk), create_sign_in(physiotherapist, "code")
    create_sign_in(create_manager())
    client = signed_in(manager)

    assert shown(client, ALL) == [others, theirs]
    assert shown(client, ALL, show="failed") == [others]
    assert shown(client, ALL, who=front_desk.pk) == [theirs]


@pytest.mark.parametrize("who", ["abc", "-1", "0", "9" * 30, "1 or 1=1"])
def test_a_person_that_does_not_exist_is_not_found(signed_in, manager, who):
    assert signed_in(manager).get(ALL, {"who": who}).status_code == 404


def test_the_staff_of_another_clinic_are_not_found(signed_in, manager):
    other = create_manager()
    create_sign_in(other)

    assert signed_in(manager).get(ALL, {"who": other.pk}).status_code == 404


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
def test_only_a_manager_sees_everybodys(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get(ALL).status_code == 403


def test_the_list_is_paged(signed_in, manager):
    for _row in range(51):
        create_sign_in(manager)

    assert len(shown(signed_in(manager), ALL, page=2)) == 1


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_costs_the_same_however_long_it_is(
    signed_in, manager, rows, django_assert_num_queries
):
    for _row in range(rows):
        create_sign_in(create_front_desk(clinic=manager.clinic))
    client = signed_in(manager)

    with django_assert_num_queries(4):
        client.get(ALL)


def test_an_empty_list_says_what_will_appear(signed_in, manager):
    page = signed_in(manager).get(ALL).content.decode()

    assert "No attempt in vain in the last 180 days." in page
    assert "Each time somebody signs in" in page


def test_what_is_older_than_half_a_year_is_forgotten(front_desk):
    create_sign_in(front_desk, days_ago=181)
    recent = create_sign_in(front_desk, days_ago=179)
    # Both opened for a week after that.
    create_invitation(by=front_desk, now=timezone.now() - datetime.timedelta(days=188))
    newer = create_invitation(by=front_desk, now=timezone.now() - datetime.timedelta(days=186))
    ResetRequest.objects.create(
        staff=front_desk,
        asked_at=timezone.now(),
        sent_at=timezone.now() - datetime.timedelta(days=181),
    )
    out = io.StringIO()

    call_command("tidy_accounts", stdout=out)

    assert (SignIn.objects.get(), Invitation.objects.get()) == (recent, newer)
    assert not ResetRequest.objects.exists()
    assert out.getvalue().splitlines() == [
        "sign-ins: 1 forgotten",
        "invitations: 1 forgotten",
        "requests for a new password: 1 forgotten",
        "e-mails about accounts: 0 forgotten",
    ]
