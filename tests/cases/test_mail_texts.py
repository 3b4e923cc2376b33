"""The clinic's own words for e-mails: checked, shown before they are used, taken back."""

import pytest

from cases.mail_words import BODIES, SUBJECTS, Occasion
from cases.models import MailText
from cases.models.mail_text import Words, standard_words
from clinic.models import AuditEvent
from tests.cases.test_mail_words import NAMES
from tests.factories.clinic import create_manager
from tests.pages import typed

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

LIST = "/mail/texts/"
PAGE = f"{LIST}reminder-en/"
OWN = "See you on {day} at {time}."


@pytest.fixture
def boss(manager, signed_in):
    return signed_in(manager)


def send(boss, page=PAGE, *, press="", **changes):
    return boss.post(page, typed(boss.get(page), changes) | ({press: "1"} if press else {}))


def used(clinic, occasion="reminder", language="en"):
    return MailText.objects.words(clinic, Occasion(occasion), language)


def test_the_page_opens_with_the_standard_text(boss):
    page = boss.get(PAGE)

    form = page.context["form"]
    assert form["subject"].value() == SUBJECTS[Occasion.REMINDER]
    assert form["body"].value() == BODIES[Occasion.REMINDER]
    assert page.context["letter"].body.startswith(
        "Hello Marit,\n\nwe expect you:\n\nFriday, 13 Mar 2026"
    )


def test_own_words_are_used_from_then_on_for_that_occasion_and_language(boss, manager):
    answer = send(boss, body=OWN)

    assert answer.url == LIST
    assert used(manager.clinic) == Words(SUBJECTS[Occasion.REMINDER], OWN)
    assert used(manager.clinic, "booked") == standard_words(Occasion.BOOKED, "en")
    assert used(manager.clinic, language="es") == standard_words(Occasion.REMINDER, "es")
    assert used(create_manager().clinic) == standard_words(Occasion.REMINDER, "en")


def test_the_trail_says_which_text_and_not_what_it_says(boss, manager):
    send(boss, body=OWN)

    event, row = AuditEvent.objects.get(verb="changed"), MailText.objects.get()
    assert (event.actor, event.object_type, event.object_id) == (manager, "mailtext", row.pk)
    assert event.detail == {"about": "reminder", "language": "en"}
    assert row.changed_by == manager


def test_what_is_not_changed_is_not_the_clinic_s_own(boss):
    send(boss)

    assert not MailText.objects.exists()
    assert not AuditEvent.objects.filter(verb="changed").exists()


def test_lines_are_kept_as_they_were_typed(boss, manager):
    send(boss, body="On {day}\r\n\r\nat {time}")

    assert used(manager.clinic).body == "On {day}\n\nat {time}"


@pytest.mark.parametrize(
    ("field", "typed_in", "said"),
    [
        ("body", "{day} {time} {pain}", [f"There is no {{pain}}. Possible are {NAMES}."]),
        ("subject", "{diagnosis}", [f"There is no {{diagnosis}}. Possible are {NAMES}."]),
        ("body", "Come soon.", ["The patient must read when it is: add {day}, {time}."]),
        ("body", "{day} {time} {", [f"Braces only stand around one of these names: {NAMES}."]),
        ("body", " ", ["Enter the text."]),
        ("subject", "", ["Enter a subject."]),
        ("subject", "x" * 151, ["Ensure this value has at most 150 characters (it has 151)."]),
    ],
)
def test_what_can_not_be_sent_is_said_at_its_field(boss, field, typed_in, said):
    answer = send(boss, **{field: typed_in})

    assert (answer.status_code, answer.context["form"].errors) == (422, {field: said})
    assert answer.context["form"][field].value() == typed_in
    assert "How it still reads" in answer.content.decode()
    assert not MailText.objects.exists()


def test_a_look_shows_what_was_typed_and_saves_nothing(boss):
    page = send(boss, body=OWN, press="look")

    assert (page.status_code, page.context["letter"].body) == (
        200,
        "See you on Friday, 13 Mar 2026 at 09:30.",
    )
    assert page.context["form"]["body"].value() == OWN
    assert "How it would read, not saved yet" in page.content.decode()
    assert not MailText.objects.exists()


def test_markup_in_a_text_is_shown_as_text(boss):
    page = send(boss, body="<b>{day}</b> {time}", press="look")

    assert "&lt;b&gt;Friday" in page.content.decode()


def test_the_standard_text_comes_back(boss, manager):
    send(boss, body=OWN)
    send(boss, press="standard")

    assert used(manager.clinic) == standard_words(Occasion.REMINDER, "en")
    assert AuditEvent.objects.get(verb="removed").detail == {"about": "reminder", "language": "en"}


def test_a_save_that_comes_too_late_shows_both(boss, manager):
    opened = typed(boss.get(PAGE), body=OWN)
    send(boss, body="{day}, {time}. Bring a towel.")
    late = boss.post(PAGE, opened)

    conflicts = [(row.theirs, row.mine) for row in late.context["form"].conflicts]
    assert (late.status_code, conflicts) == (422, [("{day}, {time}. Bring a towel.", OWN)])
    assert used(manager.clinic).body == "{day}, {time}. Bring a towel."


def test_the_list_shows_which_are_the_clinic_s_own_and_whose(boss, manager):
    send(boss, body=OWN)
    page = boss.get(LIST)
    told = " ".join(page.content.decode().split())

    assert page.context["own"] == 1
    assert f"12 Mar 2026, {manager}" in told
    assert told.count(">standard<") == 9


@pytest.mark.parametrize(
    ("days", "said"), [(2, "<strong>2 days</strong> before"), (0, "are not reminded")]
)
def test_the_list_says_when_patients_are_reminded(boss, manager, days, said):
    manager.clinic.reminder_days = days
    manager.clinic.save()

    assert said in " ".join(boss.get(LIST).content.decode().split())


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_costs_the_same_however_many_are_own(boss, rows, django_assert_num_queries):
    for which in ("booked-en", "booked-es", "moved-en")[:rows]:
        send(boss, f"{LIST}{which}/", body=OWN)
    boss.get(LIST)  # which says that they are kept, once

    with django_assert_num_queries(2):
        boss.get(LIST)


@pytest.mark.parametrize("which", ["reminder-fr", "birthday-en", "reminder", "reminder-en-x"])
def test_a_text_that_there_is_not_is_not_found(boss, which):
    assert boss.get(f"{LIST}{which}/").status_code == 404


@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
@pytest.mark.parametrize("page", [LIST, PAGE])
def test_only_a_manager_changes_the_words(request, signed_in, role, status, page):
    assert signed_in(request.getfixturevalue(role)).get(page).status_code == status
