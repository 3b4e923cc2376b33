"""The demo: what is built, what it says to try, and what it must leave alone."""

import datetime
import io
from dataclasses import replace
from functools import partial

import pytest
import zeal
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from assessments.course import course_of
from assessments.models.grip import GripTrial
from cases.calendar import read_calendar
from cases.models import Appointment, Case, Screening, Visit
from clinic.management.commands import demo as command
from clinic.management.demo import build as building
from clinic.management.demo.people import PASSWORD, STAFF, ZONE
from clinic.management.demo.walkthrough import PAPER, PROPOSED
from clinic.models import ClinicOwned, ClosedDay, Staff
from clinic.slots import inside_hours
from rehab.clinical.owned import Owned
from rehab.clinical.progression import propose
from rehab.inputs import arm_today, reasons_not_to_issue
from rehab.models import Decision, DiaryDay, Program
from tests.factories.clinic import create_clinic

SUNDAY = datetime.datetime(2026, 3, 29, 9, tzinfo=datetime.UTC)  # the clocks change on this day


def build(*, now=None, stories=()):
    # A history is written contact by contact, as over months: that the queries repeat is meant.
    with zeal.zeal_ignore():
        return building.build(now=now or timezone.now(), stories=stories)


def story_of(family):
    return next(story for story in building.STORIES if story.person.family == family)


def case_of(family):
    return Case.objects.get(patient__family_name=family)


def today_there():
    return timezone.localdate(timezone=ZONE)


def owned_rows():
    for model in apps.get_models():
        if issubclass(model, ClinicOwned):
            yield from model.objects.all()


def parents(row):
    for field in row._meta.concrete_fields:
        if field.is_relation and isinstance(
            parent := getattr(row, field.name), ClinicOwned | Staff
        ):
            yield field.name, parent


@pytest.mark.parametrize(
    ("family", "owned"),
    [
        ("Dapple", Owned(weights_kg=(0.5, 1.0, 2.0, 3.0), bottle=True, hammer_kg=0.6)),
        ("Noorwick", Owned(weights_kg=(0.5, 1.0), bottle=True, band=True)),
    ],
)
def test_a_program_of_the_demo_needs_only_what_its_patient_owns(db, family, owned):
    build(stories=[story_of(family)])

    program = Program.objects.current_of(case_of(family))
    assert (program.owned, program.not_owned) == (owned, [])


def test_what_a_patient_owns_shapes_the_first_program(db):
    light = replace(story_of("Pettibone"), owns=(("weights_kg", (0.5,)), ("has_bottle", False)))
    build(stories=[light])

    first = Program.objects.of_case(case_of("Pettibone")).get(version=1)
    assert (first.stage, first.load_kg, first.not_owned) == (2, 0.5, [])


@pytest.mark.parametrize(
    ("family", "plan"), [("Minamoda", ("racket", None, 15)), ("Őrhegyi", ("lifting", 18, 8))]
)
def test_in_the_last_stage_a_return_plan_is_under_way(db, family, plan):
    build(stories=[story_of(family)])

    program = Program.objects.current_of(case_of(family))
    assert (program.return_plan, program.job_load_kg, program.return_step) == plan


def test_a_patient_says_when_it_suits(db):
    build(stories=[story_of("Vrabie")])

    who = case_of("Vrabie").patient
    assert (who.suits_weekdays, who.suits_parts) == ([1, 3], ["morning"])


def test_a_trial_that_did_not_count_is_kept_and_made_again(db):
    build(stories=[story_of("Westerfield")])

    struck = GripTrial.objects.get(grip_test__visit__case=case_of("Westerfield"), struck__gt="")
    made = struck.grip_test.trials.order_by("number").values_list("number", "struck")
    assert list(made) == [(1, "too_fast"), (2, ""), (3, ""), (4, "")]


def test_every_row_belongs_to_the_clinic_of_what_it_hangs_on(db):
    demo = build(stories=[story_of("Noorwick"), story_of("Vrabie"), story_of("Rosewarne")])
    create_clinic()

    with zeal.zeal_ignore():
        rows = list(owned_rows())
        strays = [
            (row, name)
            for row in rows
            for name, parent in parents(row)
            if parent.clinic_id != row.clinic_id
        ]

    assert strays == []
    assert sum(row.clinic_id == demo.clinic.pk for row in rows) > 500


@pytest.mark.parametrize("days", range(7))
def test_whatever_weekday_it_is_both_patients_are_booked_while_the_clinic_is_open(db, days):
    now = SUNDAY + datetime.timedelta(days=days)
    demo = build(now=now)

    calendar = read_calendar(demo.clinic, first=now.date(), last=now.date())

    assert {one.case for one in calendar.appointments} == {demo.new, demo.follow_up}
    assert all(
        inside_hours(one.starts_at.astimezone(ZONE), one.ends_at.astimezone(ZONE), calendar.hours)
        for one in calendar.appointments
    )


def test_the_days_on_which_the_clinic_is_closed_come_after_every_story(db):
    build()

    furthest = max(story.booked for story in building.STORIES if story.booked is not None)
    last = today_there() + datetime.timedelta(days=furthest)
    assert min(closed.day for closed in ClosedDay.objects.all()) > last


def test_the_new_patient_has_everything_still_to_come(db):
    case = build().new

    assert (case.is_open, hasattr(case, "intake"), case.visits.count()) == (True, False, 0)
    assert (Screening.objects.latest_of(case), Program.objects.current_of(case)) == (None, None)


