"""A morning's work while requests go to two web servers in turn: whichever answers, it is right."""

import datetime

import pytest
from django.utils import timezone

from cases.models import Visit
from clinic import settings as written
from tests.browser.test_book import book_of
from tests.browser.test_walk import measure
from tests.factories.cases import create_case, create_patient, create_signed_visit
from tests.factories.clinic import PASSWORD
from tests.operations.behind_nginx import two_servers
from tests.operations.server import database_url

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def both(tmp_path):
    with two_servers(database_url(), tmp_path) as both:
        yield both


@pytest.fixture
def come_in(both, browsers, settings):
    """A person at a browser who also notes which server answered."""
    settings.PASSWORD_HASHERS = written.PASSWORD_HASHERS  # those of the servers

    def come_in(staff):
        staff.set_password(PASSWORD)
        staff.save()
        person = browsers(staff, both.address)
        person.answered_by = set()
        person.page.on("response", lambda one: person.answered_by.add(one.headers["x-answered-by"]))
        return person

    return come_in


def follow_up(physio) -> None:
    physio.press("Begin today's visit", to=r"/visits/\d+/")
    visit = Visit.objects.drafts().get()
    physio.type("notes-subjective", "Planing boards hurts less.")
    physio.wait_until_saved("notes")
    for _server in range(2):
        physio.open(f"/visits/{visit.pk}/notes/")
        assert physio.field("notes-subjective").input_value() == "Planing boards hurts less."
    measure(
        physio, pains={"at_rest": 1, "worst_24h": 3}, affected="19 20 19", other="30 31 30", items=3
    )


def test_work_goes_on_whichever_server_answers(come_in, both, physiotherapist, front_desk, manager):
    today = timezone.localdate()
    case = create_case(lead=physiotherapist, opened=today - datetime.timedelta(days=14))
    create_signed_visit(case=case, on=today - datetime.timedelta(days=14))
    tomorrow = today + datetime.timedelta(days=1)
    physio, desk, other = (come_in(one) for one in (physiotherapist, front_desk, manager))

    physio.open(f"/cases/{case.pk}/")
    follow_up(physio)

    desk.open(book_of(tomorrow))
    patient = create_patient(clinic=case.clinic, given_name="Odile", family_name="Carrick")
    other.open(
        f"/book/new/?patient={patient.pk}&practitioner={physiotherapist.pk}"
        f"&day={tomorrow:%Y-%m-%d}&start=14:00"
    )
    other.press("Book", to="/book/")
    desk.page.get_by_role("link", name="Odile Carrick").wait_for()

    servers = {f"127.0.0.1:{server.port}" for server in both.servers}
    assert [one.answered_by for one in (physio, desk, other)] == [servers] * 3
    assert [one.complaints for one in (physio, desk, other)] == [[]] * 3
