"""The exercises of a clinic: all, one by one, its own, and those that it leaves out."""

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse

from clinic.models import AuditEvent
from rehab.clinical.exercises import CARDS
from rehab.models import HiddenCard, OwnCard, Program
from rehab.models.catalog import Catalog
from tests.factories.clinic import create_clinic
from tests.factories.rehab import create_draft, create_own_card
from tests.pages import typed

LIST, NEW = "/exercises/", "/exercises/new/"
TYPED = {
    "name": "Rope pull",
    "start": "Stand with your elbow bent.",
    "steps": "Pull the rope slowly.\n\n  Let it go back slowly. ",
    "usual_mistake": "The shoulder lifts.",
    "caution": "",
    "equipment": "A rope",
    "structures": "Elbow flexors",
    "gate": "",
    "source": "",
    "stages": ["3", "2"],
    "sets": "2",
    "repetitions": "12",
    "hold_s": "",
    "load_kg": "1.5",
    "up_s": "2",
    "down_s": "",
    "rest_s": "60",
    "sessions_per_day": "1",
    "days_per_week": "3",
}


@pytest.fixture
def manage(signed_in, manager):
    return signed_in(manager)


@pytest.fixture
def own(manager):
    return create_own_card(clinic=manager.clinic)


def text(page):
    return " ".join(page.content.decode().split())


def shown(page):
    """The codes of the exercises by the stage that they stand under."""
    return [
        (stage.value, [entry.card.code for entry in entries])
        for stage, entries in page.context["groups"]
    ]


def test_every_exercise_stands_once_under_the_stage_that_it_comes_in_with(manage, own):
    page = manage.get(LIST)

    codes = [code for _stage, found in shown(page) for code in found]
    assert sorted(codes) == sorted([*(card.code for card in CARDS), "own-001"])
    assert shown(page)[0] == (
        1, ["wrist-hold", "fist-hold", "open-hand", "row", "shoulder-turn"],
    )  # fmt: skip


def test_a_row_says_dose_gate_structures_and_source_beside_the_end_of_the_exercise(manage):
    page = manage.get(LIST, {"q": "thumb-up"})
    said = text(page)

    assert shown(page) == [(2, ["thumb-up-lift"])]
    assert said.count('class="figure"') == 1
    for words in (
        "<strong>3 × 12</strong>",
        "stages 2, 3",
        "Radial wrist extensors and the radial wrist flexor",
        "3 × 12–15, 2–3 s each way, 3 days a week",
        "Lift and lower done in full, 2 sessions running",
        "common practice, no source",
    ):
        assert words in said


def test_one_stage_shows_all_that_can_be_given_in_it(manage, own):
    assert shown(manage.get(LIST, {"stage": "3"})) == [
        (3, ["thumb-up-lift", "turn-palm", "open-hand", "straight-arm-lift", "row",
             "shoulder-turn", "twist-bar", "extensor-stretch", "own-001"]),
    ]  # fmt: skip


@pytest.mark.parametrize("stage", ["6", "0", "two", ""])
def test_a_stage_that_does_not_exist_shows_all(manage, stage):
    assert len(shown(manage.get(LIST, {"stage": stage}))) == 5


def test_a_search_without_a_find_says_what_to_do(manage):
    page = manage.get(LIST, {"q": "handstand", "stage": "2"})

    assert shown(page) == []
    assert "No exercise fits" in text(page)


@pytest.mark.parametrize("count", [1, 3])
def test_the_list_costs_the_same_however_many_exercises(
    manage, manager, count, django_assert_num_queries
):
    for number in range(count):
        create_own_card(clinic=manager.clinic, name=f"Pull {number}")
    manage.get(LIST)

    with django_assert_num_queries(3):
        assert manage.get(LIST).context["own"] == count


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.code)
def test_a_card_is_shown_with_everything_on_it(manage, card):
    said = text(manage.get(f"/exercises/{card.code}/"))

    for words in (*card.for_patients, card.structures, card.usual_dose, str(card.status)):
        assert words.lower() in said.lower()


def test_doses_of_the_repetition_maximum_bands_stand_in_their_order(manage):
    page = manage.get("/exercises/straight-arm-lift/")

    doses = [(stage.value, list(map(str, doses))) for stage, doses in page.context["entry"].doses]
    assert doses == [
        (3, ["3 × 15 RM", "3 × 12 RM"]),
        (4, ["4 × 10 RM", "4 × 8 RM", "4 × 6 RM"]),
    ]


def test_an_own_exercise_says_that_it_has_no_drawing_and_whose_dose_it_is(manage, own):
    said = text(manage.get("/exercises/own-001/"))

    assert "No drawing: only the catalog's exercises have one." in said
    assert "the clinic&#x27;s own setting" in said


