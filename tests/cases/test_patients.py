import datetime
import re
from urllib.parse import urlencode

import pytest
from django.urls import reverse

from cases.models import Patient
from clinic.models import AuditEvent
from tests.cases.conftest import at
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = pytest.mark.django_db

LIST = "/patients/"
NEW = "/patients/new/"


def typed(**changes):
    """A complete form, but for `changes`."""
    return {
        "given_name": "Marit",
        "family_name": "Oyelaran",
        "born": "1981-05-04",
        "sex": "female",
        "handedness": "right",
        "phone": "+44 1632 960100",
        "email": "marit@example.org",
        "language": "en",
        "print_size": "normal",
    } | changes


def shown(response):
    return [str(patient) for patient in response.context["page"]]


def done():
    return list(AuditEvent.objects.exclude(verb="signed in").values_list("verb", flat=True))


def test_the_list_shows_the_clinics_patients_by_name(front_desk, signed_in):
    create_patient(clinic=front_desk.clinic, given_name="Tor", family_name="Zahl")
    create_patient(clinic=front_desk.clinic, given_name="Ana", family_name="Aker")
    create_patient()

    assert shown(signed_in(front_desk).get(LIST)) == ["Ana Aker", "Tor Zahl"]


@pytest.mark.parametrize("query", ["zahl", "ZA", "tor z", "7", "0007", "za\0"])
def test_a_patient_is_found_by_name_and_by_record_number(front_desk, signed_in, query):
    create_patient(clinic=front_desk.clinic, given_name="Tor", family_name="Zahl", record_number=7)
    create_patient(clinic=front_desk.clinic, given_name="Ana", family_name="Aker", record_number=8)

    assert shown(signed_in(front_desk).get(LIST, {"q": query})) == ["Tor Zahl"]


def test_a_raised_figure_is_no_record_number(front_desk, signed_in):
    assert shown(signed_in(front_desk).get(LIST, {"q": "²"})) == []


@pytest.mark.parametrize(
    ("sort", "expected"),
    [
        ("record", ["Tor Zahl", "Ana Aker"]),
        ("-name", ["Tor Zahl", "Ana Aker"]),
        ("x", ["Ana Aker", "Tor Zahl"]),
    ],
)
def test_the_list_is_sorted_as_asked(front_desk, signed_in, sort, expected):
    create_patient(clinic=front_desk.clinic, given_name="Tor", family_name="Zahl", record_number=1)
    create_patient(clinic=front_desk.clinic, given_name="Ana", family_name="Aker", record_number=2)

    assert shown(signed_in(front_desk).get(LIST, {"sort": sort})) == expected


def test_the_list_is_paged_and_keeps_the_search(front_desk, signed_in):
    for _ in range(26):
        create_patient(clinic=front_desk.clinic)

    page = signed_in(front_desk).get(LIST, {"q": "oyelaran", "page": 2})

    assert len(shown(page)) == 1
    assert "?q=oyelaran&amp;page=1" in page.content.decode()


@pytest.mark.parametrize(("query", "title"), [("", "No patients yet"), ("zahl", "Nobody found")])
def test_an_empty_list_says_what_to_do(front_desk, signed_in, query, title):
    page = signed_in(front_desk).get(LIST, {"q": query}).content.decode()

    assert title in page
    assert f'href="{NEW}"' in page


@pytest.mark.parametrize("patients", [1, 3])
def test_the_list_costs_the_same_however_many_patients(
    front_desk, signed_in, patients, django_assert_num_queries
):
    for _ in range(patients):
        create_patient(clinic=front_desk.clinic)
    client = signed_in(front_desk)

    with django_assert_num_queries(4):
        client.get(LIST)


def test_registering_gives_the_next_record_number(front_desk, signed_in):
    create_patient(clinic=front_desk.clinic, family_name="Zahl", record_number=41)
    create_patient(record_number=90)

    response = signed_in(front_desk).post(NEW, typed())

    patient = Patient.objects.get(record_number=42)
    assert (str(patient), patient.clinic) == ("Marit Oyelaran", front_desk.clinic)
    assert response.url == reverse("cases:patient", args=[patient.pk])
    assert done() == ["registered"]


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"given_name": " "}, "given_name", "Enter the given name."),
        ({"family_name": ""}, "family_name", "Enter the family name."),
        ({"born": ""}, "born", "Enter the birth date."),
        (
            {"born": "31 Febr"},
            "born",
            "Enter the birth date as year-month-day, for example 1981-05-04.",
        ),
        ({"born": "2026-03-13"}, "born", "The birth date is in the future. Check the year."),
        ({"born": "1899-12-31"}, "born", "Enter a birth date after 1900. Check the year."),
        ({"sex": ""}, "sex", "Choose one; “not stated” is an answer too."),
        ({"handedness": ""}, "handedness", "Choose the hand that writes and works."),
        (
            {"phone": "ask her"},
            "phone",
            "Enter the phone number in digits, for example +44 1632 960100.",
        ),
        (
            {"email": "marit"},
            "email",
            "Enter the e-mail address in full, for example marit@example.org.",
        ),
    ],
)
def test_bad_input_is_answered_at_its_field(
    front_desk, signed_in, morning, changes, field, sentence
):
    response = signed_in(front_desk).post(NEW, typed(**changes))

    assert response.status_code == 422
    assert response.context["form"].errors == {field: [sentence]}
    assert not Patient.objects.exists()