def test_the_follow_up_patient_is_three_weeks_into_the_first_program(db):
    case = build().follow_up

    program = Program.objects.current_of(case)

    assert (program.version, program.stage) == (1, 2)
    assert (today_there() - timezone.localdate(program.issued_at, ZONE)).days == 21
    assert course_of(case).moments("prtee").start == 18


def test_the_days_on_the_paper_are_not_typed_in_yet(db):
    case = build().follow_up

    typed = set(DiaryDay.objects.of_case(case).values_list("on", flat=True))

    assert (len(typed), len(PAPER)) == (9, 12)
    assert typed & {day.on(today_there()) for day in PAPER} == set()


def opened(client, address):
    """What the diary page holds when it is opened, as a browser would send it back."""
    form = client.get(address).context["form"]
    values = {form.add_prefix(name): form[name].value() for name in form.fields}
    return {name: value for name, value in values.items() if value not in (None, False)}


def typed_in():
    """The paper as the form's fields, each in the row of its day."""
    for day in PAPER:
        row = f"diary-{day.on(today_there())}"
        yield f"{row}_sets_done", day.sets
        yield f"{row}_next_morning_pain", day.morning
        yield f"{row}_night_wakings", day.woken
        if day.sets:
            yield f"{row}_last_set_repetitions", day.last_set
            yield f"{row}_worst_pain", day.worst


def test_the_paper_typed_in_leads_to_the_decision_that_the_demo_names(db, signed_in):
    case = build().follow_up
    client, address = signed_in(case.lead), reverse("rehab:diary", args=[case.pk])
    program = Program.objects.current_of(case)

    with zeal.zeal_ignore():
        page = opened(client, address) | dict(typed_in()) | {"done": "1"}
        client.post(address, page)
        client.post(reverse("cases:visit_begin", args=[case.pk]))
        visit = Visit.objects.drafts().get(case=case)
        found = propose(arm_today(visit, program, course_of(case, visit=visit)))

    said = f"{found.decision} in stage {int(found.next_stage)} and {found.load_step} load"
    assert DiaryDay.objects.of_case(case).count() == 21
    assert f"{said}, from {program.load_kg:g} kg to {found.next_load_kg:g} kg" == PROPOSED


def test_an_answer_that_must_be_acted_on_leaves_the_case_without_a_program(db):
    build(stories=[story_of("Merriweather")])
    case = case_of("Merriweather")

    assert len(reasons_not_to_issue(case)) == 1
    assert list(Program.objects.of_case(case)) == []


def test_the_ladder_is_not_offered_to_a_patient_of_16(db):
    build(stories=[story_of("Farthingale")])
    case = case_of("Farthingale")

    assert (case.visits.signed().count(), list(Program.objects.of_case(case))) == (1, [])


@pytest.mark.parametrize("family", ["Merriweather", "Farthingale"])
def test_a_visit_without_a_program_tells_of_no_exercise(db, family):
    build(stories=[story_of(family)])
    visit = case_of(family).visits.get()

    assert (visit.treatment, visit.plan.split(";")[0]) == (
        "Talked about which tasks to change for now; no exercise yet.",
        "See the family doctor first",
    )


def test_a_decision_of_the_past_is_dated_when_it_was_made(db):
    build(stories=[story_of("Noorwick")])
    made = Decision.objects.of_case(case_of("Noorwick")).get()

    assert (made.made, made.made_step) == (made.proposed, made.proposed_step) == ("stay", "reduce")
    assert timezone.localdate(made.decided_at, ZONE) == today_there() - datetime.timedelta(days=6)


def test_every_story_has_a_patient_of_its_own_or_another_elbow_of_the_same():
    told = [(story.person, story.side) for story in building.STORIES]
    tails = {story.person: story.person.tail for story in building.STORIES}

    assert len(set(told)) == len(told) == 42
    assert sorted(tails.values()) == list(dict.fromkeys(sorted(tails.values())))


@pytest.fixture
def own_database(monkeypatch):
    """Let the test's database pass for the demo's own, and build the two patients only."""
    monkeypatch.setattr(command, "refuse_elsewhere", command.refuse_foreign_rows)
    monkeypatch.setattr(command, "build", partial(building.build, stories=()))


def run():
    out = io.StringIO()
    with zeal.zeal_ignore():
        call_command("demo", no_serve=True, stdout=out)
    return out.getvalue().splitlines()


def test_the_command_says_who_may_sign_in_whom_to_see_and_what_the_paper_says(db, own_database):
    lines = run()

    assert f"Sign in with the password “{PASSWORD}” as" in lines
    assert [line.split()[0] for line in lines[3 : 3 + len(STAFF)]] == [row[0] for row in STAFF]
    assert "1. First visit: Odile Carrick, record 0002. From intake to program." in lines
    assert "2. Follow-up: Tamsin Ferrow, record 0001." in lines
    assert sum(f"{day.on(today_there()):%a %d %b}" in " ".join(lines) for day in PAPER) == 12


def test_the_command_builds_once_and_says_that_it_is_there(db, own_database):
    run()
    again = run()

    assert again[1] == "It is there already; --fresh builds it anew, as of today."
    assert Appointment.objects.count() == 4


def test_the_demo_leaves_a_clinic_alone_that_it_did_not_build(db, own_database):
    create_clinic()

    with pytest.raises(CommandError, match="holds a clinic that the demo did not build"):
        call_command("demo", no_serve=True)


def test_the_demo_touches_no_database_but_its_own_file(db):
    with pytest.raises(CommandError) as refused:
        call_command("demo", no_serve=True, fresh=True)

    assert str(refused.value) == (
        "The demo only touches its own file demo.sqlite3, never "
        f"{connection.settings_dict['NAME']}. Start it with “manage.py demo”."
    )
