import datetime
from urllib.parse import urlencode

import pytest
from django.db import IntegrityError

from cases.models import Appointment
from clinic.models import Absence, AuditEvent, Clinic, ClosedDay, OpeningHours
from clinic.models.clinic import LENGTHS
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

OVER = "This time is over. Choose one that is still to come."
FRIDAY = datetime.date(2026, 3, 13)


@pytest.fixture
def patient(physiotherapist):
    return create_patient(clinic=physiotherapist.clinic)


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


def url(**query):
    return f"/book/new/?{urlencode(query)}"


def typed(who, **changes):
    """Friday at 09:00 for half an hour, but for `changes`."""
    return {
        "practitioner": who.pk,
        "kind": "follow-up",
        "case": "",
        "day": "2026-03-13",
        "start": "09:00",
        "minutes": "",
    } | changes


def errors(response):
    return dict(response.context["form"].errors)


def test_a_booking_is_kept_and_written_down(desk, physiotherapist, patient):
    response = desk.post(url(patient=patient.pk), typed(physiotherapist))

    booked = Appointment.objects.get()
    assert (booked.patient, booked.practitioner, booked.status) == (
        patient,
        physiotherapist,
        "booked",
    )
    assert (booked.starts_at, booked.ends_at) == (at(9, day=FRIDAY), at(9, 30, day=FRIDAY))
    assert AuditEvent.objects.get().verb == "booked"
    assert response.url == f"/book/?day=2026-03-13#booking-{booked.pk}"


def test_after_booking_one_is_back_where_one_came_from_with_a_message(
    desk, physiotherapist, patient
):
    back = typed(physiotherapist, next="/due/?sort=name")

    response = desk.post(url(patient=patient.pk), back)

    assert response.url == "/due/?sort=name"
    assert "Booked: Marit" in desk.get(response.url).content.decode()


def test_one_is_not_led_off_the_site(desk, physiotherapist, patient):
    back = typed(physiotherapist, next="https://example.org/")

    response = desk.post(url(patient=patient.pk), back)

    assert response.url.startswith("/book/?day=2026-03-13#booking-")


def test_a_time_from_the_book_is_said_to_be_chosen_until_it_is_refused(
    desk, physiotherapist, patient
):
    chosen = url(
        patient=patient.pk, practitioner=physiotherapist.pk, day="2026-03-13", start="10:30"
    )
    without = url(patient=patient.pk, practitioner=physiotherapist.pk, day="2026-03-13")
    says = "<strong>13 Mar 2026, 10:30</strong> is chosen"

    assert says in desk.get(chosen).content.decode()
    assert "Choose a time." in desk.get(without).content.decode()
    assert says not in desk.post(chosen, typed(physiotherapist, minutes="0")).content.decode()


@pytest.mark.parametrize(
    ("kind", "minutes", "expected"), [("first", "", 45), ("review", "", 30), ("first", "20", 20)]
)
def test_a_length_left_empty_is_the_usual_one_of_the_kind(
    desk, physiotherapist, patient, kind, minutes, expected
):
    desk.post(url(patient=patient.pk), typed(physiotherapist, kind=kind, minutes=minutes))

    assert Appointment.objects.get().minutes == expected


def test_the_clinic_sets_the_lengths(desk, physiotherapist, patient):
    Clinic.objects.filter(pk=patient.clinic_id).update(first_minutes=60, review_minutes=20)

    form = desk.get(url(patient=patient.pk, practitioner=physiotherapist.pk)).context["form"]
    desk.post(url(patient=patient.pk), typed(physiotherapist, kind="review"))

    assert [label for _kind, label in form.fields["kind"].choices] == [
        "first visit (60 min)", "follow-up (30 min)", "review (20 min)", "discharge (30 min)",
    ]  # fmt: skip
    assert Appointment.objects.get().minutes == 20


def test_every_kind_has_a_length(physiotherapist):
    kinds = [kind.replace("-", "_") for kind in Appointment.Kind.values]

    assert kinds == list(LENGTHS)
    assert all(physiotherapist.clinic.usual_minutes(kind) for kind in Appointment.Kind)


