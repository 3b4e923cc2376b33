"""The packs that were asked for: made ready one after the other, and sent as files."""

import io
import zipfile

import pytest
from django.http import FileResponse
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from clinic.models import AuditEvent
from clinic.templatetags.clinic_tags import tenths
from rehab import packs, sheets
from rehab.models import Handout, HandoutFile, Pack
from rehab.models.handout import digest
from tests.factories.cases import create_clear_screening
from tests.factories.clinic import create_front_desk
from tests.factories.rehab import create_issued
from tests.pages import HTMX
from tests.rehab.packs import (
    USUAL,
    a_patient_of,
    ask_for,
    make_ready,
    sheets_in,
    step,
)
from tests.rehab.printing.sheets import page_texts


@pytest.fixture
def desk(signed_in, front_desk):
    return signed_in(front_desk)


@pytest.fixture
def two(physiotherapist):
    """Two patients with a program, the second in Spanish."""
    names = {"family_name": "Oyelaran", "record_number": 217}, {
        "family_name": "Ríos", "record_number": 218, "language": "es",
    }  # fmt: skip
    return [a_patient_of(physiotherapist, hour=9 + n, **name) for n, name in enumerate(names)]


def page(run) -> str:
    return reverse("rehab:pack_run", args=[run.pk])


def file(run, kind: str = "pdf") -> str:
    return reverse(f"rehab:packs_{kind}", args=[run.pk])


def body(answer) -> bytes:
    return b"".join(answer.streaming_content)


def words(answer) -> str:
    return " ".join(answer.content.decode().split())


def test_each_step_makes_one_pack_ready_and_says_how_far_it_is(desk, two):
    run = ask_for(desk, *two)
    before = words(desk.get(page(run)))
    first, second = step(desk, run, **HTMX), step(desk, run, **HTMX)

    assert "0 of 2 packs are ready" in before
    assert "1 of 2 packs are ready" in words(first)
    assert words(first).startswith('<form id="progress"')
    assert f'hx-post="{reverse("rehab:pack_step", args=[run.pk])}"' in words(first)
    assert second["HX-Redirect"] == page(run)
    assert "<strong>2 packs</strong> are ready, 6 sheets in all." in words(desk.get(page(run)))


def test_a_screen_reader_hears_of_a_step_that_ends_another_tenth(desk, two):
    run = ask_for(desk, *two)
    before = words(desk.get(page(run)))
    heard = step(desk, run, data={"told": "0"}, **HTMX)

    line = '<p id="progress-told" class="hidden-word" role="status" hx-swap-oob="innerHTML">'
    assert f"{line}</p>" in before
    assert f"{line}1 of 2 packs are ready</p>" in words(heard)


def test_a_screen_reader_hears_nothing_of_a_step_within_a_tenth(desk, two):
    run = ask_for(desk, *two)

    assert "progress-told" not in words(step(desk, run, data={"told": "5"}, **HTMX))


@pytest.mark.parametrize(
    ("done", "total", "told"),
    [(0, 7, "0"), (99, 1000, "0"), (100, 1000, "1"), (7, 7, "10"), (0, 0, "0")],
)
def test_tenths_are_whole(done, total, told):
    assert tenths(done, total) == told


def test_without_htmx_a_button_makes_the_next_one_ready(desk, two):
    run = ask_for(desk, *two)

    assert "Make the next pack ready" in words(desk.get(page(run)))
    assert [step(desk, run).url for _step in range(2)] == [page(run)] * 2
    assert run.is_ready


def test_a_pack_holds_its_sheets_in_order_each_handed_out_and_in_the_trail(
    desk, front_desk, physiotherapist
):
    patient = a_patient_of(physiotherapist, hour=9, program=False, language="es")
    program = create_issued(case=patient.cases.get(), stage=5, return_plan="racket")
    run = ask_for(desk, patient, self_check=[patient])
    make_ready(desk, run)

    (pack,) = run.packs.with_sheets()
    assert sheets_in(pack) == [*USUAL, "self-check sheet"]
    assert {row.language for row in pack.in_print_order} == {"es"}
    assert [row.program for row in pack.in_print_order] == [None, program, program, program, None]
    events = AuditEvent.objects.filter(verb="printed").order_by("pk")
    assert [(event.actor, event.object_type) for event in events] == [
        (front_desk, kind) for kind in ("patient", "program", "program", "program", "case")
    ]
    assert [event.detail for event in events] == [
        {"what": row.kind, "sha": row.mark, "run": run.pk} for row in pack.in_print_order
    ]


def test_a_run_that_was_left_goes_on_where_it_stood_and_by_whoever_opens_it(
    desk, signed_in, two, physiotherapist
):
    run = ask_for(desk, *two)
    step(desk, run)
    kept = set(Handout.objects.values_list("pk", flat=True))
    other = signed_in(physiotherapist)

    assert "1 of 2 packs are ready" in words(other.get(page(run)))
    make_ready(other, run)
    assert kept < set(Handout.objects.values_list("pk", flat=True))
    people = [{row.printed_by.pk for row in pack.in_print_order} for pack in run.packs.in_order()]
    assert people == [{run.made_by_id}, {physiotherapist.pk}]


