"""Who may open which address and send to it: the whole site as one table.

A new address gets its row here: `page` is only read, `form` is read and sent, `act` is only sent. The first
word says who of the clinic is let in; a second one names the row that the address takes
(`a_clinic_at_work`), where `NUMBERS` doesn't know it. `tests/test_who_may_what.py` walks it all.
"""

from dataclasses import dataclass

DESK, THERAPIST, HEAD, MANAGER = (
    "front desk",
    "physiotherapist",
    "manager who treats",
    "manager",
)
ROLES = (DESK, THERAPIST, HEAD, MANAGER)

EVERYBODY = frozenset(ROLES)
READERS = frozenset({THERAPIST, HEAD, MANAGER})  # of clinical records
WRITERS = frozenset({THERAPIST, HEAD})
MANAGERS = frozenset({HEAD, MANAGER})
NOBODY = frozenset()


@dataclass(frozen=True)
class Address:
    """Who is let in; `not_theirs` are answered as if the row were another clinic's."""

    get: frozenset[str]
    post: frozenset[str]
    takes: str = ""
    not_theirs: frozenset[str] = NOBODY
    needs_sign_in: bool = True


def page(who: frozenset[str], takes: str = "", **more) -> Address:
    return Address(get=who, post=NOBODY, takes=takes, **more)


def form(who: frozenset[str], takes: str = "", **more) -> Address:
    return Address(get=who, post=who, takes=takes, **more)


def act(who: frozenset[str], takes: str = "", **more) -> Address:
    return Address(get=NOBODY, post=who, takes=takes, **more)


