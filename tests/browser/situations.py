"""One clinic in the middle of its work, and an address for every page of the site."""

import datetime

from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from assessments.models import GripTest, GripTrial, PainRating, QuestionnaireResponse
from cases.clinical.sides import Side
from cases.clinical.wrist_angle import View
from cases.delivery import Failure, Why
from cases.importing import steps
from cases.models import (
    Appointment,
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
from clinic.acting import acting
from clinic.audit import record
from clinic.models import Absence, BackupRun, Erasure, SignIn, Staff
from clinic.reset_links import reset_path
from rehab.clinical.ladder import Policy, Stage
from rehab.copies.making import make_next
from rehab.copies.parts import planned
from rehab.erasing import erase
from rehab.models import DiaryDay, Handout, PackRun, Program, RecordCopy, ThresholdChange
from rehab.packs import prepare_next
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_clear_screening,
    create_notice,
    create_patient,
    create_patient_by_mail,
    create_signed_visit,
    create_visit,
)
from tests.factories.clinic import create_front_desk, create_invitation
from tests.factories.rehab import create_issued, create_own_card


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


def a_clinic_at_work(lead: Staff) -> dict[str, int | str]:
    """Build the clinic; return the number or code that each address needs, by the address's name."""
    today = timezone.localdate()
    draft = a_case_at_its_second_visit(lead, today)
    case, program = draft.case, Program.objects.current_of(draft.case)
    at_ten = timezone.now().replace(hour=10, minute=0, second=0, microsecond=0)
    booked = create_appointment(
        starts_at=at_ten + datetime.timedelta(days=1),
        practitioner=lead,
        patient=case.patient,
        case=case,
    )
    create_appointment(starts_at=at_ten, practitioner=lead, status=Appointment.Status.ARRIVED)
    away = Absence.objects.create(
        staff=lead,
        starts_at=at_ten + datetime.timedelta(days=1),
        ends_at=at_ten + datetime.timedelta(days=1, hours=3),
    )
    overdue = create_case(lead=lead, due_on=today - datetime.timedelta(days=3))
    signed = create_signed_visit(case=overdue, subjective="Hurts when planing boards.")
    drafted = Program.draft(overdue, stage=Stage.ISOMETRIC, policy=Policy.STRICT, on=today)
    screen_again(overdue, today)
    back, lifting = (
        create_issued(case=create_case(lead=lead), stage=5, return_plan=plan, job_load_kg=kg)
        for plan, kg in (("racket", None), ("lifting", 18))
    )
    answer = case.screenings.get().answers.get(question="neck-nerve-root")
    sent, not_reached = e_mails(lead, at_ten)
    BackupRun.objects.create(began_at=at_ten, ended_at=at_ten, problem="The disk is full.")
    own = ThresholdChange.make("prtee_drop", 11, reason="Agreed in the team.", by=lead)
    kept = Handout.objects.keep(
        b"%PDF-1.4 as it was",
        kind=Handout.Kind.HOME_PROGRAM,
        about=program,
        language="en",
        name="home-program.pdf",
        by=lead,
    )
    invited = create_invitation(by=lead)
    for outcome in SignIn.Outcome:
        SignIn.objects.create(staff=lead, clinic=lead.clinic, outcome=outcome)
    with acting(lead.pk):
        Patient.objects.filter(pk=case.patient_id).update(phone="+44 1632 960177")
        changed = record(lead, "changed", case.patient, fields=["phone"])
    return {
        "invitation": invited.pk,
        # Of somebody who doesn't sign in meanwhile: that would end the link.
        "link for a new password": reset_path(create_front_desk(clinic=lead.clinic)).split("/")[
            2:4
        ],
        "secret of the invitation": invited.renew(now=timezone.now()),
        "audit event": changed.pk,
        "case": case.pk,
        "handout": kept.pk,
        "case with a draft program": drafted.case_id,
        "patient": case.patient_id,
        "restricted patient": a_restricted_patient(lead).pk,
        "correction": a_request(case.patient, lead).pk,
        "correction that is answered": an_answered_request(overdue.patient, lead).pk,
        "refused erasure": a_refused_erasure(overdue.patient, lead).pk,
        "erased record": an_erased_record(lead).pk,
        "copy": a_copy(overdue.patient, lead, ready=True).pk,
        "copy that is begun": a_copy(case.patient, lead, ready=False).pk,
        "draft visit": draft.pk,
        "signed visit": signed.pk,
        "program": program.pk,
        "run of packs": ready_packs(case, lead, on=today).pk,
        "program with a return plan": back.pk,
        "program with a lifting plan": lifting.pk,
        "appointment": booked.pk,
        "practitioner": lead.pk,
        "closed account": create_front_desk(clinic=lead.clinic, is_active=False).pk,
        "absence": away.pk,
        "import": an_import(lead, ends=Import.State.DONE).pk,
        "import that is checked": an_import(lead, ends=Import.State.CHECKED).pk,
        "import that is open": an_import(lead, ends=Import.State.OPEN).pk,
        "screening answer": answer.pk,
        "notice": sent.pk,
        "notice not reached": not_reached.pk,
        "mail text": "moved-es",
        "threshold": own.code,
        "exercise": "straight-arm-lift",
        "own exercise": create_own_card(clinic=lead.clinic).code,
    }


