"""The printed record of a visit, read back out of the PDF."""

import datetime
from dataclasses import fields, is_dataclass, replace

import pytest

from clinic.evidence import Status
from clinic.templatetags.clinic_tags import say
from rehab.printing.fonts import CannotPrint
from rehab.printing.ledger import Footnote
from rehab.printing.visit_facts import (
    Added,
    BatteryFacts,
    CriteriaGroup,
    CriterionRow,
    DecisionFacts,
    FindingRow,
    MeasureFacts,
    MeasureRow,
    ProgramFacts,
    Said,
    Signature,
    VisitRecord,
    Written,
)
from rehab.printing.visit_record import visit_record_pdf
from tests.rehab.printing.sheets import (
    CLINIC,
    fonts_of,
    opened,
    page_texts,
    printed_record,
    sizes_of,
    text_of,
)

AT = datetime.datetime(2026, 3, 12, 10, 45, tzinfo=datetime.UTC)
DAY = datetime.date(2026, 3, 12)
ERROR = Footnote(
    mark="a", figures="92 N", limits="Mean of three.", source="Hill 2023", status=Status.PUBLISHED
)
GATE = Footnote(
    mark="b", figures="Days in stage 2: 21 days", limits="", source="", status=Status.CONVENTION
)
BATTERY = BatteryFacts(
    on=DAY,
    performed_by="clinician",
    resting_pain=1,
    despite="The patient asked to.",
    reading=(Said(title="Points elsewhere", sentences=("Look at the neck.",)),),
    findings=(
        FindingRow(
            test="Resisted wrist extension",
            side="right",
            answer="familiar pain",
            pain="6",
            remark="strength: weak",
        ),
    ),
    points=("Epicondyle, right: 5 of 10",),
)
MEASURES = MeasureFacts(
    rows=(
        MeasureRow(
            name="Pain-free grip",
            mark="a",
            start="120 N",
            last="150 N",
            here="216 N",
            change="+96 N, beyond error (92)",
        ),
    ),
    footnotes=(ERROR,),
)
DECISION = DecisionFacts(
    version=2,
    proposed="stay, add load",
    made="stay, keep the load",
    by="Ida Solvang",
    at=AT,
    reason="Regatta on Sunday.",
    reasons=("Settled on 2 sessions running.",),
    messages=(("review", "Six weeks of work."),),
    criteria=(
        CriteriaGroup(
            title="For the next stage",
            rows=(
                CriterionRow(
                    held=True, words="Time", mark="b", found="30 days", gate="21 days or more"
                ),
                CriterionRow(held=False, words="Load", mark="b", found="None", gate="0.3 kg"),
                CriterionRow(held=None, words="Grip", mark="a", found="Not measured.", gate="92 N"),
            ),
        ),
    ),
    footnotes=(GATE,),
)


def a_record(**changes) -> VisitRecord:
    """A signed visit with everything that a visit can hold, but for `changes`."""
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        born=datetime.date(1981, 5, 4),
        elbow="Right elbow",
        on=DAY,
        seen_by="Ida Solvang",
        minutes=45,
        due_on=datetime.date(2026, 3, 26),
        notes=(Written(label="Subjective", text="Gripping the winch hurts less."),),
        battery=BATTERY,
        measures=MEASURES,
        decision=DECISION,
        program=ProgramFacts(
            version=2, stage=2, stage_name="light isotonic", issued_on=DAY, ended_on=None
        ),
        signature=Signature(name="Ida Solvang", registration="PH-1001", at=AT),
        addenda=(Added(text="X-ray came in.", reason="Late result.", by="Bo Lind", at=AT),),
        printed_at=AT,
    )
    return VisitRecord(**(usual | changes))


def words_in(part) -> list[str]:
    """Every text that a part of the record holds, in the order of its fields."""
    if is_dataclass(part):
        return [word for field in fields(part) for word in words_in(getattr(part, field.name))]
    if isinstance(part, tuple):
        return [word for item in part for word in words_in(item)]
    return [say(part)] if isinstance(part, str) and part else []


def test_everything_that_the_record_holds_is_printed():
    printed = text_of(printed_record(a_record())).replace("\u00a0", " ").lower()
    record = replace(
        a_record(), clinic=replace(CLINIC, address="1 Harbor Road", emergency_phone="")
    )

    missing = [word for word in words_in(record) if word.lower() not in printed]

    assert missing == []


def test_the_head_of_the_record_says_when_how_long_and_by_whom():
    text = text_of(printed_record(a_record()))

    assert "Visit of 12 Mar 2026, signed by Ida Solvang." in text
    assert "45 min" in text.replace("\u00a0", " ")
    assert "26 Mar 2026" in text
    assert "Version 2, stage 2, light isotonic, issued 12 Mar 2026" in text