TABLE = {
    "clinic:sign_in": form(EVERYBODY, needs_sign_in=False),
    "clinic:sign_out": act(EVERYBODY, needs_sign_in=False),
    "clinic:account": page(EVERYBODY),
    "clinic:password": form(EVERYBODY),
    "clinic:help_shown": act(EVERYBODY),
    "clinic:keys": page(EVERYBODY),
    "clinic:glossary": page(EVERYBODY),
    "clinic:session": page(EVERYBODY, needs_sign_in=False),
    "clinic:session_stay": act(EVERYBODY, needs_sign_in=False),
    "clinic:session_hold": act(EVERYBODY, needs_sign_in=False),
    "clinic:health": page(EVERYBODY, needs_sign_in=False),
    "clinic:audit_event": page(MANAGERS, "audit event"),
    "clinic:staff": page(MANAGERS),
    "clinic:staff_csv": page(MANAGERS),
    "cases:staff_member": form(MANAGERS),
    "cases:account_close": form(MANAGERS),
    "cases:account_open": act(MANAGERS, "closed account"),
    "cases:account_let_in": act(MANAGERS, "practitioner"),
    "clinic:own_sign_ins": page(EVERYBODY),
    "clinic:sign_ins": page(MANAGERS),
    "clinic:sign_ins_csv": page(MANAGERS),
    "clinic:sessions_end": act(EVERYBODY),
    "clinic:staff_sessions_end": act(MANAGERS, "practitioner"),
    "clinic:second_factor": form(EVERYBODY),
    "clinic:second_factor_begin": act(EVERYBODY),
    "clinic:second_factor_renew": form(EVERYBODY),
    "clinic:second_factor_off": form(EVERYBODY),
    "clinic:staff_second_factor_remove": act(MANAGERS, "practitioner"),
    "clinic:sign_in_code": form(EVERYBODY, needs_sign_in=False),
    "clinic:sign_in_recovery": form(EVERYBODY, needs_sign_in=False),
    "clinic:forgotten": form(EVERYBODY, needs_sign_in=False),
    "clinic:new_password": form(EVERYBODY, needs_sign_in=False),
    "clinic:invite": form(MANAGERS),
    "clinic:invitation": page(MANAGERS),
    "clinic:invitation_renew": act(MANAGERS, "invitation"),
    "clinic:invitation_revoke": act(MANAGERS, "invitation"),
    "clinic:join": form(EVERYBODY, needs_sign_in=False),
    "clinic:join_by": page(EVERYBODY, needs_sign_in=False),
    "cases:account_new_password": act(MANAGERS, "practitioner"),
    "clinic:clinic": form(MANAGERS),
    "clinic:set_up": form(MANAGERS),
    "clinic:logo": form(MANAGERS),
    "clinic:logo_remove": act(MANAGERS),
    "cases:audit": page(MANAGERS),
    "cases:audit_csv": page(MANAGERS),
    "rehab:who_has_seen": page(MANAGERS),
    "clinic:backups": page(MANAGERS),
    # the day and the people
    "cases:day": page(EVERYBODY),
    "cases:patients": page(EVERYBODY),
    "cases:patients_csv": page(EVERYBODY),
    "cases:patient_new": form(EVERYBODY),
    "cases:patient": page(EVERYBODY),
    "cases:patient_edit": form(EVERYBODY),
    "cases:series_new": form(EVERYBODY),
    "cases:case_new": form(EVERYBODY),
    # the book
    "cases:book": page(EVERYBODY),
    "cases:week": page(EVERYBODY),
    "cases:book_csv": page(EVERYBODY),
    "cases:book_figures": page(EVERYBODY),
    "cases:book_figures_csv": page(EVERYBODY),
    "cases:appointment_new": form(EVERYBODY),
    "cases:appointment": form(EVERYBODY),
    "cases:appointment_mark": act(EVERYBODY, "appointment"),
    "cases:appointment_change": act(EVERYBODY, "appointment"),
    "cases:appointment_cancel": form(EVERYBODY),
    "cases:absences": form(EVERYBODY),
    "cases:absences_csv": page(EVERYBODY),
    "cases:absence": form(EVERYBODY),
    "cases:absence_remove": act(EVERYBODY, "absence"),
    "cases:to_move": page(EVERYBODY),
    "cases:to_move_csv": page(EVERYBODY),
    "cases:hours": form(MANAGERS),
    "cases:closed_days": form(MANAGERS),
    "cases:closed_days_csv": page(MANAGERS),
    "cases:open_again": act(MANAGERS, "closed day"),
    "cases:calendar_address": form(EVERYBODY),
    "cases:calendar_revoke": act(EVERYBODY, "calendar key", not_theirs=frozenset({DESK})),
    "cases:feed": page(EVERYBODY, "calendar secret", needs_sign_in=False),
    "cases:displays": form(MANAGERS),
    "cases:display_revoke": act(MANAGERS, "display key"),
    "cases:display": page(EVERYBODY, "display secret", needs_sign_in=False),
    # e-mail to patients, files brought in
    "cases:mail": page(EVERYBODY),
    "cases:mail_csv": page(EVERYBODY),
    "cases:notice": page(EVERYBODY),
    "cases:notice_settle": act(EVERYBODY, "notice not reached"),
    "cases:notice_again": act(EVERYBODY, "notice not reached"),
    "cases:notice_came_back": act(EVERYBODY, "notice"),
    "cases:mail_texts": page(MANAGERS),
    "cases:mail_text": form(MANAGERS),
    "cases:imports": form(MANAGERS),
    "cases:imports_csv": page(MANAGERS),
    "cases:import_run": page(MANAGERS),
    "cases:import_columns": form(MANAGERS),
    "cases:import_step": act(MANAGERS, "import that is checked"),
    "cases:import_begin": act(MANAGERS, "import that is checked"),
    "cases:import_stop": act(MANAGERS, "import that is checked"),
    "cases:import_left_out": page(MANAGERS),
    # the case and its visits
    "rehab:case": page(READERS),
    "cases:case_close": form(WRITERS),
    "cases:contacts": form(EVERYBODY),
    "cases:intake": form(WRITERS),
    "cases:screening": form(WRITERS),
    "cases:screening_action": form(WRITERS),
    "cases:wrist_angle": form(WRITERS),
    "cases:visit_begin": act(WRITERS, "case with a draft program"),
    "rehab:visit": page(READERS),
    "cases:notes": form(WRITERS),
    "cases:battery": form(WRITERS),
    "assessments:measures": form(WRITERS),
    "rehab:stage_check": form(WRITERS),
    "rehab:decision": form(WRITERS),
    "rehab:sign": form(WRITERS),
    "cases:addendum": form(WRITERS),
    "rehab:visit_record": page(READERS),
    "rehab:referral": page(WRITERS),
    "rehab:referral_letter": form(WRITERS, "screening answer"),
    "rehab:referral_given": act(WRITERS, "screening answer"),
    "rehab:course": page(READERS),
    "rehab:course_pdf": page(READERS),
    "rehab:history": page(READERS),
    "rehab:summary": page(READERS),
    "rehab:summary_page": page(READERS),
    "rehab:summary_file": page(READERS),
    # the program and what is done at home
    "rehab:program": form(WRITERS),
    "rehab:program_issue": form(WRITERS),
    "rehab:program_withdraw": form(WRITERS),
    "rehab:program_discard": act(WRITERS, "case with a draft program"),
    "rehab:diary": form(WRITERS),
    "rehab:correction": form(READERS),
    "rehab:correction_refusal": page(READERS),
    "rehab:erasure_refusal": page(READERS),
    "rehab:correction_new": form(READERS),
    "rehab:corrections": page(READERS),
    "rehab:corrections_csv": page(READERS),
    "rehab:hold_place": form(READERS),
    "rehab:hold_lift": act(MANAGERS, "patient"),
    "rehab:record_keep": form(READERS),
    "rehab:record_erase": form(MANAGERS),
    "rehab:record_erased": page(MANAGERS),
    "rehab:records_due": page(MANAGERS),
    "rehab:records_due_csv": page(MANAGERS),
    "rehab:records_erased": page(MANAGERS),
    "rehab:records_erased_csv": page(MANAGERS),
    "rehab:rights": page(READERS),
    "rehab:record_copy_new": form(READERS),
    "rehab:case_fhir": page(READERS),
    "rehab:restriction_new": form(READERS),
    "rehab:restriction_lift": act(READERS, "restricted patient"),
    "rehab:restricted": form(EVERYBODY),
    "rehab:record_copy": page(READERS),
    "rehab:record_copy_step": act(READERS, "copy that is begun"),
    "rehab:record_copy_zip": page(READERS),
    "rehab:record_copy_remove": act(READERS, "copy"),
    "rehab:paper_diary": form(EVERYBODY),
    "rehab:equipment": form(WRITERS),
    "rehab:home_program": page(EVERYBODY),
    "rehab:home_program_page": page(EVERYBODY),
    "rehab:home_program_file": page(EVERYBODY),
    "rehab:next_visit_entry": page(EVERYBODY),
    "rehab:diary_page": page(EVERYBODY),
    "rehab:return_plan_pdf": page(EVERYBODY),
    "rehab:self_check": page(EVERYBODY),
    # paper at the desk
    "rehab:arrival": page(EVERYBODY),
    "rehab:papers": page(EVERYBODY),
    "rehab:appointment_card": page(EVERYBODY),
    "rehab:handouts": page(EVERYBODY),
    "rehab:handout": page(EVERYBODY),
    "rehab:packs": form(EVERYBODY),
    "rehab:pack_run": page(EVERYBODY),
    "rehab:pack_step": act(EVERYBODY, "run of packs"),
    "rehab:pack_stop": act(EVERYBODY, "run of packs"),
    "rehab:packs_pdf": page(EVERYBODY),
    "rehab:packs_zip": page(EVERYBODY),
    # lists and figures
    "rehab:due": page(EVERYBODY),
    "rehab:due_csv": page(EVERYBODY),
    "rehab:due_book": page(EVERYBODY),
    "rehab:caseload": page(READERS),
    "rehab:caseload_csv": page(READERS),
    "rehab:case_exports": form(MANAGERS),
    "rehab:case_export": page(MANAGERS, "export"),
    "rehab:case_export_step": act(MANAGERS, "export that is begun"),
    "rehab:case_export_zip": page(MANAGERS, "export"),
    "rehab:case_export_remove": act(MANAGERS, "export"),
    "rehab:research": page(MANAGERS),
    "rehab:research_zip": page(MANAGERS),
    "assessments:register": page(READERS),
    "assessments:reliability": page(READERS),
    "rehab:thresholds": page(READERS),
    "rehab:thresholds_csv": page(READERS),
    "rehab:threshold": Address(get=READERS, post=MANAGERS),
    "rehab:catalog": page(READERS),
    "rehab:catalog_csv": page(READERS),
    "rehab:catalog_card": page(READERS),
    "rehab:catalog_new": form(MANAGERS),
    "rehab:catalog_change": form(MANAGERS),
    "rehab:catalog_offer": act(MANAGERS, "own exercise"),
}
