"""Signing in with a code beside the password (OWASP ASVS 5.0, 6.3.3, 6.5.1 to 6.5.5, 7.5.1)."""

import datetime
import re

import pytest
from django.db import connection
from django.test import Client
from django.utils import timezone

from clinic import at_rest
from clinic.models import AuditEvent, Clinic, HeldForm, RecoveryCode, SecondFactor, SignIn
from clinic.one_time_code import code_at, spelled_out, step_at
from tests.factories.clinic import PASSWORD, create_manager, create_physiotherapist

pytestmark = pytest.mark.django_db

CODE, RECOVERY, SET_UP = "/sign-in/code/", "/sign-in/recovery/", "/account/code/"


def password(browser, staff, wanted="/due/"):
    given = {"username": staff.username, "password": PASSWORD, "next": wanted}
    return browser.post("/sign-in/", given)


def code(factor, *, steps=0):
    factor.refresh_from_db()
    return code_at(at_rest.decrypt(factor.secret), step_at(timezone.now()) + steps)


def error(answer):
    return [str(one) for field in answer.context["form"].errors.values() for one in field]


def is_inside(browser):
    return browser.get("/account/").status_code == 200


def last_verb():
    return AuditEvent.objects.latest("pk").verb


@pytest.fixture
def factor(physiotherapist):
    """The physiotherapist's; its recovery codes in `codes`."""
    factor = SecondFactor.objects.begin(physiotherapist, now=timezone.now())
    factor.codes = factor.confirm(now=timezone.now())
    return factor


@pytest.fixture
def inside(client, physiotherapist, factor):
    password(client, physiotherapist)
    client.post(CODE, {"code": code(factor)})
    return client


def test_the_password_alone_opens_nothing(client, physiotherapist, factor):
    answer = password(client, physiotherapist)

    assert answer.url == CODE
    assert not is_inside(client)
    assert not physiotherapist.live_sessions().exists()
    assert not AuditEvent.objects.exists()


def test_the_code_opens_and_leads_where_one_wanted(client, physiotherapist, factor):
    password(client, physiotherapist)
    before = client.session.session_key

    assert client.post(CODE, {"code": f" {code(factor)[:3]} {code(factor)[3:]} "}).url == "/due/"

    assert is_inside(client)
    assert client.session.session_key != before
    assert (last_verb(), client.cookies["typist"]["httponly"]) == ("signed in", True)


def test_a_wrong_code_opens_nothing_and_is_written_down(client, physiotherapist, factor):
    password(client, physiotherapist)

    assert "This isn't the code" in error(client.post(CODE, {"code": code(factor, steps=-9)}))[0]

    assert not is_inside(client)
    assert last_verb() == "gave a wrong code"
    assert SignIn.objects.get(staff=physiotherapist).outcome == SignIn.Outcome.CODE


def test_a_code_is_good_once(inside, physiotherapist, factor):
    factor.refresh_from_db()
    used = code_at(at_rest.decrypt(factor.secret), factor.last_step)
    other = Client()
    password(other, physiotherapist)
    other.post(CODE, {"code": used})

    assert not is_inside(other)
    other.post(CODE, {"code": code(factor, steps=1)})
    assert is_inside(other)


def test_nobody_reaches_the_code_without_the_password(client, factor):
    assert client.get(CODE).url == "/sign-in/"
    assert client.post(CODE, {"code": code(factor)}).url == "/sign-in/"
    assert not is_inside(client)


def test_after_five_minutes_the_password_is_asked_again(
    client, physiotherapist, factor, monkeypatch
):
    password(client, physiotherapist)
    later = timezone.now() + datetime.timedelta(minutes=5, seconds=1)
    monkeypatch.setattr(timezone, "now", lambda: later)

    assert client.post(CODE, {"code": code(factor)}).url == "/sign-in/"


@pytest.mark.parametrize("change", ["password", "closed"])
def test_what_changes_meanwhile_asks_for_the_password_again(
    client, physiotherapist, factor, change
):
    password(client, physiotherapist)
    if change == "password":
        physiotherapist.set_password("lanterns over the slipway")
    physiotherapist.is_active = change != "closed"
    physiotherapist.save()

    assert client.post(CODE, {"code": code(factor)}).url == "/sign-in/"


def test_wrong_codes_make_one_wait_longer_and_longer(factor):
    began = timezone.now()
    waits = []
    for _try in range(13):
        factor.refresh_from_db()
        now = factor.wait_until or began
        factor.try_code("x", now=now)
        waits.append(factor.wait_until and round((factor.wait_until - now).total_seconds() / 60))

    assert waits == [None] * 4 + [1, 2, 4, 8, 16, 32, 60, 60, 60]


