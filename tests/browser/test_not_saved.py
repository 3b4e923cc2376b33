"""A form that can't be saved: the clinician sees it, what was typed stays, and it is saved when it can be."""

import errno
import itertools

import pytest
from django.utils import timezone

from cases.models import Visit
from clinic import trouble
from tests.factories.cases import create_case, create_visit

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def visit(physiotherapist):
    return create_visit(case=create_case(lead=physiotherapist, opened=timezone.localdate()))


@pytest.fixture
def physio(person, physiotherapist, visit):
    physio = person(physiotherapist)
    physio.open(f"/visits/{visit.pk}/notes/")
    return physio


@pytest.fixture
def disk(monkeypatch):
    """A disk that can be filled and emptied, behind the notes of a visit."""
    save, full = Visit.save, []

    def write(*args, **kwargs):
        if full:
            raise OSError(errno.ENOSPC, "No space left on device")
        return save(*args, **kwargs)

    monkeypatch.setattr(Visit, "save", write)
    return full


def write(physio, text):
    physio.field("notes-subjective").press_sequentially(text)


def test_a_full_disk_is_shown_beside_what_was_typed(physio, visit, disk):
    disk.append("full")
    told = physio.page.locator("form .not-saved")

    write(physio, "Planed boards.")
    told.wait_for()

    assert "The server's disk is full or failing, so nothing can be saved." in told.inner_text()
    assert "What you typed is still here, and is sent again by itself." in told.inner_text()
    assert physio.field("notes-subjective").input_value() == "Planed boards."
    assert told.evaluate("e => e.getBoundingClientRect().bottom <= innerHeight")

    disk.clear()
    write(physio, " Slept well.")
    physio.wait_until_saved("notes")
    visit.refresh_from_db()
    assert (visit.subjective, told.count()) == ("Planed boards. Slept well.", 0)


def test_it_is_saved_by_itself_when_that_is_possible_again(physio, visit, disk, monkeypatch):
    monkeypatch.setitem(
        trouble.SYSTEM, errno.ENOSPC, trouble.Trouble(**vars(trouble.FULL) | {"retry_s": 1})
    )
    disk.append("full")
    write(physio, "Planed boards.")
    physio.page.locator("form .not-saved").wait_for()

    disk.clear()
    physio.wait_until_saved("notes")

    visit.refresh_from_db()
    assert visit.subjective == "Planed boards."
    assert physio.page.locator("form .not-saved").count() == 0


def test_the_button_leads_nowhere_while_nothing_can_be_saved(physio, disk):
    disk.append("full")
    here = physio.page.url
    write(physio, "Planed boards.")

    physio.press("Save the notes")
    physio.page.locator("form .not-saved").wait_for()

    assert physio.page.url == here
    assert physio.field("notes-subjective").input_value() == "Planed boards."


def test_a_server_that_does_not_answer_is_shown_too(physio, visit):
    physio.page.context.set_offline(True)
    write(physio, "Planed boards.")
    told = physio.page.locator("form .not-saved")
    told.wait_for()

    assert "Not saved: the server doesn't answer" in told.inner_text()

    physio.page.context.set_offline(False)
    write(physio, " Slept well.")
    physio.wait_until_saved("notes")
    visit.refresh_from_db()
    assert (visit.subjective, told.count()) == ("Planed boards. Slept well.", 0)


def test_an_error_of_the_program_is_not_sent_again_by_itself(physio, monkeypatch):
    """Others are, after five minutes at the latest."""
    physio.page.clock.install()
    physio.page.reload()
    tries = itertools.count()
    monkeypatch.setattr(Visit, "save", lambda *args, **kwargs: next(tries) / 0)
    write(physio, "Planed boards.")
    told = physio.page.locator("form .not-saved")
    told.wait_for()

    assert "Something went wrong on our side" in told.inner_text()
    assert "Reference" in told.inner_text()
    physio.page.clock.fast_forward(300_000)
    physio.hear_from_the_server()
    assert next(tries) == 1


def test_a_form_with_a_button_comes_back_with_all_that_was_typed(
    person, front_desk, physiotherapist, monkeypatch
):
    case = create_case(lead=physiotherapist)
    desk = person(front_desk)
    desk.open(f"/cases/{case.pk}/calls/")
    fails = [True]
    save = case.contacts.model.save

    def write(*args, **kwargs):
        if fails:
            raise OSError(errno.EROFS, "Read-only file system")
        return save(*args, **kwargs)

    monkeypatch.setattr(case.contacts.model, "save", write)
    desk.choose("outcome", "reached")
    desk.type("note", "Calls back  on <Friday>")
    with desk.page.expect_navigation():
        desk.field("note").press("Enter")
    assert "nothing can be saved in it" in desk.reads()

    fails.clear()
    with desk.page.expect_navigation():
        desk.press("Send it again")

    assert [one.note for one in case.contacts.all()] == ["Calls back  on <Friday>"]
