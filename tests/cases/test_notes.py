"""The notes of a draft visit, and beginning one."""

import datetime

import pytest
from django.db import IntegrityError
from django.urls import reverse
from django.utils import timezone

from cases.models import Visit
from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_signed_visit, create_visit
from tests.factories.clinic import PASSWORD
from tests.pages import DONE, TYPING, typed


def address(visit):
    return reverse("cases:notes", args=[visit.pk])


@pytest.fixture
def visit(physiotherapist):
    return create_visit(case=create_case(lead=physiotherapist))


def test_notes_save_themselves_while_they_are_typed(browser, visit):
    page = browser.get(address(visit))

    answer = browser.post(address(visit), typed(page, subjective="Gripping hurts less."), **TYPING)

    visit.refresh_from_db()
    assert visit.subjective == "Gripping hurts less."
    assert answer.status_code == 200
    assert answer.content.decode().strip().startswith('<div id="notes-state">')


def test_the_button_saves_and_leads_to_the_case(browser, visit):
    page = browser.get(address(visit))

    answer = browser.post(address(visit), typed(page, plan="Go on.") | DONE)

    visit.refresh_from_db()
    assert (visit.plan, answer.url) == ("Go on.", reverse("rehab:case", args=[visit.case_id]))


def test_next_leads_nowhere_but_this_site(browser, visit):
    page = browser.get(address(visit))

    answer = browser.post(address(visit), typed(page) | DONE | {"next": "https://example.org/"})

    assert answer.url == reverse("rehab:case", args=[visit.case_id])


def test_a_save_says_which_fields_changed_and_no_text(browser, visit):
    page = browser.get(address(visit))

    browser.post(address(visit), typed(page, objective="No swelling."))

    event = AuditEvent.objects.get(verb="wrote notes")
    assert (event.object_id, event.detail) == (visit.pk, {"fields": ["objective"]})


def day(offset):
    return (timezone.localdate() + datetime.timedelta(days=offset)).isoformat()


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        (
            {"on": "2026-03-01"},
            "on",
            "The case was opened on 2 Mar 2026. Enter that day or a later one.",
        ),
        ({"due_on": "2026-03-01"}, "due_on", "Enter a day that is not before the visit."),
        ({"on": "30 February"}, "on", "Enter a valid date."),
        ({"minutes": "0"}, "minutes", "Enter the time spent in whole minutes, 1–240."),
        ({"minutes": "241"}, "minutes", "Enter the time spent in whole minutes, 1–240."),
        ({"minutes": "half an hour"}, "minutes", "Enter the time spent in whole minutes, 1–240."),
    ],
)
def test_a_wrong_entry_is_answered_at_its_field(browser, visit, changes, field, sentence):
    page = browser.get(address(visit))

    answer = browser.post(address(visit), typed(page, **changes) | DONE)

    assert answer.status_code == 422
    assert answer.context["form"].errors == {field: [sentence]}


def test_a_visit_is_not_in_the_future(browser, visit):
    page = browser.get(address(visit))

    answer = browser.post(address(visit), typed(page, on=day(1)) | DONE)

    sentence = "A visit can't be in the future. Enter today or earlier."
    assert (answer.status_code, answer.context["form"].errors) == (422, {"on": [sentence]})


def test_a_wrong_date_does_not_hold_the_text_back(browser, visit):
    page = browser.get(address(visit))

    browser.post(address(visit), typed(page, plan="Go on.", due_on="2026-03-01"), **TYPING)

    visit.refresh_from_db()
    assert (visit.plan, visit.due_on) == ("Go on.", None)


def test_wrong_minutes_do_not_hold_the_text_back(browser, visit):
    page = browser.get(address(visit))

    browser.post(address(visit), typed(page, plan="Go on.", minutes="241"), **TYPING)

    visit.refresh_from_db()
    assert (visit.plan, visit.minutes) == ("Go on.", None)


@pytest.mark.parametrize("minutes", [1, 45, 240])
def test_the_time_spent_is_kept_and_read_in_the_signed_notes(browser, visit, minutes):
    browser.post(address(visit), typed(browser.get(address(visit)), minutes=str(minutes)) | DONE)
    visit.refresh_from_db()
    visit.sign(by=visit.practitioner, at=timezone.now())

    page = browser.get(address(visit)).content.decode()

    assert f"<p>Time spent: {minutes} min.</p>" in page


@pytest.mark.parametrize("minutes", [0, 241])
def test_the_database_refuses_a_time_spent_out_of_range(visit, minutes):
    with pytest.raises(IntegrityError, match="visit_minutes_1_to_240"):
        Visit.objects.filter(pk=visit.pk).update(minutes=minutes)


