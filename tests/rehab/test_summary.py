"""The course summary as it is printed from the case."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from clinic.models import AuditEvent, Clinic
from rehab.models import Handout
from tests.factories.assessments import create_pain
from tests.factories.cases import create_case, create_clear_screening, create_visit
from tests.factories.clinic import create_physiotherapist
from tests.factories.rehab import create_issued
from tests.rehab.printing.sheets import opened, sizes_of, text_of
from tests.rehab.test_course_page import rich

WEEK = datetime.timedelta(weeks=1)


def address(case) -> str:
    return reverse("rehab:summary", args=[case.pk])


def test_it_opens_under_a_name_without_the_patients(browser, case):
    create_pain(visit=create_visit(case=case), on_gripping=4)
    answer = browser.get(address(case))

    day = timezone.localdate()
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == (
        f'inline; filename="summary-{case.patient.record}-{day:%Y-%m-%d}.pdf"'
    )
    assert "Your pain when you grip: 4 out of 10." in text_of(answer.content)


def test_it_is_kept_as_it_was_given_in_the_patients_language(browser, case):
    case.patient.language = "es"
    case.patient.save()
    answer = browser.get(address(case))

    kept = Handout.objects.get()
    assert (kept.kind, kept.case, kept.language) == ("summary", case, "es")
    assert kept.as_it_was() == answer.content
    assert opened(answer.content).root_object["/Lang"] == "es"
    assert AuditEvent.objects.latest("pk").detail == {"what": "summary", "sha": kept.mark}


@pytest.mark.parametrize(
    ("role", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_clinical_readers_alone_print_it(request, signed_in, case, role, status):
    staff = request.getfixturevalue(role)

    assert signed_in(staff).get(address(case)).status_code == status
    assert Handout.objects.exists() is (status == 200)


def test_another_clinics_case_does_not_exist(signed_in, case):
    stranger = signed_in(create_physiotherapist())

    assert stranger.get(address(case)).status_code == 404
    assert stranger.post(address(case)).status_code == 405


def test_a_closed_case_has_one(browser, case):
    case.close("discharged", on=timezone.localdate(), reason="goals met")

    assert "discharged, goals met." in text_of(browser.get(address(case)).content)


def test_it_takes_the_clinics_paper_and_the_patients_print_size(browser, case):
    case.patient.clinic.paper = Clinic.PaperSize.LETTER
    case.patient.clinic.save()
    case.patient.print_size = "large"
    case.patient.save()
    data = browser.get(address(case)).content

    assert opened(data).pages[0].mediabox[2:] == [612, 792]
    # Head and foot are set in fourteen points.
    assert min(sizes_of(data) - {14}) == 18


def test_a_sign_that_the_type_lacks_is_refused_in_a_sentence(browser, case):
    case.patient.family_name = "محمد"
    case.patient.save()
    answer = browser.get(address(case))

    assert answer.status_code == 422
    assert "can't be printed" in answer.content.decode()
    assert not Handout.objects.exists()


# Five of them keep the sheet as it was handed out.
def test_it_costs_the_same_however_long_the_course_is(
    browser, physiotherapist, django_assert_max_num_queries
):
    counts = []
    for visits in (1, 6):
        case = create_case(lead=physiotherapist, opened=timezone.localdate() - 12 * WEEK)
        rich(case, visits=visits)
        create_clear_screening(case=case, locking="yes")
        with django_assert_max_num_queries(36) as queries:
            assert browser.get(address(case)).status_code == 200
        counts.append(len(queries))

    assert counts == [counts[0]] * 2


def test_the_case_and_its_course_lead_to_it(browser, case):
    page = reverse("rehab:case", args=[case.pk])
    assert address(case) not in browser.get(page).content.decode()

    create_pain(visit=create_visit(case=case), on_gripping=4)
    create_issued(case=case)

    for name in ("rehab:case", "rehab:course"):
        page = browser.get(reverse(name, args=[case.pk])).content.decode()
        assert f'href="{address(case)}"' in page
