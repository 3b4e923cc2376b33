"""What was handed out is kept as it was."""

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from cases.models import Patient
from clinic.models import AuditEvent
from clinic.templatetags.clinic_tags import clock
from rehab.models import Handout, HandoutFile
from rehab.models.handout import digest
from rehab.views.handouts import HANDOUTS_A_PAGE
from tests.browser.situations import NUMBERS, PAPER, a_clinic_at_work
from tests.factories.cases import create_case, create_patient, create_signed_visit
from tests.factories.clinic import create_front_desk, create_physiotherapist
from tests.factories.rehab import create_issued
from tests.rehab.printing.sheets import text_of

Kind = Handout.Kind
PROGRAM_SHEETS = {
    "rehab:home_program": Kind.HOME_PROGRAM,
    "rehab:diary_page": Kind.DIARY_PAGE,
    "rehab:return_plan_pdf": Kind.RETURN_PLAN,
}
# What the front desk may print: nothing of it is a clinical record.
PATIENTS_OWN = {
    *PROGRAM_SHEETS.values(),
    Kind.APPOINTMENT_CARD,
    Kind.SELF_CHECK,
    Kind.HOME_PROGRAM_PAGE,
}


def keep(program, *, kind=Kind.HOME_PROGRAM, data=b"%PDF as it was", **fields) -> Handout:
    usual = {"about": program, "language": "en", "name": "sheet.pdf", "by": program.case.lead}
    return Handout.objects.keep(data, kind=kind, **(usual | fields))


def listed(case) -> str:
    return reverse("rehab:handouts", args=[case.patient_id])


def again(handout) -> str:
    return reverse("rehab:handout", args=[handout.pk])


@pytest.mark.parametrize(("view", "kind"), PROGRAM_SHEETS.items())
def test_a_printed_sheet_of_a_program_is_kept_byte_for_byte(browser, case, view, kind):
    program = create_issued(case=case, stage=5, return_plan="racket")
    answer = browser.get(reverse(view, args=[program.pk]))

    kept = Handout.objects.get()
    assert (kept.patient, kept.case, kept.program) == (case.patient, case, program)
    assert (kept.kind, kept.printed_by, kept.language) == (kind, case.lead, case.patient.language)
    assert answer["Content-Disposition"] == f'inline; filename="{kept.name}"'
    assert (kept.as_it_was(), kept.size) == (answer.content, len(answer.content))


def test_a_record_of_a_visit_and_a_course_are_kept_without_a_program(browser, case):
    visit = create_signed_visit(case=case)
    record = browser.get(reverse("rehab:visit_record", args=[visit.pk]))
    course = browser.get(reverse("rehab:course_pdf", args=[case.pk]))

    kept = Handout.objects.order_by("pk")
    assert [(row.kind, row.program, row.case) for row in kept] == [
        ("visit record", None, case),
        ("course", None, case),
    ]
    assert [row.as_it_was() for row in kept] == [record.content, course.content]


def test_a_card_is_kept_about_the_patient_and_a_self_check_sheet_about_the_case(browser, case):
    case.patient.language = "es"
    case.patient.save()
    card = browser.get(reverse("rehab:appointment_card", args=[case.patient_id]))
    check = browser.get(reverse("rehab:self_check", args=[case.pk]))

    kept = Handout.objects.order_by("pk")
    assert [(row.kind, row.case, row.patient, row.language) for row in kept] == [
        ("appointment card", None, case.patient, "es"),
        ("self-check sheet", case, case.patient, "es"),
    ]
    assert [row.as_it_was() for row in kept] == [card.content, check.content]


@pytest.mark.parametrize("view", sorted(PAPER - {"rehab:handout"}))
def test_whatever_is_printed_is_kept_and_stands_in_the_trail(browser, physiotherapist, view):
    numbers = a_clinic_at_work(physiotherapist)
    before = Handout.objects.count()
    answer = browser.get(reverse(view, args=[numbers[which] for which in NUMBERS[view][:1]]))

    kept = Handout.objects.latest("pk")
    assert (Handout.objects.count(), kept.as_it_was()) == (before + 1, answer.content)
    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.detail) == ("printed", {"what": kept.kind, "sha": kept.mark})


@pytest.mark.parametrize("view", sorted(PAPER - {"rehab:handout"}))
@pytest.mark.parametrize("name", ["محمد", "王", "שרה", "प्रिया"])
def test_a_sheet_that_can_not_be_printed_is_refused_in_a_sentence_and_not_kept(
    browser, physiotherapist, view, name
):
    numbers = a_clinic_at_work(physiotherapist)
    Patient.objects.update(family_name=name)
    before = Handout.objects.count()
    answer = browser.get(reverse(view, args=[numbers[which] for which in NUMBERS[view][:1]]))

    assert (answer.status_code, Handout.objects.count()) == (422, before)
    assert "can&#x27;t be printed: the type has no sign for" in answer.content.decode()


def test_printing_again_gives_the_same_bytes_after_the_clinics_name_and_the_program_changed(
    browser, program
):
    first = browser.get(reverse("rehab:home_program", args=[program.pk]))
    program.end(at=program.issued_at)
    program.clinic.name = "Quayside Physiotherapy"
    program.clinic.save()
    second = browser.get(again(Handout.objects.get()))

    assert second.content == first.content
    assert "Quayside Physiotherapy" not in text_of(second.content)
    assert second["Content-Disposition"] == first["Content-Disposition"]