def test_while_one_waits_the_right_code_is_not_taken(client, physiotherapist, factor):
    password(client, physiotherapist)
    for _try in range(5):
        client.post(CODE, {"code": "x"})

    told = error(client.post(CODE, {"code": code(factor)}))
    assert re.match(r"Too many wrong codes\. The next is taken from \d\d:\d\d on\.", told[0])
    assert not is_inside(client)

    SecondFactor.objects.update(wait_until=timezone.now())
    client.post(CODE, {"code": code(factor)})
    assert is_inside(client)


def test_a_recovery_code_opens_once(client, physiotherapist, factor):
    first = factor.codes[0]
    password(client, physiotherapist)
    assert client.post(RECOVERY, {"code": first.lower().replace("-", " ")}).url == "/due/"
    assert is_inside(client)
    event = AuditEvent.objects.get(verb="used a recovery code")
    assert event.detail == {"left": 9}

    other = Client()
    password(other, physiotherapist)
    assert "has been used" in error(other.post(RECOVERY, {"code": first}))[0]
    assert not is_inside(other)


def test_recovery_codes_of_somebody_else_open_nothing(client, physiotherapist, factor):
    colleague = create_physiotherapist(clinic=physiotherapist.clinic)
    other = SecondFactor.objects.begin(colleague, now=timezone.now())
    codes = other.confirm(now=timezone.now())
    password(client, physiotherapist)

    client.post(RECOVERY, {"code": codes[0]})

    assert not is_inside(client)


def test_neither_the_secret_nor_a_recovery_code_stands_in_the_database(factor):
    plain = at_rest.decrypt(factor.secret)
    with connection.cursor() as cursor:
        cursor.execute("SELECT secret FROM clinic_secondfactor")
        [(kept,)] = cursor.fetchall()
        cursor.execute("SELECT digest FROM clinic_recoverycode")
        digests = [row[0] for row in cursor.fetchall()]

    assert spelled_out(plain).replace(" ", "") not in kept
    assert plain.hex() not in kept
    assert len(set(digests)) == 10
    assert not [
        code for code in factor.codes if any(code.replace("-", "") in one for one in digests)
    ]


def test_after_a_new_secret_key_the_code_is_taken_and_encrypted_under_it(factor, settings):
    new = "another key of at least fifty characters, made for a test"
    old, settings.SECRET_KEY = settings.SECRET_KEY, new
    settings.SECRET_KEY_FALLBACKS = [old]
    assert factor.try_code(code(factor), now=timezone.now()) == "right"

    settings.SECRET_KEY_FALLBACKS = []
    assert factor.try_code(code(factor, steps=1), now=timezone.now()) == "right"


def test_without_the_old_key_the_app_is_lost_and_paper_still_opens(factor, settings):
    now, right = timezone.now(), code(factor)
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = "a key that never encrypted it " * 2, []

    assert factor.try_code(right, now=now) == "wrong"
    assert factor.try_recovery_code(factor.codes[3], now=now) == "right"


def test_it_is_set_up_with_the_password_and_a_first_code(signed_in, physiotherapist):
    browser = signed_in(physiotherapist)
    elsewhere = Client()
    elsewhere.force_login(physiotherapist)
    assert browser.post(f"{SET_UP}begin/", {"password": PASSWORD}).url == SET_UP
    page = browser.get(SET_UP)
    factor = SecondFactor.objects.get()
    assert (page.context["secret"], page["Cache-Control"]) == (factor.spelled_out(), "no-store")
    assert not physiotherapist.has_second_factor

    shown = browser.post(SET_UP, {"code": code(factor)})

    assert len(shown.context["codes"]) == 10
    assert SecondFactor.objects.of(physiotherapist)
    assert (is_inside(browser), is_inside(elsewhere)) == (True, False)
    assert last_verb() == "set up a second factor"


@pytest.mark.parametrize("page", [f"{SET_UP}begin/", f"{SET_UP}off/", f"{SET_UP}recovery/"])
def test_nothing_changes_without_the_password(inside, page, factor):
    before = list(RecoveryCode.objects.values_list("digest", flat=True))
    SecondFactor.objects.filter(pk=factor.pk).update(
        confirmed_at=None if "begin" in page else timezone.now()
    )

    answer = inside.post(page, {"password": "wrong"})

    assert (answer.status_code, error(answer)) == (422, ["This isn't your password."])
    assert list(RecoveryCode.objects.values_list("digest", flat=True)) == before


