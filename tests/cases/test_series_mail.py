"""A series of visits is told in one e-mail with one file; each visit goes its own way after that."""

import datetime

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone
from icalendar import Calendar
from zeal import zeal_ignore

from cases.delivery import Failure, Why
from cases.invitation import identifier
from cases.mail import message_id
from cases.models import Appointment, Notice
from cases.sending import Tally, send_due
from tests.cases.booking import move, written
from tests.cases.conftest import at
from tests.cases.test_sent_invitation import SENT_ONCE, names_in
from tests.cases.test_series import FRIDAY, LOCKS
from tests.factories.cases import create_patient_by_mail

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning", "outside_a_request")]

# RFC 5546, 3.2.1 (PUBLISH): what an entry must have, and ATTENDEE may not be there.
PUBLISHED = ["DTSTAMP", "DTSTART", "ORGANIZER", "SUMMARY", "UID"]


@pytest.fixture
def patient(physiotherapist):
    return create_patient_by_mail(by=physiotherapist)


@pytest.fixture
def series(signed_in, front_desk, physiotherapist, patient):
    """Four visits at nine, every two weeks from Friday 13 March, through the change to summer time."""
    asked = {
        "practitioner": physiotherapist.pk, "kind": "follow-up", "case": "", "day": FRIDAY.isoformat(),
        "start": "09:00", "minutes": "30", "every_weeks": "2", "times": "4",
    }  # fmt: skip
    with zeal_ignore(LOCKS):
        signed_in(front_desk).post(f"/patients/{patient.pk}/visits-ahead/", asked)
    return list(Appointment.objects.in_order())


def send() -> Tally:
    return send_due(clock=timezone.now)


def calendar_of(message) -> Calendar:
    return Calendar.from_ical(next(message.iter_attachments()).get_content())


def events_in(message) -> list[tuple[str, int]]:
    """The entries of an e-mail's file: identifier and revision of each."""
    return [(event["UID"], event.get("SEQUENCE", 0)) for event in calendar_of(message).events]


def text_of(message) -> str:
    return message.get_body().get_content()


def test_four_visits_are_one_e_mail_however_often_the_command_runs(series, mail_server):
    tallies = [send() for _run in range(3)]

    assert tallies == [Tally(sent=1), Tally(), Tally()]
    assert len(mail_server.messages) == 1
    assert written() == [("series", 0, "sent", "")] * 4


def test_it_lists_every_visit_at_the_clinic_s_own_time(series, mail_server, physiotherapist):
    send()

    message = mail_server.messages[0]
    assert message["Subject"].endswith(": your next 4 appointments")
    assert (
        "Friday, 13 Mar 2026, 09:00\nFriday, 27 Mar 2026, 09:00\n"
        f"Friday, 10 Apr 2026, 09:00\nFriday, 24 Apr 2026, 09:00\n\nwith {physiotherapist}\n"
    ) in text_of(message).replace("\r\n", "\n")


def test_a_patient_who_reads_spanish_gets_it_in_spanish(series, mail_server, patient):
    type(patient).objects.update(language="es")
    send()

    message = mail_server.messages[0]
    assert message["Subject"].endswith(": sus próximas 4 citas")
    assert "viernes, 27 mar 2026, 09:00" in text_of(message)


def test_one_file_holds_all_entries_as_the_standards_ask(series, mail_server):
    send()

    (part,) = mail_server.messages[0].iter_attachments()
    calendar = Calendar.from_ical(part.get_content())
    assert (calendar["METHOD"], part["Content-Type"].params["method"]) == ("PUBLISH", "PUBLISH")
    assert (calendar["VERSION"], "PRODID" in calendar) == ("2.0", True)
    for event in calendar.events:
        names = names_in(event)
        assert [name for name in PUBLISHED if name not in names] == []
        assert set(names) - set(SENT_ONCE) == set()  # so no ATTENDEE either
        assert [name for name in set(names) if names.count(name) > 1] == []
    assert [event["DTSTART"].dt for event in calendar.events] == [one.starts_at for one in series]
    assert events_in(mail_server.messages[0]) == [(str(identifier(one)), 0) for one in series]


