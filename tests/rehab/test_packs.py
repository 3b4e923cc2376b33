"""The page of the day's packs: who is listed, what is ticked, and what is asked for."""

import pytest
from django.urls import reverse

from clinic.models import AuditEvent
from rehab.models import PackRun
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_front_desk, create_physiotherapist
from tests.factories.rehab import create_draft, create_issued
from tests.rehab.packs import DAY, PAGE, USUAL, a_patient_of, ask_for, at, ticks


@pytest.fixture
def desk(signed_in, front_desk):
    return signed_in(front_desk)


@pytest.fixture
def marit(physiotherapist):
    return a_patient_of(physiotherapist, hour=9, family_name="Oyelaran")


def groups(client) -> list[tuple[str, list[str]]]:
    listed = client.get(PAGE).context["listed"]
    return [
        (who.last_name, [row.patient.family_name for row in rows]) for who, rows in listed.groups
    ]


def asked(run: PackRun) -> list[tuple[str, list[str]]]:
    return [(pack.patient.family_name, pack.kinds) for pack in run.packs.in_order()]


def test_the_patients_stand_by_practitioner_in_the_order_of_their_times(desk, physiotherapist):
    other = create_physiotherapist(clinic=physiotherapist.clinic, last_name="Adeyemi")
    for lead, hour, name in [
        (physiotherapist, 11, "Late"), (physiotherapist, 9, "Early"), (other, 10, "Between"),
    ]:  # fmt: skip
        a_patient_of(lead, hour=hour, family_name=name, program=False)

    assert groups(desk) == [
        ("Adeyemi", ["Between"]),
        (physiotherapist.last_name, ["Early", "Late"]),
    ]


def test_who_comes_twice_on_a_day_gets_one_pack(desk, physiotherapist, marit):
    other = create_physiotherapist(clinic=physiotherapist.clinic, last_name="Adeyemi")
    create_appointment(starts_at=at(14, 30), practitioner=other, patient=marit)

    said = desk.get(PAGE).content.decode()
    assert groups(desk) == [(physiotherapist.last_name, ["Oyelaran"])]
    assert f"09:00, 14:30 {other}" in " ".join(said.split())
    assert asked(ask_for(desk, marit)) == [("Oyelaran", USUAL)]


@pytest.mark.parametrize("status", ["missed", "cancelled"])
def test_who_does_not_come_is_not_listed(desk, physiotherapist, status):
    create_appointment(starts_at=at(9), practitioner=physiotherapist, status=status)

    assert groups(desk) == []


def test_an_empty_day_says_so_and_leads_to_the_book(desk):
    said = desk.get(PAGE).content.decode()

    assert "Nobody comes on this day." in said
    assert "Choose another day above" in said
    assert desk.post(PAGE, ticks()).status_code == 422


def test_it_is_said_which_program_there_is_and_neither_stage_nor_exercise(desk, physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic)
    create_appointment(starts_at=at(9), practitioner=physiotherapist, patient=patient)
    for side, version in (("left", 3), ("right", 5)):
        case = create_case(lead=physiotherapist, patient=patient, side=side)
        create_issued(case=case, version=version, stage=5, return_plan="racket")
    said = " ".join(desk.get(PAGE).content.decode().split())

    assert "Program 3, left elbow, with a return plan" in said
    assert "Program 5, right elbow, with a return plan" in said
    assert [word for word in ("stage", "isotonic", "Lower slowly") if word in said] == []


def test_a_draft_is_no_program_to_take_home(desk, physiotherapist):
    patient = a_patient_of(physiotherapist, hour=9, program=False)
    create_draft(case=patient.cases.get())

    said = desk.get(PAGE).content.decode()
    assert "<strong>1 patient</strong> comes, 0 with a program to take home." in said
    assert "no program" in said


def test_all_usual_sheets_and_patients_are_ticked_and_no_self_check(desk, marit):
    form = desk.get(PAGE).context["form"]

    ticked = [
        [option.data["value"] for option in form[name] if option.data["selected"]]
        for name in ("sheets", "patients", "self_check")
    ]
    assert ticked == [USUAL, [marit.pk], []]


@pytest.mark.parametrize(("tick", "ticked"), [("", 2), ("nobody", 0), ("one", 1)])
def test_all_nobody_or_one_practitioners_patients_are_ticked_by_a_link(
    desk, physiotherapist, tick, ticked
):
    other = create_physiotherapist(clinic=physiotherapist.clinic, last_name="Adeyemi")
    for lead in (physiotherapist, other):
        a_patient_of(lead, hour=9, program=False)
    whose = other.pk if tick == "one" else tick
    page = desk.get(f"{PAGE}&tick={whose}")

    assert f"tick={other.pk}" in page.content.decode()
    boxes = page.context["form"]["patients"]
    assert [option.data["selected"] for option in boxes].count(True) == ticked


