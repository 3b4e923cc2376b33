"""What the front desk can read: no note, finding or reason of the record, on no page and no sheet."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from rehab.models import DiaryDay
from tests.browser.situations import NUMBERS, POST_ONLY, a_clinic_at_work, filled_in, names
from tests.markers import mark, marked, text_fields, words_of

pytestmark = pytest.mark.django_db

# What is written about the elbow or the person: only for those who may read clinical records.
PROSE = {
    "activity.name",
    "addendum.reason",
    "addendum.text",
    "battery.despite",
    "correctionrequest.because",
    "correctionrequest.what",
    "decision.reason",
    "diaryday.remark",
    "erasurerefusal.reason",
    "finding.why_not_done",
    "hold.reason",
    "intake.crafts",
    "intake.earlier_treatment",
    "intake.medicines",
    "intake.music",
    "intake.occupation",
    "intake.other_joints",
    "intake.racket_change",
    "intake.sport",
    "intake.story",
    "program.more_because",
    "program.withdrawn_because",
    "recordcopy.to_whom",
    "recordcopy.why",
    "restriction.reason",
    "screeninganswer.action_taken",
    "screeninganswer.note",
    "thresholdchange.reason",
    "visit.assessment",
    "visit.objective",
    "visit.plan",
    "visit.subjective",
    "visit.treatment",
    "wristangle.note",
}
# What the desk writes itself, or what stands on the paper that it hands to the patient.
TOLD = {
    "appointment.cancel_reason",
    "case.discharge_reason",
    "contact.note",
    "displaykey.name",
    "handout.name",
    "import.file_name",
    "importrow.name",
    "importrow.own_number",
    "mailtext.body",
    "mailtext.subject",
    "notice.answer",
    "notice.body",
    "notice.sent_to",
    "notice.subject",
    "owncard.caution",
    "owncard.equipment",
    "owncard.gate",
    "owncard.name",
    "owncard.source",
    "owncard.start",
    "owncard.structures",
    "owncard.usual_mistake",
    "patient.email",
    "patient.family_name",
    "patient.given_name",
    "patient.phone",
    "patient.search_name",
    "program.remark",
    "programexercise.remark",
}
# Words of the program's own, not of a person: names of tests, cards and thresholds, digests, signatures.
CODES = {
    "calendarkey.digest",
    "displaykey.digest",
    "finding.test",
    "finding.variant",
    "finding.where",
    "handout.language",
    "handout.sha256",
    "handoutfile.sha256",
    "import.delimiter",
    "import.encoding",
    "import.sha256",
    "hiddencard.card",
    "measuredvalue.measure",
    "notice.why",
    "owncard.code",
    "palpationpoint.point",
    "program.edition",
    "programexercise.card",
    "recordcopy.sha256",
    "screeninganswer.question",
    "screeningsign.sign",
    "thresholdchange.code",
    "visit.signed_name",
    "visit.signed_registration",
}
# A part of a copy holds the whole record once more; nothing of it is shown but in the file.
WHOLE = {"copypart.data"}
# Every address that answers the front desk with a page, a sheet or a file.
OPEN = {
    "clinic:health",
    "cases:absence",
    "cases:absences",
    "cases:absences_csv",
    "cases:appointment",
    "cases:appointment_cancel",
    "cases:appointment_new",
    "cases:book",
    "cases:book_csv",
    "cases:book_figures",
    "cases:book_figures_csv",
    "cases:calendar_address",
    "cases:case_new",
    "cases:contacts",
    "cases:day",
    "cases:mail",
    "cases:mail_csv",
    "cases:notice",
    "cases:patient",
    "cases:patient_edit",
    "cases:patient_new",
    "cases:patients",
    "cases:patients_csv",
    "cases:series_new",
    "cases:to_move",
    "cases:to_move_csv",
    "cases:week",
    "clinic:account",
    "clinic:glossary",
    "clinic:keys",
    "clinic:forgotten",
    "clinic:own_sign_ins",
    "clinic:password",
    "clinic:second_factor",
    "clinic:session",
    "rehab:appointment_card",
    "rehab:arrival",
    "rehab:diary_page",
    "rehab:due",
    "rehab:due_csv",
    "rehab:handout",
    "rehab:handouts",
    "rehab:home_program",
    "rehab:home_program_file",
    "rehab:home_program_page",
    "rehab:next_visit_entry",
    "rehab:pack_run",
    "rehab:packs",
    "rehab:packs_pdf",
    "rehab:packs_zip",
    "rehab:paper_diary",
    "rehab:papers",
    "rehab:restricted",
    "rehab:return_plan_pdf",
    "rehab:self_check",
}
WITHOUT_NUMBER = {
    "cases:feed",
    "cases:display",
}  # take a secret, and say initials (tests/cases/test_feed.py, test_display.py)


@pytest.fixture
def written(physiotherapist):
    """A clinic at work, each text of its records marked as it is saved: which were, and its numbers."""
    with marked(lambda field: mark(field) if field in PROSE else None) as seen:
        numbers = a_clinic_at_work(physiotherapist)
    return seen, numbers


def addresses(numbers):
    for name in names():
        if name not in POST_ONLY | WITHOUT_NUMBER:
            for which in NUMBERS.get(name, [None]):
                yield name, filled_in(name, numbers, which)


def test_each_text_of_the_records_is_known_to_be_for_the_desk_or_not():
    known = PROSE | TOLD | CODES | WHOLE

    assert sorted(text_fields().keys() - known) == []
    assert sorted(known - text_fields().keys()) == []
    assert PROSE & TOLD == PROSE & CODES == TOLD & CODES == set()


def test_the_front_desk_reads_no_word_of_the_record(written, signed_in, front_desk):
    seen, numbers = written
    client = signed_in(front_desk)
    opened, leaks = set(), []
    for name, address in addresses(numbers):
        answer = client.get(address)
        if answer.status_code == 200:
            opened.add(name)
            said = words_of(answer)
            leaks += [(name, field) for field in seen if mark(field)[:20] in said]
        else:
            assert answer.status_code in (302, 403), (name, answer.status_code)

    assert leaks == []
    assert opened == OPEN
    assert seen >= {
        "visit.subjective",
        "screeninganswer.note",
        "wristangle.note",
        "diaryday.remark",
    }


def what_the_desk_reads(client, numbers) -> dict[str, str]:
    """Each page and sheet, without the signed tokens, which are others each time."""
    return {
        address: re.sub(
            r'\b[A-Za-z0-9]{64}\b|data-typist="[^"]+"', "", words_of(client.get(address))
        )
        for name, address in addresses(numbers)
        # What is printed on the way is listed here.
        if name in OPEN - {"rehab:handouts"}
    }


# A diary that could not be worse beside one that could not be better.
FIGURES = [
    {"worst_pain": 10, "next_morning_pain": 9, "night_wakings": 17, "sharp_or_locking": True},
    {"worst_pain": 0, "next_morning_pain": 0, "night_wakings": 0, "sharp_or_locking": False},
]


def test_what_the_desk_reads_is_the_same_whatever_the_diary_says(
    physiotherapist, signed_in, front_desk, monkeypatch
):
    """No figure of the diary and nothing that follows from it, not even on the page where it is typed in."""
    numbers, client = a_clinic_at_work(physiotherapist), signed_in(front_desk)
    now, reads = timezone.now(), []
    monkeypatch.setattr(timezone, "now", lambda: now)  # the pages say how long somebody waits
    for figures in FIGURES:
        assert DiaryDay.objects.update(**figures) > 10
        reads.append(what_the_desk_reads(client, numbers))

    assert len(reads[0]) >= len(OPEN) - 1
    assert [address for address in reads[0] if reads[0][address] != reads[1][address]] == []


def test_what_a_practitioner_reads_is_not(physiotherapist, signed_in):
    """The difference can be seen: the same comparison by somebody who may read."""
    numbers, client = a_clinic_at_work(physiotherapist), signed_in(physiotherapist)
    url, reads = reverse("rehab:diary", args=[numbers["case"]]), []
    for figures in FIGURES:
        DiaryDay.objects.update(**figures)
        reads.append(re.sub(r"\b[A-Za-z0-9]{64}\b", "", words_of(client.get(url))))

    assert reads[0] != reads[1]


def test_a_practitioner_reads_them(written, signed_in, physiotherapist):
    """The marks can be found: the same walk by somebody who may read finds many of them."""
    seen, numbers = written
    client = signed_in(physiotherapist)
    found = set()
    for _name, address in addresses(numbers):
        answer = client.get(address)
        if answer.status_code == 200:
            said = words_of(answer)
            found |= {field for field in seen if mark(field)[:20] in said}

    assert found >= {"visit.subjective", "screeninganswer.action_taken", "intake.story"}
