"""What is written for a patient when an appointment is booked, moved or cancelled."""

import itertools

import pytest
from django.db import IntegrityError, transaction

from cases.delivery import Failure, Why
from cases.models import Appointment, Notice, Patient, SlotTaken
from tests.cases.booking import FRIDAY, book, move, written
from tests.cases.conftest import at
from tests.factories.cases import create_patient, create_patient_by_mail

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]


@pytest.fixture
def patient(physiotherapist):
    return create_patient_by_mail(by=physiotherapist)


@pytest.fixture
def booked(physiotherapist, patient):
    return book(physiotherapist, patient)


def send_all():
    for notice in Notice.objects.waiting():
        notice.mark_sent(at=at(8), to="marit@example.org", subject="", body="")


def test_a_booking_is_an_invitation_of_the_patient_s_clinic(booked, patient):
    assert written() == [("booked", 0, "waiting", "")]
    assert Notice.objects.get().clinic == patient.clinic


def test_who_was_not_asked_is_not_written_to(physiotherapist):
    booked = book(physiotherapist, create_patient(clinic=physiotherapist.clinic))
    move(booked)
    booked.cancel(reason="has a cold")

    assert written() == []


def test_a_booking_that_is_taken_back_takes_its_notice_along(physiotherapist, patient):
    with transaction.atomic():
        book(physiotherapist, patient)
        transaction.set_rollback(True)

    assert (Appointment.objects.count(), written()) == (0, [])


def test_a_time_that_is_taken_invites_nobody(physiotherapist, booked, patient):
    with pytest.raises(SlotTaken):
        book(physiotherapist, create_patient_by_mail(by=physiotherapist))

    assert len(written()) == 1


def test_what_is_over_is_not_told(physiotherapist, patient):
    book(physiotherapist, patient, at(7))

    assert written() == []


def test_a_move_is_told_after_the_invitation(booked):
    send_all()
    move(booked)

    assert written() == [("booked", 0, "sent", ""), ("moved", 1, "waiting", "")]


def test_a_move_before_the_invitation_went_out_is_still_an_invitation(booked):
    move(booked)

    assert written() == [("booked", 0, "dropped", "overtaken"), ("booked", 1, "waiting", "")]


def test_of_two_moves_the_patient_hears_of_the_last(booked):
    send_all()
    move(booked)
    move(booked)

    assert written()[1:] == [("moved", 1, "dropped", "overtaken"), ("moved", 2, "waiting", "")]


def test_a_move_that_succeeds_at_the_second_time_is_told(booked, physiotherapist):
    other = book(physiotherapist, create_patient(clinic=physiotherapist.clinic), at(10, day=FRIDAY))
    send_all()
    booked.starts_at, booked.ends_at = other.starts_at, other.ends_at
    with pytest.raises(SlotTaken):
        booked.keep()
    move(booked)

    assert written() == [("booked", 0, "sent", ""), ("moved", 1, "waiting", "")]


def test_what_changes_nothing_for_the_patient_is_not_told(booked):
    send_all()
    booked.kind = "review"
    booked.keep()

    assert written() == [("booked", 0, "sent", "")]


def test_a_cancellation_is_told(booked):
    send_all()
    booked.cancel(reason="has a cold")

    assert written()[1:] == [("cancelled", 1, "waiting", "")]


def test_a_booking_that_nobody_heard_of_is_cancelled_in_silence(booked):
    booked.cancel(reason="wrong patient")

    assert written() == [("booked", 0, "dropped", "overtaken")]


def test_where_the_invitation_failed_the_cancellation_is_told(booked):
    Notice.objects.update(status="failed", why=Why.FULL)
    booked.cancel(reason="has a cold")

    assert written()[1:] == [("cancelled", 1, "waiting", "")]


def test_who_agrees_later_hears_of_the_change_of_an_earlier_booking(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic)
    booked = book(physiotherapist, patient)
    patient.mail_agreed = True
    patient.answer_about_mail(by=physiotherapist, on=FRIDAY)
    patient.save()
    move(booked)

    assert written() == [("moved", 1, "waiting", "")]


@pytest.mark.parametrize(
    ("status", "why", "next_one"),
    [
        ("sending", "", "moved"),
        ("settled", "address", "moved"),
        ("failed", Why.INTERRUPTED, "moved"),
        ("failed", Why.ADDRESS, "booked"),
        ("failed", Why.CAME_BACK, "booked"),
    ],
)
def test_whether_the_patient_may_have_heard_decides_what_a_move_says(booked, status, why, next_one):
    Notice.objects.update(status=status, why=why)
    move(booked)

    assert written()[-1] == (next_one, 1, "waiting", "")


def test_to_an_address_that_let_nothing_in_nothing_is_sent_but_the_desk_is_told(
    physiotherapist, patient
):
    patient.refuse_mail(at=at(7))
    book(physiotherapist, patient)

    assert written() == [("booked", 0, "failed", "refused before")]


def test_the_database_keeps_one_for_each_occasion_and_revision(booked):
    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        Notice.objects.create(
            appointment=booked, occasion="booked", sequence=0, written_at=at(8), due_at=at(8)
        )


def test_what_is_sent_was_sent_somewhere(booked):
    with pytest.raises(IntegrityError, match="notice_sent_somewhere"), transaction.atomic():
        Notice.objects.update(status="sent")


def test_who_takes_it_back_is_sent_nothing_that_waits(booked, patient):
    patient.mail_agreed = False
    Notice.objects.answered_again(patient)

    assert written() == [("booked", 0, "dropped", "taken back")]


def test_another_address_gives_what_failed_another_try(booked, patient):
    Notice.objects.get().mark_failed(Failure(why=Why.ADDRESS, again=False), at=at(8))
    Notice.objects.answered_again(patient)

    assert written() == [("booked", 0, "waiting", "address")]


@pytest.mark.parametrize("refused_at", [at(7), None])
def test_an_old_address_gives_no_other_try(booked, patient, refused_at):
    Notice.objects.update(status="failed", why=Why.ADDRESS if refused_at else Why.INTERRUPTED)
    Patient.objects.update(mail_refused_at=refused_at)
    patient.refresh_from_db()
    Notice.objects.answered_again(patient)

    assert written()[0][2] == "failed"


def test_a_failure_that_may_pass_waits_longer_each_time_and_ends_before_the_appointment(booked):
    notice, later = Notice.objects.get(), Failure(why=Why.LATER, again=True)
    when = [at(8)]
    while notice.status == "waiting":
        notice.mark_failed(later, at=when[-1])
        when.append(notice.due_at)

    waits = [(b - a).total_seconds() / 3600 for a, b in itertools.pairwise(when[:-1])]
    assert waits == [0.5, 1, 2, 4, 4, 4, 4, 3.5]
    assert (when[-1], notice.status, notice.tries) == (at(7, day=FRIDAY), "failed", 9)


def test_a_failure_that_stays_is_not_tried_again(booked):
    notice = Notice.objects.get()
    notice.mark_failed(Failure(why=Why.ADDRESS, again=False, answer="550 no"), at=at(8))

    assert (notice.status, notice.answer, notice.tries) == ("failed", "550 no", 1)


def test_what_hangs_in_sending_is_shown_and_not_sent_again_by_itself(booked):
    Notice.objects.update(status="sending", claimed_at=at(8))

    early = Notice.objects.give_up_interrupted(now=at(8, 30))
    late = Notice.objects.give_up_interrupted(now=at(8, 31))

    assert (early, late) == (0, 1)
    assert written() == [("booked", 0, "failed", "interrupted")]
