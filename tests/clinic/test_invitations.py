"""New staff come by a link: who makes it, how long it opens, and what is chosen behind it.

OWASP ASVS 5.0, 6.4.1: random, short-lived, and no password that somebody else has chosen.
"""

import datetime

import pytest
from django.core import mail
from django.db import IntegrityError, transaction
from django.db.models import F
from django.test import Client
from django.utils import timezone

from clinic.models import AuditEvent, Invitation, Staff
from tests.factories.clinic import create_invitation, create_manager

pytestmark = pytest.mark.django_db

NEW = {
    "first_name": "Nora",
    "last_name": "Strand",
    "email": "nora@example.org",
    "role": "front desk",
    "registration_number": "",
}
PASSWORD = "otter ladle violet thunder"
CHOSEN = {"username": "nora", "new_password1": PASSWORD, "new_password2": PASSWORD}


@pytest.fixture
def desk(manager, signed_in):
    return signed_in(manager)


@pytest.fixture
def stranger():
    return Client()


def invite(desk, **changes):
    """Invite, and return the link that the next page shows."""
    return desk.get(desk.post("/staff/invite/", NEW | changes).url).context["link"]


def trail():
    return [(e.actor.username, e.verb, e.object_type) for e in AuditEvent.objects.order_by("pk")]


def open_link(stranger, link):
    return stranger.get(link, follow=True)


def test_an_invited_person_chooses_name_and_password_and_is_staff(desk, manager, stranger):
    page = open_link(stranger, invite(desk))
    answer = stranger.post("/join/", CHOSEN)

    nora = Staff.objects.get(username="nora")
    told = ("first_name", "last_name", "email", "role", "treats", "clinic_id", "is_active")
    assert page.status_code == 200
    assert answer.url == "/sign-in/"
    assert [getattr(nora, name) for name in told] == [
        "Nora",
        "Strand",
        "nora@example.org",
        "front desk",
        False,
        manager.clinic_id,
        True,
    ]
    assert stranger.post("/sign-in/", {"username": "nora", "password": PASSWORD}).status_code == 302
    assert trail() == [
        (manager.username, "invited", "invitation"),
        ("nora", "joined", "staff"),
        ("nora", "signed in", ""),
    ]


def test_the_link_is_shown_once(desk):
    page = desk.post("/staff/invite/", NEW).url

    assert desk.get(page).context["link"].startswith("http://testserver/join/")
    assert desk.get(page).context["link"] == ""


def test_the_secret_is_kept_nowhere(desk, stranger):
    secret = invite(desk).rstrip("/").rpartition("/")[2]
    open_link(stranger, f"/join/{secret}/")

    kept = [str(row) for row in Invitation.objects.values()]
    kept += [str(dict(client.session)) for client in (desk, stranger)]
    kept += [str(event.detail) for event in AuditEvent.objects.all()]
    assert len(secret) >= 43  # 256 bits in base64
    assert [text for text in kept if secret in text] == []


def test_the_page_behind_the_link_does_not_have_the_secret_in_its_address(desk, stranger):
    link = invite(desk)

    assert stranger.get(link).url == "/join/"


def test_the_link_opens_once(desk, stranger):
    link = invite(desk)
    open_link(stranger, link)
    stranger.post("/join/", CHOSEN)

    again = stranger.post("/join/", CHOSEN | {"username": "second"})

    assert again.url == "/sign-in/"
    assert open_link(stranger, link).status_code == 404
    assert not Staff.objects.filter(username="second").exists()


@pytest.mark.parametrize(("minutes", "status"), [(-1, 200), (1, 404)])
def test_the_link_opens_for_seven_days(manager, stranger, minutes, status):
    ago = datetime.timedelta(days=7, minutes=minutes)
    invited = create_invitation(by=manager)
    secret = invited.renew(now=timezone.now() - ago)

    assert open_link(stranger, f"/join/{secret}/").status_code == status


def test_a_link_that_grows_old_while_it_is_open_makes_no_account(desk, stranger):
    open_link(stranger, invite(desk))
    Invitation.objects.update(expires_at=timezone.now())

    assert stranger.post("/join/", CHOSEN).status_code == 404
    assert not Staff.objects.filter(username="nora").exists()


def test_taking_it_back_closes_the_link(desk, manager, stranger):
    link, invited = invite(desk), Invitation.objects.get()

    desk.post(f"/staff/invitations/{invited.pk}/revoke/")

    assert open_link(stranger, link).status_code == 404
    assert desk.get("/staff/").context["invitations"] == []
    assert trail()[-1] == (manager.username, "took back the invitation", "invitation")


def test_another_link_closes_the_one_before(desk, manager, stranger):
    first, invited = invite(desk), Invitation.objects.get()

    page = desk.post(f"/staff/invitations/{invited.pk}/renew/").url
    second = desk.get(page).context["link"]

    assert open_link(stranger, first).status_code == 404
    assert open_link(stranger, second).status_code == 200
    assert trail()[-1] == (manager.username, "renewed the invitation", "invitation")


def test_an_old_one_is_listed_until_it_is_renewed_or_taken_back(desk, manager):
    old = create_invitation(by=manager, now=timezone.now() - datetime.timedelta(days=8))
    create_invitation(by=create_manager())

    page = desk.get("/staff/")

    assert page.context["invitations"] == [old]
    assert "too old; make another" in page.content.decode()
    assert desk.get(f"/staff/invitations/{old.pk}/").context["is_over"] is True


@pytest.mark.parametrize("secret", ["nothing", "a" * 500, "'; drop table", "%00"])
def test_a_guess_opens_nothing(stranger, secret):
    assert open_link(stranger, f"/join/{secret}/").status_code == 404


