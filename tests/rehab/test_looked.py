"""Nothing is signed, issued, decided or thrown away that was changed after the person looked."""

import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import Intake
from rehab.models import Decision, Program
from tests.factories.cases import create_case, create_clear_screening, create_visit
from tests.factories.rehab import create_diary, create_draft, create_issued

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(physiotherapist):
    opened = timezone.localdate() - datetime.timedelta(days=14)
    case = create_case(lead=physiotherapist, opened=opened)
    Intake.objects.create(case=case, nights_woken=0)
    create_clear_screening(case=case)
    return case


def looked(browser, url) -> dict[str, str]:
    """What the page's button sends."""
    page = browser.get(url).content.decode()
    return {"seen": re.search(r'name="seen" value="([^"]+)"', page)[1]}


def test_a_note_written_after_looking_is_not_signed_unseen(browser, case):
    visit = create_visit(case=case, on=timezone.localdate(), plan="Rest.")
    sign = reverse("rehab:sign", args=[visit.pk])
    seen = looked(browser, sign)
    visit.plan = "Rest on Friday."
    visit.save()

    refused = browser.post(sign, seen)
    visit.refresh_from_db()
    assert (refused.url, visit.is_signed) == (sign, False)
    assert "Look once more, then sign." in browser.get(sign).content.decode()

    browser.post(sign, looked(browser, sign))
    visit.refresh_from_db()
    assert visit.is_signed


def test_a_dose_changed_after_looking_is_not_issued_unseen(browser, case):
    draft = create_draft(case=case, version=1)
    issue = reverse("rehab:program_issue", args=[case.pk])
    seen = looked(browser, issue)
    draft.exercises.update(sets=4)

    refused = browser.post(issue, seen)
    assert (refused.url, Program.objects.current_of(case)) == (issue, None)

    browser.post(issue, looked(browser, issue))
    assert Program.objects.current_of(case) == draft


def test_a_draft_that_somebody_else_has_changed_is_not_thrown_away(browser, case):
    draft = create_draft(case=case, version=1)
    page, discard = (
        reverse(name, args=[case.pk]) for name in ("rehab:program", "rehab:program_discard")
    )
    seen = looked(browser, page)
    draft.exercises.update(remark="Slowly.")

    refused = browser.post(discard, seen)
    assert (refused.url, Program.objects.draft_of(case)) == (page, draft)

    browser.post(discard, looked(browser, page))
    assert Program.objects.draft_of(case) is None


def test_what_is_proposed_otherwise_since_is_read_before_it_is_decided(browser, case):
    issued = timezone.now() - datetime.timedelta(days=14)
    days = create_diary(program=create_issued(case=case, at=issued, version=1), days=13)
    visit = create_visit(case=case, on=timezone.localdate())
    url = reverse("rehab:decision", args=[visit.pk])
    form = browser.get(url).context["decision"].form
    typed = {name: form[name].value() for name in form.fields} | looked(browser, url)
    for day in days[-3:]:
        day.worst_pain = 8
        day.save()

    otherwise = typed | {"reason": "Regatta this week."}
    refused = browser.post(url, otherwise)
    page = refused.content.decode()
    assert (refused.status_code, Decision.objects.at(visit)) == (422, None)
    assert "What is proposed has changed since you looked." in page
    assert "Regatta this week." in page

    browser.post(url, otherwise | looked(browser, url))
    assert Decision.objects.at(visit).reason == "Regatta this week."
