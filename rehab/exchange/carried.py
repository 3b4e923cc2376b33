"""Which tables of a record an exchanged case holds, and why the others stay; the copy of a record has all."""

from assessments.models import (
    ActivityRating,
    GlobalRating,
    GripTest,
    GripTrial,
    MeasuredValue,
    PainRating,
    QuestionnaireResponse,
    TimeOffWork,
)
from cases.models import (
    Activity,
    Addendum,
    Appointment,
    Battery,
    Case,
    Finding,
    PalpationPoint,
    Patient,
    Visit,
)
from rehab.models import DiaryDay, Program, ProgramExercise

CARRIED = (
    Patient,
    Case,
    Activity,
    Visit,
    Addendum,
    PainRating,
    GripTest,
    GripTrial,
    QuestionnaireResponse,
    ActivityRating,
    GlobalRating,
    TimeOffWork,
    MeasuredValue,
    Battery,
    Finding,
    PalpationPoint,
    DiaryDay,
    Program,
    ProgramExercise,
    Appointment,
)
# Columns of those tables that stay, with the reason. Keys and who owns a row are no facts of the case.
COLUMNS_LEFT_OUT = {
    "cases.Patient.record_number": "Each clinic numbers its own records; it goes as an identifier.",
    "cases.Patient.print_size": "Chosen anew with the patient.",
    "cases.Patient.mail_agreed": "Consent was given to one clinic and not to another.",
    "cases.Patient.mail_answered_on": "Consent was given to one clinic and not to another.",
    "cases.Patient.mail_refused_at": "Whether e-mail arrives is found out anew.",
    "cases.Patient.suits_weekdays": "Of the front desk, for its own hours.",
    "cases.Patient.suits_parts": "Of the front desk, for its own hours.",
    "cases.Patient.search_name": "The name once more, for searching.",
    "cases.Patient.registered_at": "When the person came to each clinic.",
    "cases.Visit.saved_at": "When the row was last written; the signature has its own moment.",
    "assessments.MeasuredValue.measure": "Scored anew from the numbers.",
    "assessments.MeasuredValue.value": "Scored anew from the numbers.",
}
_ASKED_AGAIN = "Who goes on treating asks it again before loading."
_NOT_YET = "Has no agreed codes; it is in the copy of the record."
_KEEPING = "The clinic's own keeping of its records."
LEFT_OUT = {
    "cases.Screening": _ASKED_AGAIN,
    "cases.ScreeningAnswer": _ASKED_AGAIN,
    "cases.ScreeningSign": _ASKED_AGAIN,
    "cases.Intake": _ASKED_AGAIN,
    "cases.Injection": _ASKED_AGAIN,
    "rehab.Equipment": _ASKED_AGAIN,
    "cases.WristAngle": _NOT_YET,
    "rehab.StageCheck": _NOT_YET,
    "rehab.Decision": "Stands on this clinic's own thresholds; what came of it is in the programs.",
    "cases.Contact": _KEEPING,
    "cases.CorrectionRequest": _KEEPING,
    "cases.ErasureRefusal": _KEEPING,
    "cases.Hold": _KEEPING,
    "cases.ImportRow": _KEEPING,
    "cases.Notice": _KEEPING,
    "cases.Restriction": _KEEPING,
    "rehab.CopyPart": _KEEPING,
    "rehab.ExportedCase": _KEEPING,
    "rehab.Handout": _KEEPING,
    "rehab.Pack": _KEEPING,
    "rehab.Pack_handouts": _KEEPING,
    "rehab.RecordCopy": _KEEPING,
}