@pytest.mark.parametrize("minutes", [0, 4, 241])
@pytest.mark.parametrize("kind", list(LENGTHS))
def test_the_database_keeps_lengths_in_range(physiotherapist, kind, minutes):
    clinics = Clinic.objects.filter(pk=physiotherapist.clinic_id)

    with pytest.raises(IntegrityError, match=f"clinic_{kind}_minutes_in_range"):
        clinics.update(**{f"{kind}_minutes": minutes})


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"practitioner": ""}, "practitioner", "Choose the practitioner, or one of the free times."),
        ({"day": ""}, "day", "Enter the day."),
        ({"day": "soon"}, "day", "Enter the day as year-month-day, for example 2026-03-12."),
        ({"day": "2026-03-11"}, "day", OVER),
        ({"day": "2026-03-12", "start": "07:55"}, "start", OVER),
        ({"start": ""}, "start", "Enter the time, or choose a free one."),
        ({"start": "nine"}, "start", "Enter the time as hours and minutes, for example 09:30."),
        ({"start": "07:45"}, "start", "The clinic is open 08:00–18:00 on Friday."),
        ({"start": "17:45"}, "start", "The clinic is open 08:00–18:00 on Friday."),
        ({"minutes": "0"}, "minutes", "An appointment takes at least 5 minutes."),
        ({"minutes": "-30"}, "minutes", "An appointment takes at least 5 minutes."),
        ({"minutes": "241"}, "minutes", "An appointment takes at most 240 minutes."),
        ({"minutes": "half"}, "minutes", "Enter whole minutes."),
    ],
)  # fmt: skip
def test_bad_input_is_answered_at_its_field(
    desk, physiotherapist, patient, changes, field, sentence
):
    response = desk.post(url(patient=patient.pk), typed(physiotherapist, **changes))

    assert errors(response)[field][0] == sentence
    assert not Appointment.objects.exists()


def test_a_closed_day_says_so(desk, physiotherapist, patient):
    OpeningHours.objects.of(patient.clinic).get(weekday=4).delete()

    response = desk.post(url(patient=patient.pk), typed(physiotherapist))

    assert errors(response) == {"start": ["The clinic is closed on Friday."]}


def test_a_holiday_says_its_name(desk, physiotherapist, patient):
    ClosedDay.objects.create(clinic=patient.clinic, day=FRIDAY, name="Good Friday")

    response = desk.post(url(patient=patient.pk), typed(physiotherapist))

    assert errors(response) == {"day": ["The clinic is closed on 13 Mar 2026: Good Friday."]}
    assert not Appointment.objects.exists()


def test_both_halves_of_a_day_are_named(desk, physiotherapist, patient):
    hours = OpeningHours.objects.of(patient.clinic).get(weekday=4)
    hours.closes = datetime.time(12)
    hours.save()
    OpeningHours.objects.create(
        clinic=patient.clinic, weekday=4, opens=datetime.time(13), closes=datetime.time(18)
    )

    response = desk.post(url(patient=patient.pk), typed(physiotherapist, start="11:45"))

    assert errors(response) == {
        "start": ["The clinic is open 08:00–12:00 and 13:00–18:00 on Friday."]
    }


@pytest.fixture
def open_day_and_night(patient):
    OpeningHours.objects.update(opens=datetime.time(0), closes=datetime.time(23, 59))


# When clocks change in London in 2026: tz database, see tests/clinic/test_clock_changes.py.
@pytest.mark.parametrize(
    ("day", "sentence"),
    [
        (
            "2026-03-29",
            "The clocks go forward on 29 Mar 2026 and 01:30 is skipped. Choose another.",
        ),
        ("2026-10-25", "The clocks go back on 25 Oct 2026 and 01:30 comes twice. Choose another."),
    ],
)
@pytest.mark.usefixtures("open_day_and_night")
def test_a_time_that_is_skipped_or_comes_twice_is_refused(
    desk, physiotherapist, patient, day, sentence
):
    response = desk.post(url(patient=patient.pk), typed(physiotherapist, day=day, start="01:30"))

    assert errors(response) == {"start": [sentence]}
    assert not Appointment.objects.exists()


@pytest.mark.parametrize(
    ("start", "minutes", "sentence"),
    [
        ("23:45", "30", "An appointment can't run past midnight."),
        ("23:30", "30", "The clinic is open 00:00–23:59 on Friday."),
    ],
)
@pytest.mark.usefixtures("open_day_and_night")
def test_an_appointment_across_midnight_is_refused(
    desk, physiotherapist, patient, start, minutes, sentence
):
    response = desk.post(
        url(patient=patient.pk), typed(physiotherapist, start=start, minutes=minutes)
    )

    assert errors(response) == {"start": [sentence]}
    assert not Appointment.objects.exists()


