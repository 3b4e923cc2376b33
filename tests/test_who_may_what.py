"""Every address, asked by everybody, in their own clinic and in another, answers as the table expects."""

import pytest
from django.shortcuts import resolve_url

from tests.browser.situations import names
from tests.headers import faults
from tests.isolation.watching import watching
from tests.markers import mark, words_of
from tests.pages import HTMX
from tests.two_clinics import Asker, create_at_work, create_marked, marks_in
from tests.who_may_what import MANAGER, ROLES, TABLE, Address

pytestmark = pytest.mark.django_db

SIGN_IN, REFUSED, NO_SUCH_ROW, NOT_THAT_WAY, IN = (
    "sign in",
    "refused",
    "no such row",
    "not that way",
    "in",
)
# A form that was sent empty is let in and then says what is missing.
WORDS = {403: REFUSED, 404: NO_SUCH_ROW, 405: NOT_THAT_WAY} | dict.fromkeys(
    (200, 204, 302, 400, 422), IN
)
# Words that every clinic has: each reads its own. A secret opens to whoever has it.
SHARED = {
    "mail text",
    "threshold",
    "exercise",
    "calendar secret",
    "display secret",
    "link for a new password",
    "secret of the invitation",
}


def word(answer) -> str:
    to = answer.get("Location", "") + answer.get("HX-Redirect", "")
    if to.startswith(resolve_url("clinic:sign_in") + "?"):
        return SIGN_IN
    return WORDS.get(answer.status_code, str(answer.status_code))


def at_home(row: Address, role: str | None, method: str) -> str:
    """What somebody is answered in their own clinic; `None` is nobody."""
    let_in = row.get if method == "GET" else row.post
    if role is None and row.needs_sign_in:
        return SIGN_IN
    if not let_in:
        return NOT_THAT_WAY
    if role is not None and role not in let_in:
        return REFUSED
    return NO_SUCH_ROW if role in row.not_theirs else IN


def elsewhere(row: Address, role: str, method: str, which: str) -> str:
    """What somebody of another clinic is answered: there is no such row."""
    told = at_home(row, role, method)
    return NO_SUCH_ROW if which and which not in SHARED and told == IN else told


def in_every_way(clinic):
    for name, row in TABLE.items():
        for which, address in clinic.addresses(name):
            for method in ("GET", "POST"):
                yield row, which, address, method


def test_every_address_has_its_row():
    assert sorted(set(names()) ^ TABLE.keys()) == []


@pytest.mark.parametrize("role", [None, *ROLES])
def test_who_may_what_in_their_own_clinic(role):
    clinic = create_at_work()
    somebody = Asker(clinic.people.get(role))

    wrong, bare = [], []
    with watching() as watch:
        for row, _which, address, method in in_every_way(clinic):
            answer = somebody.ask(method, address)
            if (told := word(answer)) != (expected := at_home(row, role, method)):
                wrong.append((method, address, told, expected))
            if lacking := faults(answer):
                bare.append((method, address, lacking))

    assert wrong == []
    assert bare == []
    assert watch.judged > 0
    assert watch.untied == {}


@pytest.mark.parametrize("role", ROLES)
def test_a_row_of_another_clinic_does_not_exist(role):
    other, own = create_marked(), create_at_work()
    stranger = Asker(own.people[role])

    wrong, seen = [], []
    with watching() as watch:
        for row, which, address, method in in_every_way(other):
            for more in ({}, HTMX):
                answer = stranger.ask(method, address, **more)
                if word(answer) != elsewhere(row, role, method, which):
                    wrong.append((method, address, more, answer.status_code))
                wrong += [(method, address, lacking) for lacking in faults(answer)]
                if which != "calendar secret" and marks_in(words_of(answer)):
                    seen.append((method, address, more))

    assert wrong == []
    assert seen == []
    assert watch.untied == {}


def test_its_own_people_see_the_marks():
    """They can be found: what the strangers above didn't see is there."""
    clinic = create_marked()
    patient = clinic.numbers["patient"]

    answer = Asker(clinic.people[MANAGER]).ask("GET", f"/patients/{patient}/")

    assert mark("patient.family_name") in words_of(answer)
