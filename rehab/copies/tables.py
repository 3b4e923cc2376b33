"""Everything that is in the copy of a record, as trees of tables; what is left out says why.

`tests/rehab/copies/test_complete.py` looks at every model that leads to a patient, and each column.
"""

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
    Contact,
    CorrectionRequest,
    ErasureRefusal,
    Finding,
    Hold,
    ImportRow,
    Injection,
    Intake,
    Notice,
    PalpationPoint,
    Patient,
    Restriction,
    Screening,
    ScreeningAnswer,
    ScreeningSign,
    Visit,
    WristAngle,
)
from rehab.models import (
    Decision,
    DiaryDay,
    Equipment,
    Handout,
    Pack,
    Program,
    ProgramExercise,
    RecordCopy,
    StageCheck,
)

from .table import Layout, Table

FACTS, LINE = Layout.FACTS, Layout.LINE

PERSON = Table(
    model=Patient,
    layout=FACTS,
    inside=(
        Table(
            model=Appointment,
            of="patient",
            order=("starts_at", "pk"),
            joined=("case",),
            inside=(Table(model=Notice, of="appointment", layout=FACTS),),
        ),
        Table(model=ImportRow, of="patient", layout=FACTS, joined=("run",)),
        Table(model=CorrectionRequest, of="patient", layout=FACTS, joined=("addendum",)),
        Table(model=Restriction, of="patient", layout=FACTS),
        Table(model=Hold, of="patient", layout=FACTS),
        Table(model=ErasureRefusal, of="patient", layout=FACTS),
        Table(model=RecordCopy, of="patient", layout=FACTS),
    ),
)
CASE = Table(
    model=Case,
    layout=FACTS,
    inside=(
        Table(model=Intake, of="case", layout=FACTS),
        Table(model=Injection, of="case", layout=LINE),
        Table(model=Activity, of="case", layout=LINE),
        Table(
            model=Screening,
            of="case",
            layout=FACTS,
            inside=(
                Table(model=ScreeningAnswer, of="screening"),
                Table(model=ScreeningSign, of="screening"),
            ),
        ),
        Table(model=WristAngle, of="case", layout=FACTS),
        Table(model=Contact, of="case"),
        Table(model=Equipment, of="case", layout=FACTS),
    ),
)
VISIT = Table(
    model=Visit,
    layout=FACTS,
    order=("on", "pk"),
    inside=(
        Table(model=Addendum, of="visit", layout=FACTS),
        Table(
            model=Battery,
            of="visit",
            layout=FACTS,
            inside=(
                Table(model=Finding, of="battery"),
                Table(model=PalpationPoint, of="battery", layout=LINE),
            ),
        ),
        Table(model=PainRating, of="visit", layout=LINE),
        Table(
            model=GripTest,
            of="visit",
            layout=FACTS,
            inside=(Table(model=GripTrial, of="grip_test", layout=LINE, order=("number",)),),
        ),
        Table(model=QuestionnaireResponse, of="visit", layout=FACTS),
        Table(model=ActivityRating, of="visit", layout=LINE, joined=("activity",)),
        Table(model=GlobalRating, of="visit", layout=LINE),
        Table(model=TimeOffWork, of="visit", layout=LINE),
        Table(model=MeasuredValue, of="visit", layout=LINE),
        Table(model=StageCheck, of="visit", layout=FACTS),
        Table(model=Decision, of="visit", layout=FACTS, joined=("program",)),
    ),
)
PROGRAM = Table(
    model=Program,
    layout=FACTS,
    order=("version", "pk"),
    inside=(
        Table(model=ProgramExercise, of="program", order=("position",)),
        Table(model=DiaryDay, of="program", order=("on",)),
    ),
)
HANDOUT = Table(model=Handout, layout=FACTS, order=("printed_at", "pk"), joined=("case", "program"))
PACK = Table(model=Pack, layout=FACTS, joined=("run",))

TREES = (PERSON, CASE, VISIT, PROGRAM, HANDOUT, PACK)

# Models that lead to the patient and are not in a table of their own, with the reason.
LEFT_OUT = {
    "rehab.Pack_handouts": "Which sheets were in a pack: listed with the pack.",
    "rehab.ExportedCase": "The case once more, for another system, until its file was handed over.",
    "rehab.CopyPart": "The parts of a copy like this one while it is being made: the same once more.",
}
# Columns that are not in the data, with the reason.
LEFT_OUT_COLUMNS = {
    "clinic": "The same for every row: named once, at the head of the file.",
}
# Columns that are in the data and not on paper, with the reason.
NOT_ON_PAPER = {
    "cases.Patient.search_name": "The name once more, without accents, for searching.",
    "rehab.ProgramExercise.words": "The card with its translations: on the home program as it was given.",
    "cases.WristAngle.points": "Places on a picture that was not kept; the angles say what they came to.",
}
