"""The list of who works here."""

import datetime

import pytest
from axes.models import AccessAttempt
from django.utils import timezone

from tests.factories.clinic import (
    create_front_desk,
    create_invitation,
    create_manager,
    create_physiotherapist,
)

pytestmark = pytest.mark.django_db

PAGE = "/staff/"


@pytest.fixture
def desk(manager, signed_in):
    return signed_in(manager)


def listed(desk, **query):
    return [one for one, _locked in desk.get(PAGE, query).context["people"]]


def test_everybody_of_the_clinic_is_listed_and_nobody_else(desk, manager, physiotherapist):
    closed = create_front_desk(clinic=manager.clinic, is_active=False)
    create_manager()

    assert set(listed(desk)) == {manager, physiotherapist, closed}


def test_each_row_says_who_what_and_how_the_account_stands(desk, physiotherapist):
    page = " ".join(desk.get(PAGE).content.decode().split())

    told = (f'<a href="/staff/{physiotherapist.pk}/">{physiotherapist}</a>', "PH-1001", "never")
    assert [text for text in told if text not in page] == []


def test_closed_accounts_come_last(desk, manager):
    gone = create_front_desk(clinic=manager.clinic, last_name="Aabel", is_active=False)

    assert listed(desk)[-1] == gone
    assert listed(desk, sort="-name")[-1] == gone


@pytest.mark.parametrize(
    ("sort", "order"),
    [
        ("name", ["Berg", "Dahl", "Vik"]),
        ("-name", ["Vik", "Dahl", "Berg"]),
        ("role", ["Vik", "Berg", "Dahl"]),
        ("-role", ["Dahl", "Berg", "Vik"]),
        ("in", ["Vik", "Dahl", "Berg"]),
        ("-in", ["Berg", "Dahl", "Vik"]),
        ("nonsense", ["Berg", "Dahl", "Vik"]),
        ("-password", ["Berg", "Dahl", "Vik"]),
    ],
)
def test_the_list_can_be_sorted(client, sort, order):
    """Vik of the desk never signed in; Dahl treats and did so yesterday; Berg manages and did so now."""
    boss = create_manager(last_name="Berg")
    yesterday = timezone.now() - datetime.timedelta(days=1)
    create_physiotherapist(clinic=boss.clinic, last_name="Dahl", last_login=yesterday)
    create_front_desk(clinic=boss.clinic, last_name="Vik")
    client.force_login(boss)

    assert [one.last_name for one in listed(client, sort=sort)] == order


def test_who_has_to_wait_is_marked(desk, physiotherapist):
    AccessAttempt.objects.create(
        username=physiotherapist.username,
        ip_address="192.0.2.1",
        attempt_time=timezone.now(),
        failures_since_start=5,
    )

    rows = dict(desk.get(PAGE).context["people"])
    assert rows[physiotherapist] is True
    assert sum(rows.values()) == 1


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_costs_the_same_however_long_it_is(desk, manager, rows, django_assert_num_queries):
    for _row in range(rows):
        create_front_desk(clinic=manager.clinic)
        create_invitation(by=create_manager(clinic=manager.clinic))

    with django_assert_num_queries(4):
        desk.get(PAGE)


@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
def test_only_a_manager_sees_the_staff(request, signed_in, role, status):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == status