def test_the_page_without_a_link_leads_to_signing_in(stranger):
    for send in (stranger.get, stranger.post):
        assert send("/join/").url == "/sign-in/"


@pytest.mark.parametrize(
    ("changes", "errors"),
    [
        ({"username": ""}, {"username": ["Enter a name for signing in."]}),
        ({"username": "PERSON-0"}, {"username": ["This name is taken. Choose another."]}),
        (
            {"new_password2": "otter"},
            {"new_password2": ["The two don't match. Type the new one twice."]},
        ),
    ],
)
def test_what_is_wrong_is_said_at_its_field(desk, manager, stranger, changes, errors):
    Staff.objects.filter(pk=manager.pk).update(username="person-0")
    open_link(stranger, invite(desk))

    answer = stranger.post("/join/", CHOSEN | changes)

    assert (answer.status_code, answer.context["form"].errors) == (422, errors)


@pytest.mark.parametrize("word", ["Nora Strand 2026", "Quayside nora 26", "short"])
def test_the_rules_for_passwords_hold_for_the_new_person_too(desk, stranger, word):
    open_link(stranger, invite(desk))

    answer = stranger.post("/join/", CHOSEN | {"new_password1": word, "new_password2": word})

    assert list(answer.context["form"].errors) == ["new_password1"]


def test_whoever_was_signed_in_at_the_machine_is_out_afterwards(desk):
    link = invite(desk)
    desk.get(link)
    desk.post("/join/", CHOSEN)

    assert desk.get("/").status_code == 302


@pytest.mark.parametrize(
    ("changes", "errors"),
    [
        ({"last_name": ""}, {"last_name": ["Enter the family name."]}),
        ({"role": ""}, {"role": ["Choose a role."]}),
        (
            {"email": "nora"},
            {"email": ["Enter the e-mail address in full, for example ida@example.org."]},
        ),
        (
            {"email": "", "send": "on"},
            {"email": ["Enter the address that the link is sent to."]},
        ),
        ({"treats": "on"}, {"__all__": ["Front desk can't be booked as a practitioner."]}),
    ],
)
def test_who_can_not_be_invited_so_is_answered_at_the_field(desk, changes, errors):
    answer = desk.post("/staff/invite/", NEW | changes)

    assert (answer.status_code, answer.context["form"].errors) == (422, errors)
    assert not Invitation.objects.exists()


def test_a_physiotherapist_sees_patients_whatever_is_ticked(desk):
    invite(desk, role="physiotherapist")

    assert Invitation.objects.get().treats is True


def test_nothing_is_sent_unless_it_is_asked_for(desk):
    invite(desk)

    assert mail.outbox == []


def test_the_e_mail_holds_the_link_and_no_more_than_needed(desk, manager):
    link = invite(desk, send="on", role="physiotherapist", registration_number="PH-3003")

    (message,) = mail.outbox
    assert message.to == ["nora@example.org"]
    assert link in message.body
    for word in ("physiotherapist", "PH-3003", manager.username, manager.last_name):
        assert word not in message.body + message.subject


def test_a_line_in_a_name_starts_no_header(desk, manager):
    manager.clinic.name = "Quay\nBcc: other@example.org"
    manager.clinic.save()

    invite(desk, send="on")

    assert mail.outbox[0].subject == "Your account at Quay Bcc: other@example.org"
    assert mail.outbox[0].message()["Bcc"] is None


def test_it_is_said_when_the_mail_server_takes_nothing(desk, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 1

    page = desk.post("/staff/invite/", NEW | {"send": "on"}, follow=True)

    assert "The mail server did not take the e-mail." in page.content.decode()
    assert page.context["link"]


def test_without_a_mail_server_the_link_is_handed_over(desk, settings):
    settings.SENDS_EMAIL = False

    assert "send" not in desk.get("/staff/invite/").context["form"].fields
    assert invite(desk, send="on")
    assert mail.outbox == []


ADDRESSES = ["/staff/invite/", "/staff/invitations/{}/", *(
    f"/staff/invitations/{{}}/{verb}/" for verb in ("renew", "revoke")
)]  # fmt: skip


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
@pytest.mark.parametrize("address", ADDRESSES)
def test_only_a_manager_invites(request, signed_in, role, address, manager):
    invited = create_invitation(by=manager)
    client = signed_in(request.getfixturevalue(role))

    assert client.post(address.format(invited.pk), NEW).status_code in (403, 405)
    assert client.get(address.format(invited.pk)).status_code in (403, 405)
    assert Invitation.objects.pending().get() == invited


@pytest.mark.parametrize("address", ADDRESSES[1:])
def test_the_invitations_of_another_clinic_do_not_exist(desk, address):
    theirs = create_invitation(by=create_manager())

    for send in (desk.get, desk.post):
        assert send(address.format(theirs.pk)).status_code in (404, 405)
    assert Invitation.objects.get().digest == theirs.digest


@pytest.mark.parametrize(
    ("wrong", "rule"),
    [
        ({"role": "owner"}, "invitation_role_known"),
        ({"role": "front desk", "treats": True}, "invitation_front_desk_never_treats"),
        ({"role": "physiotherapist", "treats": False}, "invitation_physiotherapist_treats"),
        (
            {"accepted_at": F("expires_at"), "revoked_at": F("expires_at")},
            "invitation_taken_or_taken_back",
        ),
    ],
)
def test_the_database_refuses_what_can_not_be(manager, wrong, rule):
    invited = create_invitation(by=manager)

    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        Invitation.objects.filter(pk=invited.pk).update(**wrong)
