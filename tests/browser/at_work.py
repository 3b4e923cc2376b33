"""What a clinic in the middle of its work holds: a case at its second visit, an import, a copy, e-mails."""

import datetime

from django.utils import timezone

from assessments.models import GripTest, GripTrial, PainRating, QuestionnaireResponse
from cases.clinical.sides import Side
from cases.clinical.wrist_angle import View
from cases.delivery import Failure, Why
from cases.importing import steps
from cases.models import (
    Battery,
    Case,
    CorrectionRequest,
    ErasureRefusal,
    Finding,
    Import,
    Intake,
    Notice,
    PalpationPoint,
    Patient,
    Restriction,
    Screening,
    Visit,
    WristAngle,
)
from clinic.models import Erasure, Staff
from rehab.clinical.ladder import Policy, Stage
from rehab.copies.making import make_next
from rehab.copies.parts import planned
from rehab.erasing import erase
from rehab.exchange.stepwise import write_next
from rehab.models import CaseExport, DiaryDay, Handout, PackRun, Program, RecordCopy
from rehab.packs import prepare_next
from tests.factories.cases import (
    create_case,
    create_clear_screening,
    create_notice,
    create_patient,
    create_patient_by_mail,
    create_visit,
)


def a_case_at_its_second_visit(lead: Staff, today: datetime.date) -> Visit:
    """Program 1 issued two weeks ago, a diary since, and today's visit begun. Returns the draft visit."""
    began = today - datetime.timedelta(days=14)
    case = create_case(lead=lead, opened=began, onset=began - datetime.timedelta(days=60))
    Intake.objects.create(
        case=case,
        rest_pain=1,
        worst_pain=3,
        nights_woken=0,
        lasts_over_24_h=False,
        racket_sport=True,
        string_tension=24,
        string_tension_unit="kgf",
    )
    create_clear_screening(case=case, neck_nerve_root="yes")
    look_at_the_wrist(case, lead, on=today)
    first = create_visit(case=case, on=began)
    measure(first, affected_n=120, other_n=300, pain=5)
    examine(first)
    first.sign(by=lead, at=timezone.now() - datetime.timedelta(days=14))
    program = Program.draft(case, stage=Stage.LIGHT_ISOTONIC, policy=Policy.STANDARD, on=began)
    program.issue(by=lead, at=timezone.now() - datetime.timedelta(days=14))
    for day in range(1, 14):
        write_diary(program, began + datetime.timedelta(days=day), pain=2 if day != 5 else 5)
    second = create_visit(case=case, on=today)
    measure(second, affected_n=190, other_n=305, pain=3)
    examine(second)
    return second


def screen_again(case: Case, today: datetime.date) -> None:
    """A round before, and today's: three of four signs at the neck, which fit, and an elbow that stays bent,
    which does not fit the answer.
    """
    create_clear_screening(case=case, neck_nerve_root="unknown")
    screening = create_clear_screening(case=case, neck_nerve_root="yes")
    screening.answers.get(question="neck-nerve-root").act(
        "Letter to the family doctor.", by=case.lead, at=timezone.now()
    )
    Screening.objects.filter(pk=screening.pk).update(on=today)
    neck = ("tension-test", "spurling", "distraction")
    found = {(sign, ""): "found" for sign in neck} | {("not-straight", "right"): "found"}
    absent = {("rotation-under-60", ""): "absent", ("not-straight", "left"): "absent"}
    screening.write_signs(found | absent)


def look_at_the_wrist(case: Case, lead: Staff, *, on: datetime.date) -> None:
    seen = WristAngle(case=case, seen_by=lead, on=on, arm=Side.RIGHT, seen_from=View.THUMB)
    bent, straight = (
        {"forearm": (500, 900), "wrist": (500, 500), "knuckle": (x, 250)} for x in (400, 500)
    )
    seen.measure({"contact": bent, "after": straight})
    seen.save()


def measure(visit: Visit, *, affected_n: float, other_n: float, pain: int) -> None:
    for context in ("at_rest", "worst_24h", "on_gripping"):
        PainRating.objects.create(visit=visit, context=context, value=pain)
    for side, mean in (("right", affected_n), ("left", other_n)):
        for position, effort in (("straight", "pain_free"), ("bent", "maximal")):
            test = GripTest.objects.create(
                visit=visit, side=side, position=position, effort=effort, unit="N"
            )
            for number in (1, 2, 3):
                GripTrial.objects.create(grip_test=test, number=number, force_n=mean + 4 * number)
    QuestionnaireResponse.objects.create(visit=visit, instrument="prtee", items=[pain] * 15)


def examine(visit: Visit) -> None:
    battery = Battery.objects.create(visit=visit, performed_on=visit.on, resting_pain=1)
    for side, answer, pain in (("left", "none", None), ("right", "familiar", 6)):
        for test in ("passive-stretch", "wrist-extension", "palpation"):
            Finding.objects.create(battery=battery, test=test, side=side, answer=answer, pain=pain)
        for point in ("epicondyle", "below"):
            PalpationPoint.objects.create(battery=battery, point=point, side=side, pain=pain or 0)
    Finding.objects.create(
        battery=battery, test="chair-lift", side="right", answer="familiar", pain=4
    )