# Which of the numbers each address takes; pages without a number take none.
NUMBERS = {
    "clinic:new_password": ["link for a new password"],
    "clinic:invitation": ["invitation"],
    "clinic:join_by": ["secret of the invitation"],
    "cases:staff_member": ["practitioner", "closed account"],
    "cases:account_close": ["practitioner"],
    "clinic:audit_event": ["audit event"],
    "cases:patient": ["patient"],
    "cases:patient_edit": ["patient"],
    "cases:case_new": ["patient"],
    "cases:series_new": ["patient"],
    "rehab:rights": ["patient"],
    "rehab:who_has_seen": ["patient"],
    "rehab:restriction_new": ["patient"],
    "rehab:restricted": ["restricted patient"],
    "rehab:correction_new": ["patient"],
    "rehab:correction": ["correction", "correction that is answered"],
    "rehab:correction_refusal": ["correction that is answered"],
    "rehab:erasure_refusal": ["refused erasure"],
    "rehab:record_erase": ["patient"],
    "rehab:record_keep": ["patient"],
    "rehab:hold_place": ["patient"],
    "rehab:record_erased": ["erased record"],
    "rehab:record_copy_new": ["patient"],
    "rehab:record_copy": ["copy", "copy that is begun"],
    "rehab:record_copy_zip": ["copy"],
    "rehab:papers": ["patient"],
    "rehab:appointment_card": ["patient"],
    "rehab:handouts": ["patient"],
    "rehab:handout": ["handout"],
    "rehab:pack_run": ["run of packs"],
    "rehab:packs_pdf": ["run of packs"],
    "rehab:packs_zip": ["run of packs"],
    "cases:case_close": ["case with a draft program"],
    "cases:intake": ["case"],
    "cases:screening": ["case", "case with a draft program"],
    "cases:wrist_angle": ["case"],
    "cases:contacts": ["case"],
    "rehab:case": ["case"],
    "rehab:course": ["case", "case with a draft program"],
    "rehab:diary": ["case"],
    "rehab:paper_diary": ["case"],
    "rehab:history": ["case", "case with a draft program"],
    "rehab:equipment": ["case"],
    "rehab:program": ["case with a draft program", "case"],
    "rehab:program_issue": ["case with a draft program"],
    "cases:screening_action": ["screening answer"],
    "rehab:referral": ["screening answer"],
    "cases:battery": ["draft visit"],
    "cases:notes": ["draft visit"],
    "cases:addendum": ["signed visit"],
    "assessments:measures": ["draft visit", "signed visit"],
    "rehab:visit": ["draft visit", "signed visit"],
    "rehab:decision": ["draft visit"],
    "rehab:stage_check": ["draft visit"],
    "rehab:sign": ["draft visit"],
    "cases:appointment": ["appointment"],
    "cases:notice": ["notice", "notice not reached"],
    "cases:mail_text": ["mail text"],
    "cases:appointment_cancel": ["appointment"],
    "rehab:arrival": ["appointment"],
    "cases:absence": ["absence"],
    "cases:import_run": ["import", "import that is checked", "import that is open"],
    "cases:import_columns": ["import that is checked", "import that is open"],
    "cases:import_left_out": ["import"],
    "rehab:program_withdraw": ["program"],
    "rehab:home_program": ["program"],
    "rehab:home_program_page": ["program"],
    "rehab:summary_page": ["case", "case with a draft program"],
    "rehab:summary_file": ["case"],
    "rehab:home_program_file": ["program"],
    "rehab:next_visit_entry": ["program"],
    "rehab:diary_page": ["program"],
    "rehab:return_plan_pdf": ["program with a return plan", "program with a lifting plan"],
    "rehab:visit_record": ["signed visit", "draft visit"],
    "rehab:threshold": ["threshold"],
    "rehab:catalog_card": ["exercise", "own exercise"],
    "rehab:catalog_change": ["own exercise"],
    "rehab:course_pdf": ["case"],
    "rehab:self_check": ["case with a draft program"],
    "rehab:summary": ["case"],
    "rehab:case_fhir": ["case"],
}
POST_ONLY = {
    "cases:account_new_password",
    "clinic:invitation_renew",
    "clinic:invitation_revoke",
    "cases:account_open",
    "cases:account_let_in",
    "clinic:help_shown",
    "clinic:sign_out",
    "clinic:session_stay",
    "clinic:second_factor_begin",
    "clinic:sessions_end",
    "clinic:staff_second_factor_remove",
    "clinic:staff_sessions_end",
    "clinic:session_hold",
    "clinic:logo_remove",
    "cases:open_again",
    "cases:absence_remove",
    "cases:visit_begin",
    "cases:appointment_mark",
    "cases:appointment_change",
    "cases:calendar_revoke",
    "cases:display_revoke",
    "cases:notice_settle",
    "cases:notice_again",
    "cases:notice_came_back",
    "cases:import_step",
    "cases:import_begin",
    "cases:import_stop",
    "rehab:program_discard",
    "rehab:referral_letter",
    "rehab:referral_given",
    "rehab:catalog_offer",
    "rehab:pack_step",
    "rehab:pack_stop",
    "rehab:record_copy_step",
    "rehab:record_copy_remove",
    "rehab:hold_lift",
    "rehab:restriction_lift",
}
PAPER = {
    "rehab:appointment_card",
    "rehab:correction_refusal",
    "rehab:erasure_refusal",
    "rehab:home_program",
    "rehab:diary_page",
    "rehab:return_plan_pdf",
    "rehab:visit_record",
    "rehab:course_pdf",
    "rehab:handout",
    "rehab:self_check",
    "rehab:summary",
}