def test_one_that_is_moved_and_one_that_is_cancelled_later_are_told_alone(series, mail_server):
    send()
    move(series[1])
    series[2].cancel(reason="has a cold")
    send()

    told = mail_server.messages[1:]
    assert [calendar_of(message)["METHOD"] for message in told] == ["REQUEST", "CANCEL"]
    assert [events_in(message) for message in told] == [
        [(str(identifier(one)), 1)] for one in series[1:3]
    ]
    assert [one["STATUS"] for one in calendar_of(told[1]).events] == ["CANCELLED"]


def test_what_changes_before_it_is_sent_leaves_the_others_together(series, mail_server):
    move(series[1])
    series[2].cancel(reason="has a cold")
    send()

    first, second = sorted(mail_server.messages, key=lambda one: -len(events_in(one)))
    assert events_in(first) == [(str(identifier(one)), 0) for one in (series[0], series[3])]
    assert events_in(second) == [(str(identifier(series[1])), 1)]
    assert "your appointment is booked" in text_of(second)
    assert first["Subject"].endswith(": your next 2 appointments")


def test_a_single_one_that_is_left_reads_as_an_invitation(series, mail_server):
    for one in series[1:]:
        one.cancel(reason="has a cold")
    send()

    (message,) = mail_server.messages
    assert "your appointment is booked" in text_of(message)
    assert calendar_of(message)["METHOD"] == "REQUEST"


@pytest.mark.parametrize("name", ["gone", "later"])
def test_what_the_server_does_not_take_fails_or_waits_as_one(series, mail_server, patient, name):
    type(patient).objects.update(email=f"{name}@example.org")
    tally = send()

    assert (tally.failed, tally.waiting) == ((1, 0) if name == "gone" else (0, 1))
    assert len({(status, why) for _about, _number, status, why in written()}) == 1


def test_each_try_has_the_same_message_id_and_other_visits_have_another(series):
    def identified() -> str:
        return message_id(Notice.objects.unclaimed().soonest_first().first())

    first, again = identified(), identified()
    series[3].cancel(reason="has a cold")

    assert first == again != identified()


def test_the_desk_sees_one_line_and_settles_it_once(series, signed_in, front_desk):
    Notice.objects.update(status="failed", why=Why.FULL)
    desk = signed_in(front_desk)
    page = desk.get("/mail/")
    first = Notice.objects.order_by("pk").first()

    assert (list(page.context["page"]), page.context["not_reached"]) == ([first], 1)
    opened = desk.get(f"/mail/{first.pk}/").content.decode()
    assert all(f"/book/{one.pk}/" in opened for one in series)
    desk.post(f"/mail/{first.pk}/settle/")
    assert [status for _about, _number, status, _why in written()] == ["settled"] * 4


def test_when_the_first_visit_is_over_the_others_are_still_not_reached(
    series, signed_in, front_desk, morning
):
    Notice.objects.update(status="failed", why=Why.FULL)
    morning(at(9, day=FRIDAY + datetime.timedelta(days=1)))

    shown = list(signed_in(front_desk).get("/mail/").context["page"])

    assert [one.appointment for one in shown] == [series[1]]


def test_the_database_keeps_a_series_by_its_name_alone(series):
    with pytest.raises(IntegrityError, match="notice_series_named"), transaction.atomic():
        Notice.objects.update(series=None)


def test_a_failure_of_one_try_is_counted_at_each(series):
    notice = Notice.objects.claim(Notice.objects.first().pk, now=timezone.now())
    for one in notice.together:
        one.mark_failed(Failure(why=Why.LATER, again=True), at=at(8))

    assert list(Notice.objects.values_list("tries", flat=True)) == [1, 1, 1, 1]
