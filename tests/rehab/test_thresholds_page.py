"""A clinic's own limits: the table, changing one, and what follows from it."""

import pytest
from django.urls import reverse

from clinic.evidence import Status
from clinic.models import AuditEvent
from rehab.clinical.thresholds import DEFAULTS, THRESHOLDS
from rehab.models import Decision, ThresholdChange
from tests.factories.clinic import create_manager
from tests.factories.rehab import create_diary
from tests.rehab.printing.sheets import text_of
from tests.sealed import changed, refused, sql

TABLE = "/thresholds/"
FLOOR = "/thresholds/standard_red_floor/"


@pytest.fixture
def desk(signed_in, manager):
    return signed_in(manager)


def send(browser, url=FLOOR, **typed):
    form = browser.get(url).context["form"]
    opened = form["opened_with"].value()
    return browser.post(url, {"opened_with": opened, "value": 5, "reason": "Agreed."} | typed)


def own(by, code, value):
    return ThresholdChange.make(code, value, reason="Agreed in the team.", by=by)


def words_of(page):
    return " ".join(page.content.decode().split())


def test_the_table_shows_every_threshold_once(desk):
    groups = desk.get(TABLE).context["groups"]

    assert [line.row for group in groups for line in group.lines] == list(THRESHOLDS)


def test_a_clinics_own_value_stands_beside_the_printed_one(desk, manager):
    own(manager, "ratio_for_heavy", 0.85)

    page = desk.get(TABLE)

    lines = [line for group in page.context["groups"] for line in group.lines if line.is_own]
    assert [(line.here, line.printed, line.span) for line in lines] == [
        ("0.85", "0.80", "0.70–0.90")
    ]
    assert "<strong>1</strong> value is this clinic's own" in words_of(page)


def test_without_own_values_the_table_says_that_all_are_as_printed(desk):
    assert "All values are as printed" in words_of(desk.get(TABLE))


def test_sources_that_disagree_are_noted_once_and_marked_at_their_rows(desk):
    page = desk.get(TABLE)

    marks = {line.row.code: line.marks for g in page.context["groups"] for line in g.lines}
    assert marks["strict_red_floor"] == marks["standard_red_floor"] == ("a",)
    assert page.content.decode().count("How much pain during exercise?") == 1


def test_a_change_is_kept_with_who_and_why(desk, manager):
    answer = send(desk)

    made = ThresholdChange.objects.get()
    assert answer.url == FLOOR
    assert (made.clinic, made.code, made.value) == (manager.clinic, "standard_red_floor", 5)
    assert (made.changed_by, made.reason) == (manager, "Agreed.")


def test_a_change_is_one_row_of_the_audit_trail(desk):
    send(desk)

    event = AuditEvent.objects.get(verb="changed")
    assert event.detail == {
        "threshold": "Lowest pain that is too much, standard policy", "from": 6, "to": 5,
    }  # fmt: skip


def test_the_history_says_from_what_to_what_newest_first(desk, manager):
    for value in (5, 4, 6):
        own(manager, "standard_red_floor", value)

    history = desk.get(FLOOR).context["history"]

    assert [(row.was, row.value) for row in history] == [(4, None), (5, 4), (None, 5)]


def test_the_printed_value_comes_back_with_a_reason(desk, manager):
    own(manager, "standard_red_floor", 5)

    send(desk, value="nonsense", printed="1")

    assert ThresholdChange.objects.last().value is None
    assert ThresholdChange.objects.limits(manager.clinic) == DEFAULTS


WHOLE = "Enter a whole number from 3 to 6."


@pytest.mark.parametrize(
    ("typed", "errors"),
    [
        ({"value": 7}, {"value": [WHOLE]}),
        ({"value": 2}, {"value": [WHOLE]}),
        ({"value": 4.5}, {"value": [WHOLE]}),
        ({"value": "five"}, {"value": [WHOLE]}),
        ({"value": ""}, {"value": [WHOLE]}),
        ({"value": "nan"}, {"value": [WHOLE]}),
        ({"value": 6}, {"value": ["This is the value already."]}),
        ({"reason": "  "}, {"reason": ["Say why the value is changed."]}),
        (
            {"value": 3},
            {
                "value": [
                    "It must stay above “Highest pain that still counts as settled, standard policy”, "
                    "which is 3 /10."
                ]
            },
        ),
    ],
)
def test_a_value_that_can_not_be_is_answered_at_its_field(desk, typed, errors):
    answer = send(desk, **typed)

    assert (answer.status_code, ThresholdChange.objects.count()) == (422, 0)
    assert answer.context["form"].errors == errors
    assert answer.context["form"]["reason"].value() == typed.get("reason", "Agreed.")


def test_steps_finer_than_one_are_named(desk):
    answer = send(desk, "/thresholds/ratio_for_return/", value=0.955)

    sentence = "Enter a number from 0.80 to 1.00, in steps of 0.01."
    assert answer.context["form"].errors == {"value": [sentence]}


def test_going_back_past_another_own_value_is_refused(desk, manager):
    own(manager, "standard_green_ceiling", 2)
    own(manager, "standard_red_floor", 3)

    answer = send(desk, "/thresholds/standard_green_ceiling/", printed="1")

    assert answer.context["form"].errors["value"][0].startswith("It must stay below “Lowest pain")