def test_an_exercise_is_written(manage, manager):
    answer = manage.post(NEW, TYPED)

    own = OwnCard.objects.get()
    assert answer.url == "/exercises/own-001/"
    assert (own.clinic, own.code, own.edition) == (manager.clinic, "own-001", 1)
    assert own.steps == ["Pull the rope slowly.", "Let it go back slowly."]
    assert (own.stages, own.source, str(own.as_card.dose.headline())) == (
        [2, 3],
        "none",
        "2 × 12, 1.5 kg",
    )
    assert AuditEvent.objects.get(verb="wrote").detail == {"code": "own-001", "edition": 1}


def test_a_look_keeps_what_was_typed_and_saves_nothing(manage):
    page = manage.post(NEW, TYPED | {"look": "1", "caution": "Mind " * 26 + "it."})
    said = text(page)

    assert (page.status_code, OwnCard.objects.count()) == (200, 0)
    assert "Do 2 sets of 12 with 1.5 kg." in said
    assert "A sentence has more than 25 words." in said
    assert page.context["form"]["start"].value() == TYPED["start"]


def test_a_change_is_a_new_edition_and_the_old_one_stays(manage, own):
    url = "/exercises/own-001/change/"

    answer = manage.post(url, typed(manage.get(url), name="Rope haul", sets="4"))

    editions = OwnCard.objects.editions("own-001").values_list("edition", "name", "dose__sets")
    assert answer.url == "/exercises/own-001/"
    assert list(editions) == [(2, "Rope haul", 4), (1, "Rope pull", 2)]


def test_two_who_change_the_same_exercise_see_both_versions(manage, own):
    url = "/exercises/own-001/change/"
    opened = typed(manage.get(url), name="Mine")
    create_own_card(clinic=own.clinic, code="own-001", name="Theirs")

    answer = manage.post(url, opened)

    conflicts = [(c.theirs, c.mine) for c in answer.context["form"].conflicts]
    assert (answer.status_code, conflicts) == (422, [("Theirs", "Mine")])
    assert OwnCard.objects.count() == 2


WRONG = [
    ("name", "", "Give it a name."),
    ("name", "Wrist hold", "There is an exercise of this name already."),
    ("start", "x" * 401, "Keep the start position under 400 letters."),
    ("steps", " \n ", "Write at least one step."),
    ("steps", "Go.\n" * 9, "Write at most 8 steps, one on each line."),
    ("steps", "x" * 201, "Keep each step under 200 letters."),
    ("stages", [], "Choose at least one stage."),
    ("stages", ["6"], "Choose from the stages 1 to 5."),
    ("sets", "", "Give 1 to 10 sets."),
    ("sets", "11", "Give 1 to 10 sets."),
    ("sets", "three", "Give 1 to 10 sets."),
    ("repetitions", "", "Give repetitions, or a hold in seconds."),
    ("repetitions", "400", "Give 1 to 100 repetitions, or leave them empty."),
    ("load_kg", "-1", "Enter a load up to 50 kg, 0 for none, or leave it empty."),
    ("down_s", "61", "Give 1 to 60 seconds, or leave it empty."),
    ("days_per_week", "8", "Give 1 to 7 days a week."),
]


@pytest.mark.parametrize(("field", "value", "sentence"), WRONG)
def test_what_is_wrong_is_said_at_its_field_and_nothing_is_lost(manage, field, value, sentence):
    answer = manage.post(NEW, TYPED | {field: value})

    assert (answer.status_code, OwnCard.objects.count()) == (422, 0)
    assert answer.context["form"].errors == {field: [sentence]}
    assert answer.context["form"]["equipment"].value() == "A rope"


def test_a_sign_that_can_not_be_printed_is_refused_where_it_is_typed(manage):
    answer = manage.post(NEW, TYPED | {"steps": "Pull 綱 slowly."})

    assert list(answer.context["form"].errors) == ["steps"]
    assert "can't be printed" in answer.context["form"].errors["steps"][0]


@pytest.fixture
def also(case, physiotherapist):
    """Return what the program builder offers in stage 2, by code."""
    draft = create_draft(case=case)
    return lambda: [card.code for card in Program.objects.get(pk=draft.pk).also_possible]


def test_a_card_is_left_out_and_offered_again(manage, also):
    url = "/exercises/twist-bar/offer/"

    before = also()
    manage.post(url, {"offer": "no"})
    without = also()
    manage.post(url, {"offer": "yes"})

    assert ("twist-bar" in before, "twist-bar" in without, also()) == (True, False, before)
    events = AuditEvent.objects.filter(object_type="hiddencard").order_by("pk")
    assert list(events.values_list("verb", "detail")) == [
        ("left out", {"card": "twist-bar"}),
        ("offered", {"card": "twist-bar"}),
    ]