def test_printing_again_is_audited_and_hands_out_nothing_new(signed_in, front_desk, program):
    kept = keep(program)
    signed_in(front_desk).get(again(kept))

    event = AuditEvent.objects.get(verb="printed again")
    assert (event.actor, event.object_type, event.object_id) == (front_desk, "handout", kept.pk)
    assert event.detail == {"what": "home program", "sha": digest(b"%PDF as it was")[:12]}
    assert Handout.objects.count() == 1


def test_bytes_that_are_not_those_handed_out_are_refused_and_audited(browser, program):
    kept = keep(program)
    fields = {"file": kept.file, "patient": kept.patient, "printed_by": kept.printed_by}
    other = Handout.objects.create(kind=kept.kind, size=4, sha256=digest(b"else"), **fields)
    answer = browser.get(again(other))

    assert answer.status_code == 409
    assert "differs from the one that was printed" in answer.content.decode()
    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.object_id) == ("refused", other.pk)
    assert event.detail == {"what": "home program", "sha": digest(b"else")[:12]}


def test_the_same_bytes_are_stored_once_in_a_clinic_and_again_in_another(program):
    ours = [keep(program), keep(program)]
    theirs = keep(create_issued(case=create_case(lead=create_physiotherapist())))

    assert ours[0].file == ours[1].file != theirs.file
    assert (Handout.objects.count(), HandoutFile.objects.count()) == (3, 2)


@pytest.mark.parametrize("model", [Handout, HandoutFile])
def test_the_database_lets_nobody_change_or_delete_what_was_handed_out(program, model):
    keep(program)

    rows = model.objects.all()
    # Past Django's own protection of a row that others point at.
    for broken in (lambda: rows.update(sha256="0" * 64), lambda: rows._raw_delete("default")):
        with pytest.raises(IntegrityError, match="stays"), transaction.atomic():
            broken()
    assert model.objects.get().sha256 == digest(b"%PDF as it was")


def test_the_list_names_sheet_version_and_person_the_newest_first(browser, program):
    rows = [keep(program, data=b"1"), keep(program, kind=Kind.DIARY_PAGE, data=b"2")]
    page = browser.get(listed(program.case))

    said = page.content.decode()
    assert list(page.context["page"]) == rows[::-1]
    assert said.index("diary page") < said.index("home program")
    assert f'<td data-head="Version">{program.version}</td>' in said
    assert f'<td data-head="By">{program.case.lead}</td>' in said
    assert [again(row) in said for row in rows] == [True, True]


@pytest.mark.parametrize(
    ("who", "seen"),
    [("front_desk", PATIENTS_OWN), ("physiotherapist", set(Kind)), ("manager", set(Kind))],
)
def test_the_front_desk_sees_only_what_it_may_print_itself(request, signed_in, program, who, seen):
    kept = [keep(program, kind=kind) for kind in Kind]
    client = signed_in(request.getfixturevalue(who))

    assert {row.kind for row in client.get(listed(program.case)).context["page"]} == seen
    opened = {row.kind for row in kept if client.get(again(row)).status_code == 200}
    assert opened == seen


def test_a_link_to_print_again_says_when_it_was_printed(browser, program):
    kept = keep(program)

    link = browser.get(listed(program.case)).content.decode().split("Print again")[1]
    assert f", {clock(kept.printed_at)}</span>" in link


def test_a_handout_of_another_clinic_does_not_exist(signed_in, program):
    kept = keep(program)
    stranger = signed_in(create_front_desk())

    assert [stranger.get(url).status_code for url in (listed(program.case), again(kept))] == [
        404,
        404,
    ]
    assert not AuditEvent.objects.filter(verb="printed again").exists()


def test_nothing_handed_out_is_said_and_leads_to_the_sheets(browser, case):
    keep(create_issued(case=create_case(lead=case.lead)))
    page = browser.get(listed(case))

    said = page.content.decode()
    assert "Nothing was handed out yet" in said
    assert reverse("rehab:papers", args=[case.patient_id]) in said


def test_nothing_is_posted_and_nobody_looks_without_signing_in(client, browser, program):
    urls = (listed(program.case), again(keep(program)))
    assert [browser.post(url).status_code for url in urls] == [405, 405]
    client.logout()

    assert [client.get(url).status_code for url in urls] == [302, 302]


def test_a_long_list_is_paged_and_asks_no_more_of_the_database_nor_for_the_bytes(
    browser, program, django_assert_num_queries
):
    keep(program)
    with django_assert_num_queries(5) as few:
        browser.get(listed(program.case))
    for number in range(HANDOUTS_A_PAGE):
        keep(program, data=b"%d" % number)
    with django_assert_num_queries(len(few)) as many:
        page = browser.get(listed(program.case))

    assert (len(page.context["page"]), page.context["page"].paginator.num_pages) == (25, 2)
    assert [query for query in many.captured_queries if '"content"' in query["sql"]] == []


def test_the_papers_page_and_the_case_page_lead_to_the_list(browser, program):
    papers = reverse("rehab:papers", args=[program.case.patient_id])
    pages = (papers, reverse("rehab:case", args=[program.case_id]))

    assert [listed(program.case) in browser.get(url).content.decode() for url in pages] == [
        True,
        True,
    ]


def test_the_opened_list_is_in_the_trail(browser, case):
    browser.get(listed(case))

    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.object_id, event.page) == (
        "opened", case.patient_id, "rehab:handouts",
    )  # fmt: skip


def test_a_patient_of_another_clinic_has_no_list(browser):
    url = reverse("rehab:handouts", args=[create_patient().pk])

    assert browser.get(url).status_code == 404