def test_a_wrong_first_code_switches_nothing_on(signed_in, physiotherapist):
    browser = signed_in(physiotherapist)
    browser.post(f"{SET_UP}begin/", {"password": PASSWORD})

    assert browser.post(SET_UP, {"code": "000"}).status_code == 422
    assert not physiotherapist.has_second_factor


def test_what_is_not_finished_in_ten_minutes_begins_anew(signed_in, physiotherapist):
    browser = signed_in(physiotherapist)
    browser.post(f"{SET_UP}begin/", {"password": PASSWORD})
    SecondFactor.objects.update(begun_at=timezone.now() - datetime.timedelta(minutes=10))

    assert "secret" not in browser.get(SET_UP).context
    browser.post(SET_UP, {"code": code(SecondFactor.objects.get())})
    assert not physiotherapist.has_second_factor


def test_new_recovery_codes_end_the_old_ones(inside, factor):
    new = inside.post(f"{SET_UP}recovery/", {"password": PASSWORD}).context["codes"]

    assert factor.try_recovery_code(factor.codes[0], now=timezone.now()) == "wrong"
    assert factor.try_recovery_code(new[0], now=timezone.now()) == "right"
    assert last_verb() == "renewed the recovery codes"


def test_switched_off_the_password_opens_alone(inside, physiotherapist):
    assert inside.post(f"{SET_UP}off/", {"password": PASSWORD}).url == "/account/"

    other = Client()
    assert password(other, physiotherapist).url == "/due/"
    assert AuditEvent.objects.filter(verb="switched the second factor off").exists()


def test_a_manager_removes_a_lost_one(inside, physiotherapist, manager):
    boss, page = Client(), f"/staff/{physiotherapist.pk}/"
    password(boss, manager)
    assert "Remove the lost app" in boss.get(page).content.decode()

    assert boss.post(f"{page}code/remove/", {"next": page}).url == page

    assert not is_inside(inside)
    event = AuditEvent.objects.get(verb="removed the second factor")
    assert (event.actor, event.object_id) == (manager, physiotherapist.pk)
    assert password(Client(), physiotherapist).url == "/due/"


def test_nobody_else_removes_it(inside, physiotherapist, front_desk):
    address = f"/staff/{physiotherapist.pk}/code/remove/"
    desk, stranger = Client(), Client()
    password(desk, front_desk)
    password(stranger, create_manager())

    assert desk.post(address).status_code == 403
    assert stranger.post(address).status_code == 404
    assert physiotherapist.has_second_factor


def test_a_manager_removes_ones_own_only_with_the_password(client, manager):
    SecondFactor.objects.begin(manager, now=timezone.now()).confirm(now=timezone.now())
    client.force_login(manager)

    assert client.post(f"/staff/{manager.pk}/code/remove/").url == f"{SET_UP}off/"
    assert manager.has_second_factor


@pytest.fixture
def strict(manager):
    """A clinic whose managers sign in with a code."""
    Clinic.objects.update(managers_need_code=True)
    manager.refresh_from_db()
    return manager


@pytest.mark.parametrize("address", ["/", "/due/", "/clinic/", "/account/", "/audit/"])
def test_a_manager_without_one_gets_nowhere_else(client, strict, address):
    password(client, strict)

    assert client.get(address).url == SET_UP
    asked = client.get(address, headers={"HX-Request": "true"})
    assert asked["HX-Redirect"] == SET_UP
    assert client.get(SET_UP).context["nav"] == []


def test_once_it_is_set_up_the_site_opens(client, strict):
    password(client, strict)
    client.post(f"{SET_UP}begin/", {"password": PASSWORD})
    client.post(SET_UP, {"code": code(SecondFactor.objects.get())})

    assert client.get("/clinic/").status_code == 200


def test_one_who_has_it_is_not_led_there(client, strict):
    factor = SecondFactor.objects.begin(strict, now=timezone.now())
    factor.confirm(now=timezone.now())
    password(client, strict, "/clinic/")

    assert client.post(CODE, {"code": code(factor)}).url == "/clinic/"
    assert client.get("/clinic/").status_code == 200


def test_one_led_there_can_sign_out_and_loses_nothing_typed(client, strict):
    password(client, strict)
    client.post("/patients/new/", {"family_name": "Oyelaran"})

    assert HeldForm.objects.of(strict).get().path == "/patients/new/"
    assert client.post("/sign-out/").url == "/sign-in/"


def test_others_are_not_asked(client, strict, front_desk):
    password(client, front_desk)

    assert client.get("/due/").status_code == 200