@pytest.mark.parametrize("day", ["0001-01-01", "2062-03-13", "9999-12-31"])
def test_a_day_that_is_years_off_is_answered_and_not_looked_at(desk, physiotherapist, patient, day):
    answer = desk.post(url(patient=patient.pk), typed(physiotherapist, day=day))
    opened = desk.get(url(patient=patient.pk, day=day))

    assert errors(answer) == {"day": ["This is more than three years off. Check the year."]}
    assert opened.context["times"].first == THURSDAY


def test_nobody_is_booked_into_an_absence(desk, physiotherapist, patient):
    Absence.objects.create(
        staff=physiotherapist, starts_at=at(9, 15, day=FRIDAY), ends_at=at(12, day=FRIDAY)
    )

    response = desk.post(url(patient=patient.pk), typed(physiotherapist))

    assert errors(response) == {
        "practitioner": [f"{physiotherapist} is away on 13 Mar 2026 from 09:15 to 12:00."]
    }


def test_a_taken_time_is_refused_and_free_ones_are_offered(desk, physiotherapist, patient):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, 15, day=FRIDAY))

    response = desk.post(url(patient=patient.pk), typed(physiotherapist))

    assert response.status_code == 422
    assert errors(response) == {
        "start": [f"{physiotherapist} is already booked then. Choose another time."]
    }
    times = response.context["times"]
    offered = [f"{offer.fit.start:%H:%M}" for day in times.days for offer in day.offers]
    assert (times.only, offered[:4]) == (FRIDAY, ["08:00", "08:30", "09:45", "10:15"])
    assert Appointment.objects.count() == 1


def test_a_patient_is_not_in_two_rooms_at_once(desk, physiotherapist, patient):
    colleague = create_physiotherapist(clinic=patient.clinic)
    create_appointment(practitioner=colleague, patient=patient, starts_at=at(9, 15, day=FRIDAY))

    response = desk.post(url(patient=patient.pk), typed(physiotherapist))

    assert errors(response) == {
        "start": [f"The patient is booked then already, at 09:15 with {colleague}."]
    }


def test_a_cancelled_appointment_leaves_its_time_free(desk, physiotherapist, patient):
    create_appointment(
        practitioner=physiotherapist, starts_at=at(9, day=FRIDAY), status="cancelled"
    )

    desk.post(url(patient=patient.pk), typed(physiotherapist))

    assert Appointment.objects.live().count() == 1


def test_practitioners_and_cases_of_others_are_refused(desk, physiotherapist, patient):
    response = desk.post(
        url(patient=patient.pk), typed(create_physiotherapist(), case=create_case().pk)
    )

    assert errors(response) == {
        "practitioner": ["Choose a practitioner of this clinic."],
        "case": ["Choose an open case of this patient."],
    }


@pytest.mark.parametrize(
    ("query", "status"), [({"patient": "0"}, 404), ({"case": "x"}, 400), ({"patient": "²"}, 400)]
)
def test_an_address_that_names_nobody_is_refused(desk, query, status):
    assert desk.get(url(**query)).status_code == status


def test_patients_and_cases_of_another_clinic_do_not_exist(desk):
    assert desk.get(url(patient=create_patient().pk)).status_code == 404
    assert desk.get(url(case=create_case().pk)).status_code == 404


def test_from_the_list_of_the_due_the_form_knows_the_rest(desk, physiotherapist):
    case = create_case(lead=physiotherapist, due_on=FRIDAY)

    response = desk.get(url(case=case.pk))

    form = response.context["form"]
    assert {name: form[name].value() for name in ("practitioner", "case", "kind", "day")} == {
        "practitioner": physiotherapist.pk, "case": case.pk, "kind": "follow-up", "day": FRIDAY,
    }  # fmt: skip


def test_without_a_patient_one_is_looked_for(desk, patient):
    response = desk.get(url(q="oyelaran", start="09:00"))

    assert list(response.context["matches"]) == [patient]
    assert f"start=09%3A00&amp;patient={patient.pk}" in response.content.decode()


def test_nobody_found_leads_to_registering(desk):
    page = desk.get(url(q="zahl", start="10:30")).content.decode()

    assert 'href="/patients/new/?next=%2Fbook%2Fnew%2F%3Fq%3Dzahl%26start%3D10%253A30"' in page


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_may_book(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get("/book/new/").status_code == 200


def test_other_methods_are_refused(desk):
    assert desk.delete("/book/new/").status_code == 405