@pytest.mark.parametrize("born", ["2026-03-12", "1900-01-01"])
def test_the_first_and_the_last_possible_birth_dates_are_taken(
    front_desk, signed_in, morning, born
):
    signed_in(front_desk).post(NEW, typed(born=born))

    assert Patient.objects.get().born == datetime.date.fromisoformat(born)


def test_a_likely_duplicate_is_shown_before_a_second_record_is_made(front_desk, signed_in):
    known = create_patient(clinic=front_desk.clinic, given_name="Marit", family_name="Oyelarin")
    create_patient(given_name="Marit", family_name="Oyelaran")

    response = signed_in(front_desk).post(NEW, typed())

    buttons = re.findall(r"<button.*?>", response.content.decode().split("<main")[1])
    assert "anyway" not in buttons[0]  # Enter in a field presses the first one
    assert response.context["look_alikes"] == [known]
    assert response.context["form"]["family_name"].value() == "Oyelaran"
    assert Patient.objects.of(front_desk.clinic).count() == 1


BEGUN = "/book/new/?practitioner=3&day=2026-03-13&start=10:30&q=Oyelaran"
GOES_ON = "/book/new/?practitioner=3&day=2026-03-13&start=10%3A30&patient="


def test_who_is_registered_while_being_booked_keeps_the_time(front_desk, signed_in):
    desk, page = signed_in(front_desk), f"{NEW}?{urlencode({'next': BEGUN})}"

    asked, registered = desk.get(page), desk.post(page, typed())

    assert asked.context["next"] == BEGUN
    assert registered.url == f"{GOES_ON}{Patient.objects.get().pk}"


def test_who_is_on_record_after_all_keeps_the_time_too(front_desk, signed_in):
    known = create_patient(clinic=front_desk.clinic, given_name="Marit", family_name="Oyelarin")

    answer = signed_in(front_desk).post(f"{NEW}?{urlencode({'next': BEGUN})}", typed())

    assert answer.context["known"] == [(known, f"{GOES_ON}{known.pk}")]


@pytest.mark.parametrize("way", ["/mail/", "https://example.org/book/new/", "//example.org/"])
def test_registering_leads_to_the_patient_from_everywhere_else(front_desk, signed_in, way):
    answer = signed_in(front_desk).post(f"{NEW}?{urlencode({'next': way})}", typed())

    assert answer.url == f"/patients/{Patient.objects.get().pk}/"


def test_a_person_who_only_looks_alike_is_registered_all_the_same(front_desk, signed_in):
    create_patient(clinic=front_desk.clinic, given_name="Marit", family_name="Oyelarin")

    signed_in(front_desk).post(NEW, typed(anyway="1"))

    assert Patient.objects.of(front_desk.clinic).count() == 2


def test_the_page_shows_cases_and_appointments_and_is_written_down(front_desk, signed_in, morning):
    case = create_case(lead=create_physiotherapist(clinic=front_desk.clinic))
    past, coming, other = (
        create_appointment(
            starts_at=at(hour, day=day), practitioner=case.lead, patient=case.patient
        )
        for hour, day in [
            (9, datetime.date(2026, 3, 11)),
            (9, datetime.date(2026, 3, 13)),
            (7, case.opened),
        ]
    )

    context = signed_in(front_desk).get(f"/patients/{case.patient_id}/").context

    assert list(context["cases"]) == [case]
    assert list(context["coming"]) == [coming]
    assert list(context["past"]) == [past, other]
    assert done() == ["opened"]


def test_front_desk_is_given_no_way_into_a_case(front_desk, signed_in):
    case = create_case(lead=create_physiotherapist(clinic=front_desk.clinic))

    page = signed_in(front_desk).get(f"/patients/{case.patient_id}/").content.decode()

    assert f'/cases/{case.pk}/"' not in page