def test_a_change_made_meanwhile_is_shown_beside_what_was_typed(desk, manager):
    opened = desk.get(FLOOR).context["form"]["opened_with"].value()
    own(manager, "standard_red_floor", 4)

    answer = desk.post(FLOOR, {"opened_with": opened, "value": 5, "reason": "Agreed."})

    conflict = answer.context["form"].conflicts[0]
    assert (answer.status_code, conflict.theirs, conflict.mine) == (422, 4, 5)


def test_who_treats_reads_the_history_and_changes_nothing(signed_in, physiotherapist):
    browser = signed_in(physiotherapist)

    assert browser.get(FLOOR).context["form"] is None
    assert browser.post(FLOOR, {"value": 5, "reason": "Mine."}).status_code == 403
    assert ThresholdChange.objects.count() == 0


@pytest.mark.parametrize("url", [TABLE, FLOOR])
@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("manager", 200), ("front_desk", 403)]
)
def test_who_reads_clinical_records_reads_the_table(request, signed_in, url, who, status):
    assert signed_in(request.getfixturevalue(who)).get(url).status_code == status


@pytest.mark.parametrize("code", ["nonsense", "grip_change_n"])
def test_only_a_setting_has_a_page(desk, code):
    url = reverse("rehab:threshold", args=[code])

    assert (desk.get(url).status_code, desk.post(url).status_code) == (404, 404)


def test_the_change_of_another_clinic_does_not_count(desk, manager):
    own(create_manager(), "standard_red_floor", 4)

    page = desk.get(FLOOR)

    assert (page.context["line"].here, page.context["history"]) == ("6", [])
    assert ThresholdChange.objects.limits(manager.clinic) == DEFAULTS


def test_the_table_is_only_read_and_a_threshold_is_not_deleted(desk):
    assert (desk.post(TABLE).status_code, desk.delete(FLOOR).status_code) == (405, 405)


@pytest.mark.parametrize("changes", [1, 3])
def test_the_pages_cost_the_same_however_many_changes(
    desk, manager, changes, django_assert_num_queries
):
    for value in (5, 4, 5)[:changes]:
        own(manager, "standard_red_floor", value)

    with django_assert_num_queries(2):
        desk.get(TABLE)
    with django_assert_num_queries(3):
        desk.get(FLOOR)


def test_only_a_manager_is_led_there(desk, signed_in, physiotherapist):
    link = '<a href="/thresholds/"'
    assert link in desk.get("/").content.decode()
    assert link not in signed_in(physiotherapist).get("/").content.decode()


@pytest.fixture
def decision_url(visit, diary):
    return reverse("rehab:decision", args=[visit.pk])


def test_an_own_value_changes_what_is_proposed(browser, visit, program, manager):
    create_diary(program=program, days=14, worst_pain=3)
    url = reverse("rehab:decision", args=[visit.pk])
    before = browser.get(url).context["decision"].proposal

    own(manager, "standard_green_ceiling", 2)
    after = browser.get(url).context["decision"].proposal

    assert (before.load_step, after.load_step) == ("add", "reduce")
    assert str(after.reasons[0]) == "7 sessions to watch in 7 days."


def test_a_decision_keeps_the_values_it_was_made_with(browser, decision_url, manager):
    own(manager, "load_step_days", 10)
    browser.post(decision_url, {"made": "stay", "made_step": "add", "reason": ""})
    own(manager, "load_step_days", 12)

    kept = Decision.objects.get().as_proposed()
    figure = next(row.figure for row in kept.criteria if row.figure.code == "load_step_days")
    assert dict(kept.thresholds)["load_step_days"] == 10
    assert (figure.value, figure.printed, figure.status) == (10, 7, Status.CLINIC_SETTING)
    said = words_of(browser.get(decision_url))
    assert "Days between load steps in stage 2: 10 days, printed 7" in said


def test_the_diary_is_read_by_the_clinics_own_limits(browser, program, diary, manager):
    own(manager, "standard_green_ceiling", 2)
    url = reverse("rehab:diary", args=[program.case_id])

    assert "Settled up to 2" in words_of(browser.get(url))


def test_the_sheets_print_the_clinics_own_limits(browser, program, manager):
    own(manager, "standard_red_floor", 5)

    sheet = browser.get(reverse("rehab:home_program", args=[program.pk]))

    assert "Your pain reaches 5 or turns sharp." in text_of(sheet.content)


WRITES = {
    "save": lambda c: changed(c, value=4),
    "queryset": lambda c: lambda: ThresholdChange.objects.update(value=4),
    "delete": lambda c: c.delete,
    "raw update": lambda c: sql("UPDATE rehab_thresholdchange SET value = 4"),
    "raw delete": lambda c: sql("DELETE FROM rehab_thresholdchange"),
}


@pytest.mark.parametrize("way", WRITES)
def test_a_change_stays(manager, way):
    change = own(manager, "standard_red_floor", 5)

    assert refused(WRITES[way](change), by="threshold_change_stays")
    assert ThresholdChange.objects.get().value == 5


def test_a_change_without_a_reason_is_refused_by_the_database(manager):
    bare = ThresholdChange(clinic=manager.clinic, code="rest_pain", changed_by=manager)

    assert refused(bare.save, by="threshold_change_has_reason")