def test_a_second_press_changes_nothing(manage):
    for _press in range(2):
        manage.post("/exercises/twist-bar/offer/", {"offer": "no"})

    assert HiddenCard.objects.count() == 1
    assert AuditEvent.objects.filter(verb="left out").count() == 1


def test_a_program_begins_without_what_is_left_out(case):
    HiddenCard.objects.create(clinic=case.clinic, card="open-hand")
    draft = create_draft(case=case, rows=())

    draft.take_first_choice()

    assert [one.card for one in draft.exercises.all()] == ["lift-and-lower", "row"]


@pytest.mark.parametrize("code", ["wrist-hold", "lift-and-lower", "straight-arm-lift"])
def test_what_the_ladder_raises_is_not_left_out(manage, code):
    answer = manage.post(f"/exercises/{code}/offer/", {"offer": "no"}, follow=True)

    assert "The ladder raises this exercise, so it can't be left out." in text(answer)
    assert HiddenCard.objects.count() == 0


def test_an_own_exercise_retires_as_a_new_edition_and_is_read_on(manage, own, also):
    offered = also()
    manage.post("/exercises/own-001/offer/", {"offer": "no"})

    newest = OwnCard.objects.editions("own-001").first()
    assert ("own-001" in offered, "own-001" in also()) == (True, False)
    assert (newest.edition, newest.retired) == (2, True)
    assert Catalog(clinic_id=own.clinic_id).card("own-001").name == "Rope pull"


def test_an_own_exercise_is_put_into_a_program_with_its_dose(case, own):
    draft = create_draft(case=case)

    added = draft.add("own-001")

    assert added.dose == own.as_card.dose
    assert added.of_card.name == "Rope pull"


def test_another_clinics_own_exercise_is_neither_shown_nor_offered(manage, also):
    create_own_card(clinic=create_clinic())

    assert manage.get(LIST).context["own"] == 0
    assert "own-001" not in also()
    for url in ("/exercises/own-001/", "/exercises/own-001/change/"):
        assert manage.get(url).status_code == 404
    assert manage.post("/exercises/own-001/offer/", {"offer": "no"}).status_code == 404
    assert OwnCard.objects.count() == 1


def test_what_another_clinic_leaves_out_is_offered_here(manage, also):
    HiddenCard.objects.create(clinic=create_clinic(), card="twist-bar")

    assert "twist-bar" in also()
    assert manage.get(LIST).context["left_out"] == 0


def test_an_exercise_of_the_catalog_is_not_changed(manage):
    assert manage.get("/exercises/row/change/").status_code == 404
    assert manage.get("/exercises/handstand/").status_code == 404


READ = [("rehab:catalog", []), ("rehab:catalog_card", ["own-001"])]
WRITE = [
    ("rehab:catalog_new", []),
    ("rehab:catalog_change", ["own-001"]),
    ("rehab:catalog_offer", ["own-001"]),
]


@pytest.mark.parametrize(
    ("who", "reads", "refused"),
    [("front_desk", 403, True), ("physiotherapist", 200, True), ("manager", 200, False)],
)
def test_who_treats_reads_and_who_manages_writes(request, signed_in, own, who, reads, refused):
    browser = signed_in(request.getfixturevalue(who))

    read = {browser.get(reverse(name, args=args)).status_code for name, args in READ}
    wrote = {browser.post(reverse(name, args=args)).status_code == 403 for name, args in WRITE}
    assert (read, wrote) == ({reads}, {refused})


@pytest.mark.parametrize(("name", "args"), READ)
def test_what_is_read_is_not_posted(manage, own, name, args):
    assert manage.post(reverse(name, args=args)).status_code == 405


@pytest.mark.parametrize(("name", "args"), WRITE)
def test_nothing_is_deleted(manage, own, name, args):
    assert manage.delete(reverse(name, args=args)).status_code == 405


def test_offering_is_a_press_not_a_link(manage, own):
    assert manage.get("/exercises/own-001/offer/").status_code == 405


def test_the_builder_shows_an_own_exercise_and_adds_it(signed_in, physiotherapist, case):
    own = create_own_card(clinic=case.clinic, gate="", caution="")
    draft = create_draft(case=case, version=1)
    browser, url = signed_in(physiotherapist), reverse("rehab:program", args=[case.pk])
    draft.add(own.code)

    page = browser.get(url)

    assert "3. Rope pull" in text(page)
    assert "opens when: None" not in text(page)


@pytest.mark.parametrize("way", ["update", "delete"])
def test_an_edition_of_an_own_exercise_stays_in_the_database(own, way):
    rows = OwnCard.objects.filter(pk=own.pk)
    write = {"update": lambda: rows.update(name="Other"), "delete": rows.delete}[way]

    with pytest.raises(DatabaseError, match="own_card_stays"), transaction.atomic():
        write()

    assert rows.get().name == "Rope pull"