def test_the_decision_stands_with_what_was_proposed_and_why_it_differs():
    text = text_of(printed_record(a_record()))

    assert "Proposed: stay, add load" in text
    assert "Decided: stay, keep the load, by Ida Solvang on 12 Mar 2026 at 10:45" in text
    assert "Otherwise than proposed, because: Regatta on Sunday." in text
    assert "For the next stage · 1 of 3 held" in text


def test_each_page_of_a_signed_record_says_who_signed_and_when():
    pages = page_texts(printed_record(a_record()))
    signed = "Signed by Ida Solvang, registration number PH-1001, on 12 Mar 2026 at 10:45"

    assert [signed in page for page in pages] == [True] * len(pages)
    assert [f"page {n} of {len(pages)}" in page for n, page in enumerate(pages, start=1)] == [
        True
    ] * len(pages)


def test_each_page_of_a_draft_says_that_it_is_one():
    pages = page_texts(printed_record(a_record(signature=None, addenda=())))

    assert len(pages) > 1
    assert ["Draft, not signed" in page for page in pages] == [True] * len(pages)
    assert ["Signed by" in page for page in pages] == [False] * len(pages)


def test_addenda_come_after_the_signature_with_reason_name_and_time():
    text = text_of(printed_record(a_record()))
    after = text.split("Added after signing")[1]

    assert text.index("Signature") < text.index("Added after signing")
    assert after.split("As it stood")[0].strip() == (
        "Addendum of 12 Mar 2026, 10:45, by Bo Lind X-ray came in. Reason: Late result."
    )


@pytest.mark.parametrize(
    "typed", ["<b>Bold</b> & <br/>", "a < b > c", "</para>", "<font color='x'>"]
)
def test_markup_in_what_was_typed_is_printed_as_it_was_typed(typed):
    record = a_record(
        patient=typed,
        notes=(Written(label="Plan", text=typed),),
        decision=replace(DECISION, reason=typed),
        addenda=(Added(text=typed, reason=typed, by=typed, at=AT),),
        signature=Signature(name=typed, registration=typed, at=AT),
    )

    # Once in the head, the notes, the decision, and three times in the addendum; more in signatures and feet.
    assert text_of(printed_record(record)).count(typed) >= 6


def test_long_notes_run_over_pages_and_lose_nothing():
    text = " ".join(f"word{number}" for number in range(500))[:4000]
    notes = tuple(Written(label=label, text=text) for label in ("Subjective", "Plan"))
    record = a_record(notes=notes, battery=None, measures=None, decision=None)
    data = printed_record(record)

    assert len(opened(data).pages) == 5
    printed = text_of(data)
    assert [printed.count(word) for word in ("word0 ", "word250 ", "word440 ")] == [2, 2, 2]


def test_a_visit_without_anything_says_so_and_names_no_program():
    bare = a_record(
        notes=(), battery=None, measures=None, decision=None, program=None, minutes=None
    )
    text = text_of(printed_record(bare))

    assert "No notes." in text
    assert "Program in force" in text
    assert "Program 2" not in text
    assert "Battery" not in text


@pytest.mark.parametrize(
    "changes", [{"patient": "王"}, {"notes": (Written(label="Plan", text="王"),)}]
)
def test_a_script_that_the_type_lacks_is_refused(changes):
    with pytest.raises(CannotPrint, match="王"):
        visit_record_pdf(a_record(**changes))


def test_the_record_is_set_in_embedded_type_that_can_be_read():
    data = printed_record(a_record())

    assert set(fonts_of(data).values()) == {True}
    assert min(sizes_of(data)) >= 10
    assert {size for size in sizes_of(data) if size < 11} == {10}


def test_a_signed_record_says_the_day_and_a_draft_the_time_of_its_printing():
    signed, draft = (
        text_of(printed_record(record)) for record in (a_record(), a_record(signature=None))
    )

    assert "As it stood on 12 Mar 2026. What" in signed
    assert "As it stood on 12 Mar 2026 at 10:45. What" in draft


def test_the_file_of_a_record_is_dated_by_its_printing():
    later = opened(printed_record(a_record(printed_at=AT + datetime.timedelta(days=3))))

    assert later.metadata.creation_date.date() == datetime.date(2026, 3, 15)


def test_the_file_is_known_by_record_number_and_day():
    document = opened(printed_record(a_record()))

    assert document.metadata.title == "Visit record 12 Mar 2026, 0217"
    assert document.root_object["/Lang"] == "en"


@pytest.mark.parametrize("lines", range(10, 40))
def test_the_signature_is_not_on_a_page_without_what_was_written(lines):
    notes = (Written(label="Plan", text="\n".join(["Go on."] * lines)),)
    record = a_record(notes=notes, battery=None, measures=None, decision=None, addenda=())
    pages = page_texts(printed_record(record))

    assert "Go on. Signature" in pages[-1]
