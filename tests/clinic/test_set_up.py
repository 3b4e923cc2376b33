"""What a new clinic still needs, by what its database holds."""

import datetime

import pytest
from django.utils import timezone

from clinic.models import AuditEvent, BackupRun, Clinic, Invitation, OpeningHours
from clinic.roles import Role
from clinic.set_up import needed, useful
from tests.factories.clinic import (
    create_clinic,
    create_front_desk,
    create_manager,
    create_physiotherapist,
)


def fresh(**fields) -> Clinic:
    nothing = {"address": "", "phone": "", "emergency_phone": "", "open_hours": False}
    return create_clinic(being_set_up=True, **(nothing | fields))


def open_steps(steps) -> list[str]:
    return [step.page for step in steps if not step.done]


def test_a_new_clinic_has_everything_open(db):
    clinic = fresh()

    assert open_steps(needed(clinic)) == ["clinic:clinic", "cases:hours", "clinic:invite"]


@pytest.mark.parametrize("missing", ["address", "phone", "emergency_phone"])
def test_the_clinic_is_reached_by_all_three(db, missing):
    assert open_steps(needed(create_clinic(**{missing: ""})))[0] == "clinic:clinic"


def test_a_manager_who_treats_is_somebody_who_sees_patients(db):
    clinic = create_clinic()
    create_manager(clinic=clinic, treats=True)

    assert open_steps(needed(clinic)) == []


def test_an_invitation_counts_until_it_is_taken_back(db, client):
    clinic = create_clinic(being_set_up=True)
    client.force_login(create_manager(clinic=clinic))
    client.post("/staff/invite/", {"last_name": "Quartel", "role": Role.PHYSIOTHERAPIST.value})
    assert open_steps(needed(clinic)) == []

    invited = Invitation.objects.get()
    client.post(f"/staff/invitations/{invited.pk}/revoke/")

    assert open_steps(needed(clinic)) == ["clinic:invite"]


def test_people_and_hours_of_another_clinic_count_nothing(db):
    create_front_desk(clinic=create_physiotherapist().clinic)

    clinic = fresh()

    assert len(open_steps(needed(clinic))) == 3
    assert "clinic:invite" in open_steps(useful(clinic))


@pytest.mark.parametrize(("hours", "done"), [(25, True), (27, False)])
def test_a_backup_counts_while_it_is_not_overdue(db, hours, done):
    began = timezone.now() - datetime.timedelta(hours=hours)
    BackupRun.objects.create(began_at=began, ended_at=began, name="a.tar.gz.aes", tried=True)

    assert ("clinic:backups" not in open_steps(useful(fresh()))) is done


def test_its_manager_lands_there_until_what_is_needed_is_done(db, client):
    clinic = fresh()
    client.force_login(create_manager(clinic=clinic, treats=True))
    assert client.get("/").url == "/clinic/set-up/"

    week = {"0-0-opens": "09:00", "0-0-closes": "17:00", "alike": "yes"}
    assert client.post("/clinic/hours/", week | opened_with(client)).url == "/clinic/set-up/"
    Clinic.objects.filter(pk=clinic.pk).update(address="1 Quay", phone="1", emergency_phone="112")

    assert client.get("/").status_code == 200


def opened_with(client) -> dict[str, str]:
    """The stamp of the page of opening hours as it is now."""
    form = client.get("/clinic/hours/").context["form"]
    return {"opened_with": form["opened_with"].value()}


@pytest.mark.parametrize("create", [create_physiotherapist, create_front_desk])
def test_others_are_shown_the_day(db, client, create):
    client.force_login(create(clinic=fresh()))

    assert client.get("/").status_code == 200


def test_put_away_it_stays_away_and_is_noted_once(db, client):
    client.force_login(create_manager(clinic=fresh()))

    for _time in range(2):
        assert client.post("/clinic/set-up/").url == "/"

    assert client.get("/").status_code == 200
    assert AuditEvent.objects.filter(verb="changed").count() == 1


def test_what_was_typed_for_a_day_is_kept_beside_mondays_hours(db, client):
    clinic = fresh()
    client.force_login(create_manager(clinic=clinic))
    typed = {
        "0-0-opens": "08:00", "0-0-closes": "12:00", "0-1-opens": "13:00", "0-1-closes": "18:00",
        "2-0-opens": "10:00", "2-0-closes": "11:00", "alike": "yes",
    }  # fmt: skip

    client.post("/clinic/hours/", typed | opened_with(client))

    kept = [str(row) for row in OpeningHours.objects.of(clinic)]
    assert kept == [
        *(f"{day} {time}" for day in ("Monday", "Tuesday") for time in ("08:00–12:00", "13:00–18:00")),
        "Wednesday 10:00–11:00",
        *(f"{day} {time}" for day in ("Thursday", "Friday") for time in ("08:00–12:00", "13:00–18:00")),
    ]  # fmt: skip
