"""Guessing passwords: who waits, for how long, and who does not (OWASP ASVS 5.0, 6.3.1, 6.3.8)."""

import datetime
import re

import pytest
from axes.models import AccessAttempt
from django.contrib.auth.hashers import BasePasswordHasher
from django.utils import timezone

from clinic.lockout import lift, locks
from tests.factories.clinic import PASSWORD, create_front_desk, create_physiotherapist

pytestmark = pytest.mark.django_db

HERE, THERE = "192.0.2.1", "198.51.100.7"
LIMIT, WAIT = 5, datetime.timedelta(minutes=15)


@pytest.fixture
def attempt(client):
    """Return a function that tries a password once and gives the answer."""

    def attempt(name, password="wrong", *, address=HERE, **headers):
        typed = {"username": getattr(name, "username", name), "password": password}
        return client.post("/sign-in/", typed, REMOTE_ADDR=address, headers=headers)

    return attempt


def lock_out(attempt, name, **where):
    return [attempt(name, **where) for _try in range(LIMIT)][-1]


def later(by):
    """As if so much time had passed since the last try."""
    AccessAttempt.objects.update(attempt_time=timezone.now() - by)


def opened(answer):
    return answer.status_code == 302


def test_the_fifth_wrong_password_in_a_row_makes_one_wait(attempt, physiotherapist):
    answers = [attempt(physiotherapist).status_code for _try in range(LIMIT + 1)]

    assert answers == [200, 200, 200, 200, 429, 429]


def test_while_one_waits_the_right_password_does_not_open_either(attempt, physiotherapist):
    lock_out(attempt, physiotherapist)

    answer = attempt(physiotherapist, PASSWORD)

    assert (answer.status_code, "sessionid" in answer.client.cookies) == (429, False)


def test_the_page_says_how_long(attempt, physiotherapist):
    lock_out(attempt, physiotherapist)
    later(datetime.timedelta(minutes=10, seconds=1))

    answer = attempt(physiotherapist)

    assert "Try again in <strong>5 minutes</strong>." in answer.content.decode()
    assert 240 < int(answer["Retry-After"]) < 300


def test_the_wait_ends_by_itself(attempt, physiotherapist):
    lock_out(attempt, physiotherapist)
    later(WAIT)

    assert opened(attempt(physiotherapist, PASSWORD))


def test_trying_on_does_not_make_it_longer(attempt, physiotherapist):
    lock_out(attempt, physiotherapist)
    later(WAIT - datetime.timedelta(minutes=1))
    lock_out(attempt, physiotherapist)
    (until,) = [lock.until for lock in locks([physiotherapist.username], now=timezone.now())]

    assert until - timezone.now() <= datetime.timedelta(minutes=1)


def test_the_right_password_in_time_forgets_the_wrong_ones(attempt, physiotherapist):
    for _round in range(2):
        for _try in range(LIMIT - 1):
            attempt(physiotherapist)
        assert opened(attempt(physiotherapist, PASSWORD))


def test_nobody_is_locked_out_from_elsewhere(attempt, physiotherapist):
    lock_out(attempt, physiotherapist, address=THERE)

    assert opened(attempt(physiotherapist, PASSWORD, address=HERE))


def test_a_colleague_at_the_same_address_is_not_locked_out(attempt, physiotherapist, front_desk):
    lock_out(attempt, physiotherapist)

    assert opened(attempt(front_desk, PASSWORD))


def test_behind_a_proxy_each_client_counts_for_itself(attempt, settings, physiotherapist):
    """One address for all, the proxy's, would let anybody lock out everybody."""
    settings.BEHIND_PROXY = True
    for _try in range(LIMIT):
        attempt(physiotherapist, x_forwarded_for=f"203.0.113.{_try}, {THERE}")

    assert attempt(physiotherapist, PASSWORD, x_forwarded_for=THERE).status_code == 429
    assert opened(attempt(physiotherapist, PASSWORD, x_forwarded_for=HERE))