def test_a_run_that_is_stopped_keeps_what_is_ready(desk, two):
    run = ask_for(desk, *two)
    step(desk, run)

    desk.post(reverse("rehab:pack_stop", args=[run.pk]))

    assert run.is_ready
    assert [pack.patient for pack in run.packs.all()] == two[:1]
    page = desk.get(reverse("rehab:pack_run", args=[run.pk])).content.decode()
    assert "<strong>1 pack</strong> is ready" in page
    assert AuditEvent.objects.get(verb="stopped").detail == {"packs": 1}


def test_a_pack_that_was_being_made_when_the_run_was_stopped_is_not_handed_out(
    desk, two, monkeypatch
):
    run = ask_for(desk, *two)
    rows_of = packs.rows_of

    def stop_meanwhile(patients):
        run.stop()
        return rows_of(patients)

    monkeypatch.setattr(packs, "rows_of", stop_meanwhile)
    step(desk, run)

    assert not Handout.objects.exists()
    page = desk.get(reverse("rehab:pack_run", args=[run.pk])).content.decode()
    assert "stopped before a pack was ready" in page


def test_a_sheet_that_can_not_be_printed_is_named_and_holds_up_nobody(desk, two):
    first, second = two
    first.family_name = "王"
    first.save()
    run = ask_for(desk, first, second)
    make_ready(desk, run)

    said = words(desk.get(page(run)))
    assert "<strong>1 pack</strong> lacks a sheet." in said
    assert "appointment card" in said
    assert "the type has no sign for “王”" in said
    assert [sheets_in(pack) for pack in run.packs.with_sheets()] == [
        [],
        ["appointment card", "home program", "diary page"],
    ]
    assert "王" not in str(list(AuditEvent.objects.values_list("detail", flat=True)))


def test_a_self_check_sheet_that_waits_is_named_without_the_reason(desk, two):
    case = two[0].cases.get()
    create_clear_screening(case=case, hot_joint="yes")
    run = ask_for(desk, *two, self_check=two)
    make_ready(desk, run)

    said = words(desk.get(page(run)))
    assert f"{case.lead} has to act first." in said
    assert [word for word in ("hot", "joint", "screening") if word in said] == []
    assert ["self-check sheet" in sheets_in(pack) for pack in run.packs.in_order()] == [False, True]


def test_a_fault_in_one_sheet_is_logged_and_holds_up_nobody(desk, two, monkeypatch, caplog):
    def fails(program, *, now):
        raise ZeroDivisionError

    monkeypatch.setitem(sheets.SETTERS, packs.Kind.DIARY_PAGE, fails)
    run = ask_for(desk, *two)
    make_ready(desk, run)

    assert [sheets_in(pack) for pack in run.packs.with_sheets()] == [
        ["appointment card", "home program"]
    ] * 2
    assert "A fault in setting it" in words(desk.get(page(run)))
    assert "ZeroDivisionError" in caplog.text


def test_when_nothing_could_be_printed_there_is_no_file(desk, two):
    two[0].family_name = "王"
    two[0].save()
    run = ask_for(desk, two[0])
    make_ready(desk, run)

    assert "No sheet could be printed." in words(desk.get(page(run)))
    assert [desk.get(file(run, kind)).status_code for kind in ("pdf", "zip")] == [404, 404]


def test_what_is_printed_is_what_runs_when_the_pack_is_made_ready(desk, two):
    run = ask_for(desk, *two)
    for patient in two:
        patient.cases.get().programs.get().end(at=timezone.now())
    newer = create_issued(case=two[1].cases.get(), version=3)
    make_ready(desk, run)

    printed = [[row.program for row in pack.in_print_order] for pack in run.packs.in_order()]
    assert printed == [[None], [None, newer, newer]]


def test_of_two_who_make_the_same_pack_ready_one_hands_it_out(desk, two, front_desk):
    run = ask_for(desk, *two)
    one, same = (Pack.objects.get(pk=run.next_pack.pk) for _person in range(2))
    parts = packs.rows_of([one.patient])[one.patient_id].parts(one.kinds)
    made = [part.set(now=timezone.now()) for part in parts]
    how = {"left_out": [], "by": front_desk, "at": timezone.now()}

    assert [one.put_in(made, **how), same.put_in(made, **how)] == [True, False]
    assert Handout.objects.count() == len(made) == one.handouts.count()


def test_printed_again_the_same_day_the_bytes_are_stored_once(desk, two):
    for _time in range(2):
        make_ready(desk, ask_for(desk, *two))

    assert (Handout.objects.count(), HandoutFile.objects.count()) == (12, 6)