def write_diary(program: Program, on: datetime.date, *, pain: int) -> None:
    DiaryDay.objects.create(
        case=program.case,
        program=program,
        on=on,
        sets_done=3,
        last_set_repetitions=16,
        worst_pain=pain,
        next_morning_pain=1,
        night_wakings=0,
    )


def ready_packs(case: Case, lead: Staff, *, on: datetime.date) -> PackRun:
    """Packs for two patients, one of whom has a name that can't be printed."""
    other = create_patient(clinic=lead.clinic, family_name="王")
    asked = [(patient, [Handout.Kind.APPOINTMENT_CARD]) for patient in (case.patient, other)]
    run = PackRun.objects.begin(asked, day=on, two_sided=True, by=lead)
    for _pack in asked:
        prepare_next(run, by=lead)
    return run


def e_mails(lead: Staff, at_ten: datetime.datetime) -> tuple[Notice, Notice]:
    """One that was sent, one that did not reach its patient, and one that is tried again."""
    patient = create_patient_by_mail(by=lead, language="es")
    days = [at_ten + datetime.timedelta(days=number) for number in (2, 3, 4)]
    sent = create_notice(patient=patient, starts_at=days[0])
    sent.mark_sent(at=at_ten, to=patient.email, subject="Su cita", body="Hola, Marit:")
    gone = create_notice(patient=patient, starts_at=days[1])
    gone.mark_failed(Failure(why=Why.ADDRESS, again=False, answer="550 5.1.1 no"), at=at_ten)
    patient.refuse_mail(at=at_ten)
    again = create_notice(patient=create_patient_by_mail(by=lead), starts_at=days[2])
    again.mark_failed(Failure(why=Why.LATER, again=True, answer="451 4.3.0 later"), at=at_ten)
    return sent, gone


def an_import(by: Staff, *, ends: str) -> Import:
    """A file of four patients, of whom one comes twice and one has no name, as far as it is to go."""
    people = ["8;Kari;Strand;1990-04-05", "9;Nils;Berg;1991-07-08"]
    lines = ["Number;First name;Surname;Born", *people, people[0], "10;;;1985-01-02", ends]
    run = Import.objects.receive(
        ["\n".join(lines).encode()], kind=Import.Kind.PATIENTS, name="patients.csv", by=by
    )
    if ends == Import.State.OPEN:
        return run
    run.understand(
        encoding="utf-8",
        delimiter=";",
        head=lines[0].split(";"),
        columns={"own_number": 0, "given_name": 1, "family_name": 2, "born": 3},
        orders={"born": "iso"},
        total=5,
    )
    steps.step(run, by=by, now=timezone.now())
    if ends == Import.State.DONE:
        steps.begin(run, all_or_nothing=False, anyway=[], by=by)
        while Import.objects.get(pk=run.pk).moves:
            steps.step(run, by=by, now=timezone.now())
    return run


def a_copy(patient: Patient, lead: Staff, *, ready: bool) -> RecordCopy:
    copy = RecordCopy.objects.begin(
        patient, planned(patient), receiver="patient", to_whom="", why="By letter.", by=lead
    )
    while ready and not RecordCopy.objects.get(pk=copy.pk).is_ready:
        make_next(RecordCopy.objects.get(pk=copy.pk), by=lead)
    return copy


def an_export(lead: Staff, *, ready: bool) -> CaseExport:
    """The latest cases for another system, written or only asked for: where it is measured there are many."""
    chosen = {"which": "all", "since": None, "until": None}
    numbers = CaseExport.numbers(lead.clinic, **chosen)[-3:]
    export = CaseExport.objects.begin(numbers, by=lead, **chosen)
    while ready and not export.is_ready:
        write_next(export, by=lead)
    return export


def a_restricted_patient(lead: Staff) -> Patient:
    patient = create_patient(clinic=lead.clinic)
    today = timezone.localdate()
    Restriction.objects.create(
        patient=patient, reason="The record is in dispute.", since=today, placed_by=lead
    )
    return patient


def a_request(patient: Patient, lead: Staff) -> CorrectionRequest:
    """One that should have been answered last week."""
    asked = timezone.localdate() - datetime.timedelta(days=37)
    return CorrectionRequest.objects.create(
        patient=patient,
        asked_on=asked,
        what="It was the left arm.",
        taken_by=lead,
        due_on=asked + datetime.timedelta(days=30),
    )


def an_answered_request(patient: Patient, lead: Staff) -> CorrectionRequest:
    request = a_request(patient, lead)
    refused = CorrectionRequest.Answer.REFUSED
    request.give(refused, because="The right arm was examined.", by=lead, at=timezone.now())
    return request


def a_refused_erasure(patient: Patient, lead: Staff) -> ErasureRefusal:
    today = timezone.localdate()
    return ErasureRefusal.objects.create(
        patient=patient,
        asked_on=today,
        refused_by=lead,
        kept_until=today + datetime.timedelta(days=8 * 365),
        reason="The law asks the clinic to keep records of care.",
    )


def an_erased_record(lead: Staff) -> Erasure:
    """Somebody who was registered once and never came."""
    patient = create_patient(clinic=lead.clinic)
    return erase(patient, by=lead, at=timezone.now() + datetime.timedelta(days=9 * 366))
