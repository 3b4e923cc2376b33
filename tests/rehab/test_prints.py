"""The views that print."""

import datetime
import io

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from clinic.models import AuditEvent, Clinic, Logo
from rehab.models import Handout
from tests.clinic.logos import png
from tests.factories.cases import create_appointment, create_case, create_patient, create_visit
from tests.factories.clinic import create_front_desk
from tests.factories.rehab import create_draft, create_issued
from tests.rehab.printing.sheets import opened, text_of

SHEETS = [
    ("rehab:home_program", "home-program-0217-v2.pdf", "home program", "Get help the same day if"),
    ("rehab:diary_page", "diary-0217-v2.pdf", "diary page", "Pain next morning"),
]
VIEWS = [sheet[0] for sheet in SHEETS]


@pytest.fixture
def program(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, record_number=217)
    return create_issued(case=create_case(lead=physiotherapist, patient=patient))


@pytest.mark.parametrize(("view", "file", "what", "words"), SHEETS)
def test_the_sheet_opens_under_a_name_without_the_patients(
    signed_in, physiotherapist, program, view, file, what, words
):
    response = signed_in(physiotherapist).get(reverse(view, args=[program.pk]))

    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == f'inline; filename="{file}"'
    assert response["Cache-Control"] == "no-store"
    assert words in text_of(response.content)


@pytest.mark.parametrize(("view", "file", "what", "words"), SHEETS)
def test_each_print_is_one_row_of_the_audit_trail(
    signed_in, front_desk, program, view, file, what, words
):
    signed_in(front_desk).get(reverse(view, args=[program.pk]))

    events = AuditEvent.objects.filter(verb="printed").values_list(
        "actor", "object_type", "object_id", "detail"
    )
    detail = {"what": what, "sha": Handout.objects.get().mark}
    assert list(events) == [(front_desk.pk, "program", program.pk, detail)]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_of_the_clinic_may_print(request, signed_in, program, view, role):
    staff = request.getfixturevalue(role)

    assert signed_in(staff).get(reverse(view, args=[program.pk])).status_code == 200


@pytest.mark.parametrize("view", VIEWS)
def test_a_program_of_another_clinic_does_not_exist(signed_in, program, view):
    response = signed_in(create_front_desk()).get(reverse(view, args=[program.pk]))

    assert response.status_code == 404
    assert not AuditEvent.objects.filter(verb="printed").exists()


@pytest.mark.parametrize("view", VIEWS)
def test_a_draft_is_not_printed(signed_in, physiotherapist, view):
    draft = create_draft(case=create_case(lead=physiotherapist))

    assert signed_in(physiotherapist).get(reverse(view, args=[draft.pk])).status_code == 404


@pytest.mark.parametrize("view", VIEWS)
def test_nobody_prints_without_signing_in(client, program, view):
    response = client.get(reverse(view, args=[program.pk]))

    assert response.status_code == 302
    assert response.url.startswith(reverse("clinic:sign_in"))


@pytest.mark.parametrize("view", VIEWS)
def test_printing_is_only_reading(signed_in, physiotherapist, program, view):
    assert signed_in(physiotherapist).post(reverse(view, args=[program.pk])).status_code == 405


@pytest.mark.parametrize("view", VIEWS)
def test_a_name_that_can_not_be_printed_is_refused_in_words(
    signed_in, physiotherapist, program, view
):
    patient = program.case.patient
    patient.family_name = "王"
    patient.save()
    response = signed_in(physiotherapist).get(reverse(view, args=[program.pk]))

    assert response.status_code == 422
    assert "“Marit 王” can&#x27;t be printed" in response.content.decode()
    assert not AuditEvent.objects.filter(verb="printed").exists()


def test_the_next_visit_is_printed_in_the_clinics_own_time(signed_in, front_desk, program):
    tomorrow = timezone.now() + datetime.timedelta(days=1)
    starts = tomorrow.replace(month=7, day=1, year=tomorrow.year + 1, hour=9, minute=0)
    create_appointment(
        practitioner=program.case.lead,
        patient=program.case.patient,
        case=program.case,
        starts_at=starts,
    )
    page = signed_in(front_desk).get(reverse("rehab:home_program", args=[program.pk]))

    # London keeps summer time in July: 09:00 UTC is 10:00 there.
    assert f"1 Jul {starts.year} at 10:00, with" in text_of(page.content)


def test_large_print_is_what_a_patient_of_large_print_gets(signed_in, front_desk, program):
    url = reverse("rehab:home_program", args=[program.pk])
    normal = signed_in(front_desk).get(url)
    program.case.patient.print_size = "large"
    program.case.patient.save()
    large = signed_in(front_desk).get(url)

    assert text_of(large.content).count("page 1 of") == 1
    assert "of 4 " in text_of(normal.content)
    assert "of 4 " not in text_of(large.content)


@pytest.mark.parametrize(
    ("view", "size"),
    [
        ("rehab:home_program", (612, 792)),
        ("rehab:diary_page", (792, 612)),
        ("rehab:visit_record", (612, 792)),
        ("rehab:course_pdf", (612, 792)),
    ],
)
def test_a_sheet_is_set_on_the_paper_of_the_clinic(signed_in, physiotherapist, program, view, size):
    Clinic.objects.update(paper="letter")
    visit = create_visit(case=program.case)
    pk = {"rehab:visit_record": visit.pk, "rehab:course_pdf": program.case_id}.get(view, program.pk)

    printed = signed_in(physiotherapist).get(reverse(view, args=[pk])).content

    pages = PdfReader(io.BytesIO(printed)).pages
    assert {(page.mediabox.width, page.mediabox.height) for page in pages} == {size}


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize(("logo", "pictures"), [(b"", 0), (png(), 1)])
def test_the_clinics_logo_stands_on_the_patients_sheets(
    signed_in, physiotherapist, program, view, logo, pictures
):
    if logo:
        Logo.objects.put(physiotherapist.clinic, logo)

    printed = signed_in(physiotherapist).get(reverse(view, args=[program.pk]))

    first, *others = opened(printed.content).pages
    assert len(first.images) == pictures
    assert [len(page.images) for page in others] == [0] * len(others)