def test_one_file_holds_all_packs_in_the_order_of_the_page(desk, two):
    run = ask_for(desk, *two)
    make_ready(desk, run)
    answer = desk.get(file(run))

    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="packs-2026-03-12.pdf"'
    assert answer["Cache-Control"] == "no-store"
    data = body(answer)
    document = PdfReader(io.BytesIO(data), strict=True)
    patients = [entry for entry in document.outline if not isinstance(entry, list)]
    assert [entry.title for entry in patients] == ["Marit Oyelaran · 0217", "Marit Ríos · 0218"]
    starts = [document.get_destination_page_number(entry) for entry in patients]
    assert [start % 2 for start in starts] == [0, 0]
    texts = page_texts(data)
    assert ["Oyelaran" in texts[starts[0]], "Ríos" in texts[starts[1]]] == [True, True]
    assert {"record 0217" in text for text in texts[: starts[1]] if text} == {True}
    assert {"0218" in text for text in texts[starts[1] :] if text} == {True}
    assert "/Lang" not in document.trailer["/Root"]


def test_the_sheets_of_the_file_begin_on_leaves_of_their_own_unless_one_side_is_printed(desk, two):
    starts = []
    for two_sided in ("on", ""):
        run = ask_for(desk, two[1], two_sided=two_sided)
        make_ready(desk, run)
        document = PdfReader(io.BytesIO(body(desk.get(file(run)))))
        starts.append([document.get_destination_page_number(one) for one in document.outline[1]])
        assert document.trailer["/Root"]["/Lang"] == "es"

    kept = run.packs.get().in_print_order
    card, program, _diary = (len(PdfReader(io.BytesIO(row.as_it_was())).pages) for row in kept)
    assert card == 1
    assert starts == [[0, 2, 2 + program + program % 2], [0, 1, 1 + program]]


def test_a_file_for_each_patient_is_known_by_the_record_number(desk, two):
    run = ask_for(desk, *two)
    make_ready(desk, run)
    answer = desk.get(file(run, "zip"))

    assert answer["Content-Disposition"] == 'attachment; filename="packs-2026-03-12.zip"'
    archive = zipfile.ZipFile(io.BytesIO(body(answer)))
    assert archive.namelist() == ["pack-0217.pdf", "pack-0218.pdf"]
    texts = ["".join(page_texts(archive.read(name))) for name in archive.namelist()]
    assert [("Oyelaran" in text, "Ríos" in text) for text in texts] == [
        (True, False),
        (False, True),
    ]


@pytest.mark.parametrize("kind", ["pdf", "zip"])
def test_taking_the_file_is_in_the_trail(desk, front_desk, two, kind):
    run = ask_for(desk, *two)
    make_ready(desk, run)
    answer = desk.get(file(run, kind))

    assert isinstance(answer, FileResponse)
    event = AuditEvent.objects.latest("pk")
    assert (event.actor, event.verb, event.object_id) == (front_desk, "printed", run.pk)
    assert event.detail == {"what": "packs", "file": kind, "sheets": 6}
    answer.close()


def test_bytes_that_are_not_those_handed_out_are_refused(desk, two):
    run = ask_for(desk, *two)
    step(desk, run)
    pack = run.next_pack
    kept = Handout.objects.first()
    other = Handout.objects.create(
        kind=kept.kind, size=4, sha256=digest(b"else"), file=kept.file, patient=pack.patient,
        printed_by=kept.printed_by,
    )  # fmt: skip
    pack.handouts.add(other)
    make_ready(desk, run)
    pack.handouts.add(other)
    answer = desk.get(file(run))

    assert answer.status_code == 409
    assert "differs from the one that was printed" in answer.content.decode()
    assert AuditEvent.objects.latest("pk").verb == "refused"


def test_before_all_packs_are_ready_there_is_no_file_and_no_link_to_one(desk, two):
    run = ask_for(desk, *two)
    step(desk, run)

    assert [desk.get(file(run, kind)).status_code for kind in ("pdf", "zip")] == [404, 404]
    assert file(run) not in words(desk.get(page(run)))


def test_a_run_of_another_clinic_does_not_exist(signed_in, desk, two):
    run = ask_for(desk, *two)
    stranger = signed_in(create_front_desk())

    urls = [page(run), file(run), file(run, "zip")]
    assert [stranger.get(url).status_code for url in urls] == [404] * 3
    assert step(stranger, run).status_code == 404
    assert Handout.objects.count() == 0


def test_looking_changes_nothing_and_a_step_is_posted(desk, two):
    run = ask_for(desk, *two)
    desk.get(page(run))

    assert desk.get(reverse("rehab:pack_step", args=[run.pk])).status_code == 405
    assert [desk.post(url).status_code for url in (page(run), file(run))] == [405, 405]
    assert Handout.objects.count() == 0


def test_more_packs_cost_the_page_no_more_queries(
    desk, physiotherapist, two, django_assert_num_queries
):
    run = ask_for(desk, *two)
    make_ready(desk, run)
    with django_assert_num_queries(9):
        desk.get(page(run))
    more = [a_patient_of(physiotherapist, hour=hour) for hour in range(11, 15)]
    run = ask_for(desk, *two, *more)
    make_ready(desk, run)

    with django_assert_num_queries(9):
        desk.get(page(run))
