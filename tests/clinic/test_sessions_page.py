"""A person's own sessions, ended from elsewhere; a manager ends those of a colleague (ASVS 7.4.2, 7.4.5)."""

import datetime

import pytest
from django.db.models import F
from django.test import Client

from clinic.models import AuditEvent, OpenSession
from tests.factories.clinic import PASSWORD, create_front_desk, create_manager

pytestmark = pytest.mark.django_db

FIREFOX = "Mozilla/5.0 (X11; Linux x86_64; rv:146.0) Gecko/20100101 Firefox/146.0"
END = "/account/sessions/end/"


def come_in(staff, agent=FIREFOX):
    browser = Client(headers={"User-Agent": agent})
    browser.post("/sign-in/", {"username": staff.username, "password": PASSWORD})
    return browser


def is_inside(browser):
    return browser.get("/account/").status_code == 200


def shown(browser):
    return browser.get("/account/").context["sessions"]


def key(browser):
    return browser.cookies["sessionid"].value


def test_one_sees_each_browser_that_one_is_signed_in_at(front_desk, manager):
    here, there = come_in(front_desk), come_in(front_desk, "curl/8.0")
    come_in(manager)
    is_inside(here)

    assert {row.session_key for row in shown(here)} == {key(here), key(there)}
    page = here.get("/account/").content.decode()
    assert ("Firefox on Linux" in page, "127.0.0.1" in page, "this one" in page) == (True,) * 3
    assert key(here) not in page
    assert key(there) not in page


def test_what_has_ended_by_itself_is_not_shown(front_desk):
    here, there = come_in(front_desk), come_in(front_desk)
    ago = datetime.timedelta(minutes=31)
    OpenSession.objects.filter(pk=key(there)).update(seen_at=F("seen_at") - ago)

    assert [row.session_key for row in shown(here)] == [key(here)]


def test_one_of_them_is_ended(front_desk):
    here, there, third = (come_in(front_desk) for _browser in range(3))
    [mark] = [row.mark for row in shown(here) if row.session_key == key(there)]

    assert here.post(END, {"which": mark}).url == "/account/"

    assert (is_inside(here), is_inside(there), is_inside(third)) == (True, False, True)
    event = AuditEvent.objects.get(verb="ended sessions")
    assert (event.actor, event.object_id, event.detail) == (
        front_desk,
        front_desk.pk,
        {"number": 1},
    )


def test_all_others_are_ended(front_desk):
    here, *others = (come_in(front_desk) for _browser in range(3))

    here.post(END)

    assert [is_inside(browser) for browser in (here, *others)] == [True, False, False]


def test_nobody_ends_the_session_of_somebody_else(front_desk, physiotherapist):
    here, there = come_in(front_desk), come_in(physiotherapist)
    mark = OpenSession.objects.get(pk=key(there)).mark

    here.post(END, {"which": mark})

    assert is_inside(there)
    assert not AuditEvent.objects.filter(verb="ended sessions").exists()


def test_a_manager_ends_all_sessions_of_a_colleague(front_desk, manager):
    boss, *others = come_in(manager), come_in(front_desk), come_in(front_desk)

    boss.post(f"/staff/{front_desk.pk}/sessions/end/")

    assert [is_inside(browser) for browser in (boss, *others)] == [True, False, False]
    assert AuditEvent.objects.get(verb="ended sessions").detail == {"number": 2}


def test_what_was_typed_there_waits_for_the_one_who_typed_it(front_desk, manager):
    there = come_in(front_desk)
    come_in(manager).post(f"/staff/{front_desk.pk}/sessions/end/")
    there.post("/patients/new/", {"family_name": "Oyelaran"})

    form = come_in(front_desk).get("/patients/new/").context["form"]
    assert form["family_name"].value() == "Oyelaran"


def test_a_manager_of_another_clinic_finds_nobody(front_desk):
    there = come_in(front_desk)
    stranger = come_in(create_manager())

    assert stranger.post(f"/staff/{front_desk.pk}/sessions/end/").status_code == 404
    assert is_inside(there)


def test_only_a_manager_ends_those_of_others(front_desk, physiotherapist):
    there = come_in(front_desk)

    answer = come_in(physiotherapist).post(f"/staff/{front_desk.pk}/sessions/end/")

    assert answer.status_code == 403
    assert is_inside(there)


def test_the_sessions_of_a_closed_account_end_at_once_and_for_good(front_desk):
    there = come_in(front_desk)

    front_desk.close()
    assert not is_inside(there)

    front_desk.reopen()
    assert not is_inside(there)
    assert not front_desk.live_sessions().exists()


def test_the_page_of_a_colleague_shows_where_they_are_signed_in(front_desk, manager):
    come_in(front_desk)
    page = f"/staff/{front_desk.pk}/"
    boss = come_in(manager)
    assert "Firefox on Linux, since" in boss.get(page).content.decode()

    assert boss.post(f"{page}sessions/end/", {"next": page}).url == page

    assert "Signed in nowhere" in boss.get(page).content.decode()


def test_a_new_password_ends_all_others_for_good(front_desk):
    here, there = come_in(front_desk), come_in(front_desk)
    new = "lanterns over the slipway"
    typed = {"old_password": PASSWORD, "new_password1": new, "new_password2": new}

    assert here.post("/account/password/", typed).status_code == 302

    assert (is_inside(here), is_inside(there)) == (True, False)
    assert len(shown(here)) == 1


def test_the_list_costs_the_same_however_many_sessions(front_desk, django_assert_max_num_queries):
    here = come_in(front_desk)
    for _browser in range(4):
        come_in(create_front_desk(clinic=front_desk.clinic))
        come_in(front_desk)

    with django_assert_max_num_queries(8):
        assert len(shown(here)) == 5
