"""The pages on which front desk sees who was not reached by e-mail, and does something about it."""

import datetime

import pytest

from cases.models import Appointment, Notice, Patient
from clinic.models import AuditEvent
from tests.cases.conftest import at
from tests.cases.test_patients import typed
from tests.factories.cases import create_notice, create_patient_by_mail
from tests.factories.clinic import create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

PAGE = "/mail/"
FRIDAY, SATURDAY = datetime.date(2026, 3, 13), datetime.date(2026, 3, 14)
SENT = {"status": "sent", "sent_at": at(7), "sent_to": "marit@example.org", "body": "Hello."}


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


@pytest.fixture
def written(physiotherapist):
    """Return a function that writes a notice to a patient of this family name."""

    def write(family, *, day=FRIDAY, hour=9, **fields):
        patient = create_patient_by_mail(by=physiotherapist, family_name=family)
        return create_notice(patient=patient, starts_at=at(hour, day=day), **fields)

    return write


def failed(written, family="Aker", **fields):
    return written(family, **({"status": "failed", "why": "address"} | fields))


def shown(page):
    return [notice.appointment.patient.family_name for notice in page.context["page"]]


def text(page):
    return " ".join(page.content.decode().split())


def messages_of(page):
    return [str(message) for message in page.context["messages"]]


def press(desk, notice, what, **sent):
    answer = desk.post(f"{PAGE}{notice.pk}/{what}/", sent)
    notice.refresh_from_db()
    return answer


def test_who_was_not_reached_stands_first_with_the_reason_and_the_phone(desk, written):
    failed(written, "Later", day=SATURDAY)
    failed(written, "Sooner", why="full")
    written("Waits", hour=10)
    page = desk.get(PAGE)

    assert shown(page) == ["Sooner", "Later"]
    told = (
        "<strong>2 e-mails</strong> did not reach their patients. Please call.",
        "<strong>1</strong> waits to be sent.",
        "The patient&#x27;s mailbox is full.",
        "The mail server says that this address does not exist or is closed.",
        'href="tel:+441632960100"',
    )
    assert [words for words in told if words not in text(page)] == []


@pytest.mark.parametrize(
    ("show", "expected"),
    [
        ("not-reached", ["Gone"]),
        ("waiting", ["Waits", "Goes"]),
        ("sent", ["Read"]),
        ("all", ["Over", "Read", "Goes", "Waits", "Gone"]),
        ("nonsense", ["Gone"]),
    ],
)
def test_each_can_be_shown(desk, written, show, expected):
    failed(written, "Gone")
    written("Waits", hour=10, written_at=at(1))
    written("Goes", hour=11, status="sending", written_at=at(2))
    written("Read", hour=12, written_at=at(3), **SENT)
    failed(written, "Over", hour=7, day=datetime.date(2026, 3, 12), written_at=at(4))
    Notice.objects.filter(appointment__patient__family_name="Gone").update(written_at=at(0))

    assert shown(desk.get(PAGE, {"show": show})) == expected


def test_a_patient_is_found_by_name_and_the_choice_stays(desk, written):
    written("Zahl", **SENT)
    written("Aker", hour=10, **SENT)
    page = desk.get(PAGE, {"show": "sent", "q": "zah"})

    assert shown(page) == ["Zahl"]
    assert '<input type="hidden" name="show" value="sent">' in page.content.decode()
    assert "?show=all&amp;q=zah" in page.content.decode()


@pytest.mark.parametrize(
    ("query", "title"),
    [
        ({}, "Everybody was reached"),
        ({"show": "sent"}, "Nothing here"),
        ({"q": "zahl"}, "Nobody found"),
    ],
)
def test_an_empty_list_says_what_will_appear(desk, query, title):
    assert title in text(desk.get(PAGE, query))


def test_without_a_mail_server_the_page_says_that_nothing_is_sent(desk, settings):
    settings.SENDS_EMAIL = False

    assert "No mail server is set up, so nothing is sent." in text(desk.get(PAGE))


def test_the_list_is_paged(desk, physiotherapist):
    patient = create_patient_by_mail(by=physiotherapist)
    for number in range(26):
        create_notice(patient=patient, starts_at=at(8) + datetime.timedelta(hours=number + 1))

    assert len(shown(desk.get(PAGE, {"show": "waiting", "page": 2}))) == 1


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_costs_the_same_however_long_it_is(desk, written, rows, django_assert_num_queries):
    for row in range(rows):
        failed(written, f"Aker{row}", hour=9 + row)

    with django_assert_num_queries(6):
        desk.get(PAGE)


def test_a_notice_shows_what_it_says_and_what_the_server_said(desk, written):
    notice = failed(written, answer="550 5.1.1 no such user", tries=1)
    page = text(desk.get(f"{PAGE}{notice.pk}/"))

    told = ("Hello Marit,", "your appointment is booked:", "550 5.1.1 no such user", "Tried once.")
    assert [words for words in told if words not in page] == []
    assert AuditEvent.objects.get(verb="opened").object_type == "notice"


def test_what_was_sent_is_shown_as_it_was(desk, written):
    notice = written("Aker", **(SENT | {"body": "As it was."}))

    assert "As it was." in text(desk.get(f"{PAGE}{notice.pk}/"))