def test_what_was_ticked_is_asked_for_and_stands_in_the_trail(desk, front_desk, physiotherapist):
    first, second, third = (
        a_patient_of(physiotherapist, hour=hour, family_name=f"At{hour}") for hour in (9, 10, 11)
    )
    sheets = ["home program", "diary page"]
    run = ask_for(desk, first, third, sheets=sheets, self_check=[second, third], two_sided="")

    assert (run.day, run.two_sided, run.made_by) == (DAY, False, front_desk)
    assert asked(run) == [
        ("At9", sheets),
        ("At10", ["self-check sheet"]),
        ("At11", [*sheets, "self-check sheet"]),
    ]
    event = AuditEvent.objects.get(verb="asked for")
    assert (event.object_type, event.object_id) == ("packrun", run.pk)
    assert event.detail == {"packs": 3, "day": "2026-03-12"}


def test_who_has_nothing_of_what_is_ticked_gets_no_pack(desk, physiotherapist, marit):
    other = a_patient_of(physiotherapist, hour=10, program=False)

    assert asked(ask_for(desk, marit, other, sheets=["diary page"])) == [
        ("Oyelaran", ["diary page"])
    ]


@pytest.mark.parametrize("sheets", [[], ["return plan"]])
def test_with_nothing_to_print_the_page_says_what_to_tick(desk, marit, sheets):
    answer = desk.post(PAGE, ticks(marit, sheets=sheets))

    assert answer.status_code == 422
    assert "Nothing to print is ticked" in answer.content.decode()
    assert PackRun.objects.count() == 0


def test_a_patient_who_does_not_come_any_more_is_named_as_the_reason(desk, marit):
    ticked = ticks(marit)
    marit.appointments.get().cancel(reason="ill")
    answer = desk.post(PAGE, ticked)

    assert answer.status_code == 422
    assert "does not come on this day any more" in answer.content.decode()


def test_a_run_that_was_left_is_found_again_on_the_page_of_its_day(desk, marit):
    run = ask_for(desk, marit)
    said = desk.get(PAGE).content.decode()

    assert reverse("rehab:pack_run", args=[run.pk]) in said
    assert "0 of 1 packs are ready: go on" in said


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_of_the_clinic_may_print_the_packs(request, signed_in, marit, role):
    client = signed_in(request.getfixturevalue(role))

    assert client.get(PAGE).status_code == 200
    assert asked(ask_for(client, marit)) == [("Oyelaran", USUAL)]


def test_another_clinic_sees_nobody_and_prints_for_nobody(signed_in, marit):
    stranger = signed_in(create_front_desk())

    assert groups(stranger) == []
    assert stranger.post(PAGE, ticks(marit)).status_code == 422
    assert PackRun.objects.count() == 0


def test_nobody_looks_without_signing_in(client, marit):
    assert client.get(PAGE).url.startswith(reverse("clinic:sign_in"))


def test_more_patients_cost_no_more_queries(
    desk, physiotherapist, marit, django_assert_num_queries
):
    with django_assert_num_queries(7) as one:
        desk.get(PAGE)
    for hour in range(10, 16):
        a_patient_of(physiotherapist, hour=hour)
    with django_assert_num_queries(len(one)):
        desk.get(PAGE)


@pytest.mark.parametrize(
    ("page", "link"),
    [("/", "/packs/"), (f"/book/?day={DAY}", PAGE), ("papers", "/packs/#patient-{pk}")],
)
def test_the_day_the_book_and_a_patients_papers_lead_to_the_packs(
    desk, marit, monkeypatch, page, link
):
    monkeypatch.setattr("django.utils.timezone.now", lambda: at(8))
    papers = reverse("rehab:papers", args=[marit.pk])
    said = desk.get(papers if page == "papers" else page).content.decode()

    assert f'href="{link.format(pk=marit.pk)}"' in said


def test_the_papers_of_who_does_not_come_today_lead_to_no_packs(desk, marit):
    said = desk.get(reverse("rehab:papers", args=[marit.pk])).content.decode()

    assert "/packs/" not in said


def test_the_papers_page_leads_to_the_self_check_sheet_before_any_program(desk, physiotherapist):
    patient = a_patient_of(physiotherapist, hour=9, program=False)
    said = desk.get(reverse("rehab:papers", args=[patient.pk])).content.decode()

    assert reverse("rehab:self_check", args=[patient.cases.get().pk]) in said
    assert "no program yet" in said