def test_a_due_day_more_than_12_weeks_away_is_doubted_and_kept(browser, visit):
    page = browser.get(address(visit))

    answer = browser.post(address(visit), typed(page, due_on="2026-05-26"), **TYPING)

    visit.refresh_from_db()
    assert visit.due_on == datetime.date(2026, 5, 26)
    assert "Is the year right?" in answer.content.decode()


def test_12_weeks_are_not_doubted(browser, visit):
    page = browser.get(address(visit))

    answer = browser.post(address(visit), typed(page, due_on="2026-05-25"), **TYPING)

    assert "Is the year right?" not in answer.content.decode()


def test_two_who_write_the_same_draft_see_both_versions(browser, visit):
    opened = browser.get(address(visit))
    Visit.objects.update(plan="Theirs.")

    answer = browser.post(address(visit), typed(opened, plan="Mine.") | DONE)

    visit.refresh_from_db()
    shown = [(c.label, c.theirs, c.mine) for c in answer.context["form"].conflicts]
    assert (visit.plan, shown) == ("Theirs.", [("Plan", "Theirs.", "Mine.")])


def test_typing_on_does_not_decide_between_two_versions(browser, visit):
    opened = browser.get(address(visit))
    Visit.objects.update(plan="Theirs.")
    first = browser.post(address(visit), typed(opened, plan="Mine."), **TYPING)

    browser.post(address(visit), typed(first, plan="Mine, longer."), **TYPING)

    visit.refresh_from_db()
    assert visit.plan == "Theirs."


def test_the_button_decides_between_two_versions_in_view(browser, visit):
    opened = browser.get(address(visit))
    Visit.objects.update(plan="Theirs.")
    shown = browser.post(address(visit), typed(opened, plan="Mine."), **TYPING)

    browser.post(address(visit), typed(shown, plan="Both.") | DONE)

    visit.refresh_from_db()
    assert visit.plan == "Both."


def test_a_second_save_of_the_same_page_is_not_stale(browser, visit):
    page = browser.get(address(visit))
    state = browser.post(address(visit), typed(page, plan="One."), **TYPING)

    browser.post(address(visit), typed(state, plan="One, two."), **TYPING)

    visit.refresh_from_db()
    assert visit.plan == "One, two."


def test_notes_typed_after_the_session_ended_are_there_after_signing_in(browser, visit):
    sign_in = reverse("clinic:sign_in")
    who = {"username": visit.practitioner.username, "password": PASSWORD}
    browser.logout()
    browser.post(sign_in, who)
    page = browser.get(address(visit))
    browser.cookies.pop("sessionid")

    browser.post(address(visit), typed(page, plan="Typed too late."))
    browser.post(f"{sign_in}?next={address(visit)}", who)

    assert browser.get(address(visit)).context["form"]["plan"].value() == "Typed too late."


@pytest.mark.parametrize(
    ("was_due", "wanted", "due"),
    [(-3, None, None), (0, None, None), (4, None, 4), (-3, 7, 7), (4, 7, 7), (None, None, None)],
)
def test_a_day_that_the_visit_has_answered_is_due_no_more(visit, was_due, wanted, due):
    def day(after):
        return None if after is None else visit.on + datetime.timedelta(days=after)

    visit.case.set_due(day(was_due))
    visit.due_on = day(wanted)

    visit.sign(by=visit.practitioner, at=timezone.now())

    visit.case.refresh_from_db()
    assert visit.case.due_on == day(due)


def test_signed_notes_are_read_and_not_written(browser, physiotherapist):
    signed = create_signed_visit(case=create_case(lead=physiotherapist), plan="As it was.")

    page = browser.get(address(signed)).content.decode()

    assert "As it was." in page
    assert "notes-plan" not in page


def test_what_is_typed_into_a_visit_signed_meanwhile_is_shown_and_not_saved(browser, visit):
    page = browser.get(address(visit))
    visit.sign(by=visit.practitioner, at=timezone.now())

    answer = browser.post(address(visit), typed(page, plan="Too late.") | DONE)

    visit.refresh_from_db()
    assert (visit.plan, answer.status_code) == ("", 422)
    assert answer.context["form"]["plan"].value() == "Too late."
    assert answer.context["form"].non_field_errors() == [
        "This visit is signed. Nothing was saved; copy it into an addendum."
    ]


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_who_treats_opens_the_notes(request, signed_in, visit, who, status):
    browser = signed_in(request.getfixturevalue(who))

    assert browser.get(address(visit)).status_code == status


