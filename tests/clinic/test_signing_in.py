"""The person who comes with a session: fetched with it, known once, and never older than the session."""

import pytest
from django.contrib.auth import get_user_model
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clinic.signing_in import StaffBackend, bring
from tests.factories.clinic import create_physiotherapist

pytestmark = pytest.mark.django_db


def test_one_query_brings_session_person_and_clinic(signed_in, physiotherapist):
    client = signed_in(physiotherapist)

    with CaptureQueriesContext(connection) as asked:
        client.get("/patients/")

    about = [query["sql"] for query in asked if "clinic_staff" in query["sql"].split("WHERE")[0]]
    assert ["clinic_opensession" in sql for sql in about] == [True]


def test_who_was_brought_is_given_once_and_fetched_after_that(physiotherapist):
    bring(physiotherapist)

    first, second = (StaffBackend().get_user(physiotherapist.pk) for _time in range(2))

    assert (first is physiotherapist, second is physiotherapist) == (True, False)
    assert second == physiotherapist


def test_somebody_else_is_fetched(physiotherapist):
    other = create_physiotherapist(clinic=physiotherapist.clinic)
    bring(physiotherapist)

    assert StaffBackend().get_user(other.pk) == other


def test_whose_account_is_closed_is_not_let_in(physiotherapist, signed_in):
    client = signed_in(physiotherapist)
    get_user_model().objects.filter(pk=physiotherapist.pk).update(is_active=False)

    assert client.get("/account/").url == "/sign-in/?next=/account/"


def test_a_password_that_was_changed_elsewhere_ends_the_session(physiotherapist, signed_in):
    client = signed_in(physiotherapist)
    other = get_user_model().objects.get(pk=physiotherapist.pk)
    other.set_password("another quiet harbor morning")
    other.save()

    assert client.get("/account/").status_code == 302