def test_who_was_called_is_off_the_list(desk, written, front_desk):
    notice = failed(written)
    answer = press(desk, notice, "settle", next="/mail/?q=ak")

    assert (notice.status, notice.settled_by, notice.settled_at) == ("settled", front_desk, at(8))
    assert (answer.url, shown(desk.get(PAGE))) == ("/mail/?q=ak", [])
    assert AuditEvent.objects.get(verb="settled").object_id == notice.pk


def test_what_failed_is_tried_once_more(desk, written):
    notice = failed(written, why="later", tries=9)
    press(desk, notice, "again")

    assert (notice.status, notice.due_at) == ("waiting", at(8))
    assert AuditEvent.objects.filter(verb="tried again").count() == 1


def test_an_address_that_is_closed_is_corrected_and_not_tried_again(desk, written):
    notice = failed(written)
    notice.appointment.patient.refuse_mail(at=at(7))
    page = text(desk.get(f"{PAGE}{notice.pk}/"))
    press(desk, notice, "again")

    assert (notice.status, "Correct the address" in page, "Try once more" in page) == (
        "failed",
        True,
        False,
    )


def test_another_address_is_tried_with_the_next_run(desk, written):
    notice = failed(written)
    patient = notice.appointment.patient
    patient.refuse_mail(at=at(7))
    url = f"/patients/{patient.pk}/edit/"
    stamp = desk.get(url).context["form"].now
    desk.post(url, typed(email="marit.o@example.org", mail_agreed="on", opened_with=stamp))
    notice.refresh_from_db()

    assert (notice.status, notice.due_at) == ("waiting", at(8))


def test_taking_it_back_stops_what_waits(desk, written):
    notice = written("Aker")
    url = f"/patients/{notice.appointment.patient_id}/edit/"
    stamp = desk.get(url).context["form"].now
    desk.post(url, typed(opened_with=stamp))
    notice.refresh_from_db()

    assert (notice.status, notice.why) == ("dropped", "taken back")


def test_what_came_back_was_not_reached_and_closes_the_address(desk, written):
    notice = written("Aker", **SENT)
    press(desk, notice, "came-back")

    assert (notice.status, notice.why) == ("failed", "came back")
    assert Patient.objects.get().mail_refused_at == at(8)
    assert shown(desk.get(PAGE)) == ["Aker"]


@pytest.mark.parametrize("what", ["settle", "again", "came-back"])
def test_what_is_done_already_is_not_done_twice(desk, written, what):
    notice = written("Aker")
    answer = press(desk, notice, what)

    assert (notice.status, answer.url) == ("waiting", f"{PAGE}{notice.pk}/")
    assert "Somebody or the mail server was faster." in text(desk.get(answer.url))


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_of_the_clinic_may_look_and_call(request, signed_in, written, role):
    notice, client = failed(written), signed_in(request.getfixturevalue(role))

    assert [client.get(url).status_code for url in (PAGE, f"{PAGE}{notice.pk}/")] == [200, 200]
    assert press(client, notice, "settle").status_code == 302


@pytest.mark.parametrize("what", ["", "settle/", "again/", "came-back/"])
def test_a_notice_of_another_clinic_does_not_exist(desk, what):
    patient = create_patient_by_mail(by=create_physiotherapist())
    notice = create_notice(patient=patient, starts_at=at(9, day=FRIDAY), status="failed")
    send = desk.post if what else desk.get

    assert send(f"{PAGE}{notice.pk}/{what}").status_code == 404
    assert shown(desk.get(PAGE, {"show": "all"})) == []


@pytest.mark.parametrize(
    ("method", "what"), [("get", "settle"), ("get", "again"), ("get", "came-back")]
)
def test_nothing_is_done_by_opening_an_address(desk, written, method, what):
    notice = failed(written)

    assert getattr(desk, method)(f"{PAGE}{notice.pk}/{what}/").status_code == 405


def test_an_appointment_shows_what_its_patient_was_told(desk, written):
    notice = written("Aker", **SENT)
    page = text(desk.get(f"/book/{notice.appointment_id}/"))

    assert f'href="{PAGE}{notice.pk}/?next=/book/{notice.appointment_id}/"' in page
    assert "sent 12 Mar 2026, 07:00" in page


@pytest.mark.parametrize(
    ("refused", "agreed", "said"),
    [
        (False, True, ["Marit Aker hears of it by e-mail."]),
        (True, True, ["The e-mail address of Marit Aker let nothing in. Please call."]),
        (False, False, []),
    ],
)
def test_booking_and_cancelling_say_whether_somebody_has_to_call(
    desk, physiotherapist, refused, agreed, said
):
    patient = create_patient_by_mail(by=physiotherapist, family_name="Aker", mail_agreed=agreed)
    if refused:
        patient.refuse_mail(at=at(7))
    form = {"practitioner": physiotherapist.pk, "kind": "first", "day": FRIDAY, "start": "09:00"}
    booked = desk.post(f"/book/new/?patient={patient.pk}", form, follow=True)
    Notice.objects.filter(status="waiting").update(**SENT)
    url = f"/book/{Appointment.objects.get().pk}/cancel/"
    cancelled = desk.post(url, {"reason": "has a cold"}, follow=True)

    assert messages_of(booked)[1:] == said
    assert messages_of(cancelled) == ["Cancelled: Marit Aker.", *said]