def test_a_physiotherapist_is_led_into_the_case(physiotherapist, signed_in):
    case = create_case(lead=physiotherapist)

    page = signed_in(physiotherapist).get(f"/patients/{case.patient_id}/").content.decode()

    assert f'href="{reverse("rehab:case", args=[case.pk])}"' in page


@pytest.mark.parametrize("rows", [1, 3])
def test_the_page_costs_the_same_however_long_the_story(
    front_desk, signed_in, morning, rows, django_assert_num_queries
):
    patient = create_patient(clinic=front_desk.clinic)
    for row in range(rows):
        day = datetime.date(2026, 3, 12 + row)
        lead = create_physiotherapist(clinic=front_desk.clinic)
        create_case(lead=lead, patient=patient, status="discharged", closed=day)
        create_appointment(starts_at=at(9, day=day), practitioner=lead, patient=patient)
    client = signed_in(front_desk)

    with django_assert_num_queries(7):
        client.get(f"/patients/{patient.pk}/")


def test_editing_changes_the_record_and_says_which_fields(front_desk, signed_in):
    patient = create_patient(clinic=front_desk.clinic)
    client, url = signed_in(front_desk), f"/patients/{patient.pk}/edit/"
    opened_with = client.get(url).context["form"].now

    client.post(url, typed(family_name="Strand", opened_with=opened_with))

    patient.refresh_from_db()
    assert patient.family_name == "Strand"
    assert AuditEvent.objects.get(verb="changed").detail == {"fields": ["family_name"]}


def test_when_it_suits_is_ticked_and_shown_in_words(front_desk, signed_in):
    patient = create_patient(clinic=front_desk.clinic)
    client, url = signed_in(front_desk), f"/patients/{patient.pk}/"
    opened_with = client.get(f"{url}edit/").context["form"].now

    ticked = {"suits_weekdays": ["3", "1"], "suits_parts": ["evening", "morning"]}
    client.post(f"{url}edit/", typed(opened_with=opened_with, **ticked))

    patient.refresh_from_db()
    assert (patient.suits_weekdays, patient.suits_parts) == ([3, 1], ["evening", "morning"])
    assert "Tue, Thu · morning, evening" in client.get(url).content.decode()


def test_what_is_no_weekday_and_no_part_of_a_day_is_refused(front_desk, signed_in):
    patient = create_patient(clinic=front_desk.clinic)
    client, url = signed_in(front_desk), f"/patients/{patient.pk}/edit/"
    opened_with = client.get(url).context["form"].now

    answer = client.post(
        url, typed(opened_with=opened_with, suits_weekdays=["7"], suits_parts=["night"])
    )

    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["suits_weekdays", "suits_parts"]


def test_a_save_that_comes_too_late_is_shown_side_by_side(front_desk, signed_in):
    patient = create_patient(clinic=front_desk.clinic, family_name="Oyelaran")
    client, url = signed_in(front_desk), f"/patients/{patient.pk}/edit/"
    opened_with = client.get(url).context["form"].now
    Patient.objects.update(phone="+44 1632 960177")

    response = client.post(url, typed(family_name="Strand", opened_with=opened_with))

    conflicts = [(str(c.label), c.theirs, c.mine) for c in response.context["form"].conflicts]
    assert conflicts == [
        ("Family name", "Oyelaran", "Strand"),
        ("Phone", "+44 1632 960177", "+44 1632 960100"),
    ]
    patient.refresh_from_db()
    assert patient.family_name == "Oyelaran"


@pytest.mark.parametrize("path", ["", "edit/"])
def test_a_patient_of_another_clinic_does_not_exist(front_desk, signed_in, path):
    assert signed_in(front_desk).get(f"/patients/{create_patient().pk}/{path}").status_code == 404


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_may_look_for_and_register_patients(request, signed_in, role):
    client = signed_in(request.getfixturevalue(role))

    assert [client.get(url).status_code for url in (LIST, NEW)] == [200, 200]


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get(LIST).url == f"/sign-in/?next={LIST}"


@pytest.mark.parametrize(("method", "url"), [("post", LIST), ("delete", NEW)])
def test_other_methods_are_refused(front_desk, signed_in, method, url):
    assert getattr(signed_in(front_desk), method)(url).status_code == 405


def test_not_stated_is_offered_only_where_it_is_on_record(front_desk, signed_in):
    """Whoever registers a person asks; a file that was brought in may not have said."""
    came = create_patient(clinic=front_desk.clinic, handedness="unset")
    client = signed_in(front_desk)

    assert b'value="unset"' not in client.get(NEW).content
    assert b'value="unset"' in client.get(f"/patients/{came.pk}/edit/").content
    assert client.post(NEW, typed(handedness="unset")).context["form"].errors