def test_another_browser_at_the_address_gets_no_new_tries(attempt, physiotherapist):
    for number in range(LIMIT):
        attempt(physiotherapist, user_agent=f"browser {number}")

    assert attempt(physiotherapist, PASSWORD, user_agent="a new one").status_code == 429


def test_another_address_of_the_same_ipv6_home_gets_no_new_tries(attempt, physiotherapist):
    for number in range(LIMIT):
        attempt(physiotherapist, address=f"2001:db8:1:2::{number}")

    assert attempt(physiotherapist, PASSWORD, address="2001:db8:1:2:a:b:c:d").status_code == 429


def bare(answer, name):
    """The page without what differs each time: the token against forgery."""
    return re.sub(r"\b[A-Za-z0-9]{64}\b", "", answer.content.decode()).replace(name, "")


@pytest.mark.parametrize("nobody", ["nobody-of-that-name", "closed"])
def test_a_name_that_does_not_open_is_answered_as_one_that_does(attempt, physiotherapist, nobody):
    create_physiotherapist(username="closed", is_active=False)
    for _try in range(LIMIT + 1):
        known, unknown = attempt(physiotherapist), attempt(nobody)

        assert known.status_code == unknown.status_code
        assert bare(known, physiotherapist.username) == bare(unknown, nobody)


def test_a_closed_account_does_not_tell_that_its_password_was_right(attempt, physiotherapist):
    closed = create_physiotherapist(is_active=False)

    right, wrong = attempt(closed, PASSWORD), attempt(closed, "wrong")

    assert bare(right, closed.username) == bare(wrong, closed.username)


class CountingHasher(BasePasswordHasher):
    """Takes the place of argon2, and counts how often it worked."""

    algorithm = "counting"
    worked = 0

    def salt(self):
        return "salt"

    def encode(self, password, salt):
        type(self).worked += 1
        return f"{self.algorithm}${salt}${password}"

    def verify(self, password, encoded):
        return encoded == self.encode(password, "salt")

    def decode(self, encoded):
        return {"algorithm": self.algorithm, "salt": "salt", "hash": encoded}

    def must_update(self, encoded):
        return False


def test_an_unknown_name_costs_as_much_work_as_a_known_one(attempt, settings):
    """The work of the hash is what an answer's time shows."""
    settings.PASSWORD_HASHERS = [f"{__name__}.CountingHasher"]
    known = create_front_desk(username="known")
    closed = create_front_desk(username="closed", is_active=False)
    for staff in (known, closed):
        staff.set_password(PASSWORD)
        staff.save()

    def work(name):
        before = CountingHasher.worked
        attempt(name)
        return CountingHasher.worked - before

    assert {name: work(name) for name in ("known", "closed", "unknown")} == {
        "known": 1,
        "closed": 1,
        "unknown": 1,
    }


def test_the_lock_can_be_lifted(attempt, physiotherapist):
    lock_out(attempt, physiotherapist, address=HERE)
    lock_out(attempt, physiotherapist, address=THERE)
    lift(physiotherapist)

    assert locks([physiotherapist.username], now=timezone.now()) == []
    assert opened(attempt(physiotherapist, PASSWORD))


def test_locks_are_told_for_the_names_that_are_asked_for(attempt, physiotherapist, front_desk):
    lock_out(attempt, physiotherapist)
    lock_out(attempt, "somebody")
    attempt(front_desk)
    names = [physiotherapist.username, front_desk.username]

    found = locks(names, now=timezone.now())

    assert [(lock.username, lock.address) for lock in found] == [(physiotherapist.username, HERE)]


def test_what_is_kept_of_wrong_tries_holds_no_password(attempt, physiotherapist):
    attempt(physiotherapist, "a slip of the tongue")

    (row,) = AccessAttempt.objects.values()
    assert [name for name, value in row.items() if "slip" in str(value)] == []