def test_notes_of_another_clinic_do_not_exist(browser):
    elsewhere = address(create_visit())

    assert (browser.get(elsewhere).status_code, browser.post(elsewhere).status_code) == (404, 404)


def test_notes_are_not_deleted(browser, visit):
    assert browser.delete(address(visit)).status_code == 405


def test_a_visit_begins_today_as_a_draft(browser, physiotherapist):
    case = create_case(lead=physiotherapist)

    answer = browser.post(reverse("cases:visit_begin", args=[case.pk]))

    visit = case.visits.get()
    assert (visit.on, visit.practitioner) == (timezone.localdate(), physiotherapist)
    assert answer.url == reverse("rehab:visit", args=[visit.pk])


def test_beginning_again_returns_the_draft_that_is_there(browser, visit):
    answer = browser.post(reverse("cases:visit_begin", args=[visit.case_id]))

    assert answer.url == reverse("rehab:visit", args=[visit.pk])
    assert Visit.objects.count() == 1


def test_a_closed_case_gets_no_new_visit(browser, physiotherapist):
    case = create_case(lead=physiotherapist)
    case.close("discharged", on=case.opened, reason="settled")

    browser.post(reverse("cases:visit_begin", args=[case.pk]))

    assert case.visits.count() == 0


@pytest.mark.parametrize(("who", "status"), [("front_desk", 403), ("manager", 403)])
def test_only_who_treats_begins_a_visit(request, signed_in, physiotherapist, who, status):
    case = create_case(lead=physiotherapist)
    browser = signed_in(request.getfixturevalue(who))

    assert browser.post(reverse("cases:visit_begin", args=[case.pk])).status_code == status


def test_no_visit_begins_in_another_clinic(browser):
    elsewhere = reverse("cases:visit_begin", args=[create_case().pk])

    assert (browser.post(elsewhere).status_code, browser.get(elsewhere).status_code) == (404, 405)


@pytest.mark.parametrize("earlier", [1, 3])
def test_notes_cost_the_same_however_many_visits(
    browser, physiotherapist, django_assert_num_queries, earlier
):
    case = create_case(lead=physiotherapist)
    for _visit in range(earlier):
        create_signed_visit(case=case)
    draft = create_visit(case=case)

    with django_assert_num_queries(4):
        browser.get(address(draft))


@pytest.fixture
def after_a_signed_one(physiotherapist):
    """A draft of 30 March; the visit of 16 March is signed."""
    case = create_case(lead=physiotherapist)
    create_signed_visit(case=case, on=datetime.date(2026, 3, 16))
    return create_visit(case=case, on=datetime.date(2026, 3, 30))


def test_a_date_before_a_signed_visit_is_asked_about_and_the_text_is_kept(
    browser, after_a_signed_one
):
    visit = after_a_signed_one
    page = browser.get(address(visit))

    answer = browser.post(address(visit), typed(page, on="2026-03-09", plan="Go on."), **TYPING)

    visit.refresh_from_db()
    sentence = (
        "A visit of 16 Mar 2026 is signed already. Change the date, or tick that it is right."
    )
    assert answer.context["form"].errors == {"on": [sentence]}
    assert answer.content.decode().count('name="notes-date_is_right"') == 1
    assert (visit.on, visit.plan) == (datetime.date(2026, 3, 30), "Go on.")


def test_a_visit_that_was_written_down_late_keeps_its_day(browser, after_a_signed_one):
    visit = after_a_signed_one
    page = browser.get(address(visit))

    browser.post(address(visit), typed(page, on="2026-03-09", date_is_right="on"), **TYPING)

    visit.refresh_from_db()
    assert visit.on == datetime.date(2026, 3, 9)
    again = browser.post(
        address(visit), typed(browser.get(address(visit)), plan="Go on."), **TYPING
    )
    assert again.context["form"].errors == {}


@pytest.mark.parametrize("on", ["2026-03-16", "2026-03-17"])
def test_the_day_of_a_signed_visit_or_a_later_one_is_not_asked_about(
    browser, after_a_signed_one, on
):
    page = browser.get(address(after_a_signed_one))

    answer = browser.post(address(after_a_signed_one), typed(page, on=on), **TYPING)

    assert answer.context["form"].errors == {}
    assert "date_is_right" not in answer.content.decode()


def test_of_two_visits_of_one_day_the_first_came_before_the_second_alone(visit, physiotherapist):
    visit.sign(by=physiotherapist, at=timezone.now())
    later = create_visit(case=visit.case)

    assert later.on == visit.on
    assert list(Visit.objects.before(later)) == [visit]
    assert not Visit.objects.before(visit).exists()