# Sent as a file to keep, or to a page that asks for it; not shown.
FILES = {
    "clinic:health",
    "clinic:session",
    "clinic:staff_csv",
    "clinic:sign_ins_csv",
    "cases:feed",
    "cases:display",
    "cases:patients_csv",
    "cases:book_csv",
    "cases:absences_csv",
    "cases:to_move_csv",
    "cases:closed_days_csv",
    "cases:mail_csv",
    "cases:imports_csv",
    "cases:book_figures_csv",
    "cases:audit_csv",
    "rehab:caseload_csv",
    "rehab:research_zip",
    "rehab:thresholds_csv",
    "rehab:catalog_csv",
    "rehab:due_csv",
    "rehab:corrections_csv",
    "rehab:records_due_csv",
    "rehab:records_erased_csv",
    "cases:import_left_out",
    "rehab:home_program_file",
    "rehab:summary_file",
    "rehab:next_visit_entry",
    "rehab:packs_pdf",
    "rehab:packs_zip",
    "rehab:record_copy_zip",
    "rehab:case_fhir",
}


def names(resolver=None, space: str = "") -> list[str]:
    """The name of every address of the site, with its package."""
    found = []
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            found += names(entry, entry.namespace or space)
        elif isinstance(entry, URLPattern):
            found.append(f"{space}:{entry.name}")
    return found


def arguments(numbers: dict, which: str | None) -> list:
    """What an address is filled in with: nothing, one number or code, or several."""
    given = numbers[which] if which else []
    return given if isinstance(given, list) else [given]


def pages(numbers: dict[str, int | str]) -> list[str]:
    """The address of every page that can be opened, filled in."""
    shown = [name for name in names() if name not in POST_ONLY | PAPER | FILES]
    of_one = f"{reverse('cases:week')}?who={numbers['practitioner']}"
    return [of_one] + [
        reverse(name, args=arguments(numbers, which))
        for name in shown
        for which in NUMBERS.get(name, [None])
    ]
