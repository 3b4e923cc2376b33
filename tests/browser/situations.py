"""One clinic in the middle of its work, and an address for every page of the site."""

import datetime

from django.urls import NoReverseMatch, URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from cases.models import Appointment, Import, Patient
from clinic.acting import acting
from clinic.audit import record
from clinic.models import Absence, BackupRun, SignIn, Staff
from clinic.reset_links import reset_path
from rehab.clinical.ladder import Policy, Stage
from rehab.models import Handout, Program, ThresholdChange
from tests.browser.at_work import (
    a_case_at_its_second_visit,
    a_copy,
    a_refused_erasure,
    a_request,
    a_restricted_patient,
    an_answered_request,
    an_erased_record,
    an_export,
    an_import,
    e_mails,
    ready_packs,
    screen_again,
)
from tests.factories.cases import create_appointment, create_case, create_signed_visit
from tests.factories.clinic import create_front_desk, create_invitation
from tests.factories.rehab import create_issued, create_own_card


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
        "export": an_export(lead, ready=True).pk,
        "export that is begun": an_export(lead, ready=False).pk,
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
    "rehab:case_export": ["export", "export that is begun"],
    "rehab:case_export_zip": ["export"],
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
    "rehab:due_book": ["case"],
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
    "rehab:case_export_step",
    "rehab:case_export_remove",
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
    "rehab:case_export_zip",
    "rehab:thresholds_csv",
    "rehab:catalog_csv",
    "rehab:due_book",  # leads on to the form that books
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


def filled_in(name: str, numbers: dict, which: str | None) -> str:
    """An address with nothing, one number or code, or several of the row that it names."""
    given = numbers[which] if which else []
    try:
        return reverse(name, args=given if isinstance(given, list) else [given])
    except NoReverseMatch as error:
        where = "NUMBERS of tests/browser/situations.py"
        raise LookupError(
            f"“{name}” takes another row than “{which}”: name it in {where}"
        ) from error


def pages(numbers: dict[str, int | str]) -> list[str]:
    """The address of every page that can be opened, filled in."""
    shown = [name for name in names() if name not in POST_ONLY | PAPER | FILES]
    of_one = f"{reverse('cases:week')}?who={numbers['practitioner']}"
    return [of_one] + [
        filled_in(name, numbers, which) for name in shown for which in NUMBERS.get(name, [None])
    ]
