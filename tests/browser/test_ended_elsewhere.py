"""A visit that saves itself while somebody ends its session from elsewhere: nothing typed is lost."""

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from clinic.models import HeldForm, OpenSession
from tests.factories.cases import create_case, create_clear_screening, create_visit
from tests.factories.clinic import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def physio(person, physiotherapist):
    case = create_case(lead=physiotherapist, opened=timezone.localdate())
    create_clear_screening(case=case)
    someone = person(physiotherapist)
    someone.visit = create_visit(case=case, on=timezone.localdate())
    someone.open(f"/visits/{someone.visit.pk}/")
    return someone


def sign_in_again(physio):
    physio.page.wait_for_url("**/sign-in/?next=**")
    assert "Nothing is lost" in physio.reads()
    physio.type("username", physio.staff.username)
    physio.type("password", PASSWORD)
    physio.page.keyboard.press("Enter")
    physio.page.wait_for_url(f"**/visits/{physio.visit.pk}/")


def test_what_is_being_typed_comes_back_in_the_visit(physio):
    OpenSession.objects.all().delete()
    physio.page.locator("[name=notes-plan]").press_sequentially("Rest on Friday.")

    sign_in_again(physio)

    expect(physio.page.locator("[name=notes-plan]")).to_have_value("Rest on Friday.")
    assert not HeldForm.objects.exists()


def test_several_parts_of_a_visit_come_back_together(physio):
    """Two forms are waiting to save themselves when the page learns that its session is over."""
    physio.page.clock.install()
    physio.open(f"/visits/{physio.visit.pk}/")
    physio.page.locator("[name=notes-plan]").press_sequentially("Rest on Friday.")
    physio.page.clock.pause_at(timezone.now().timestamp() + 60)
    physio.page.locator("[name=notes-plan]").press_sequentially(" Then 2 kg.")
    physio.choose("measures-pain_at_rest", 3)
    OpenSession.objects.all().delete()
    physio.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")

    sign_in_again(physio)

    plan = physio.page.locator("[name=notes-plan]")
    expect(plan).to_have_value("Rest on Friday. Then 2 kg.")
    expect(physio.page.locator("[name=measures-pain_at_rest][value='3']")).to_be_checked()
