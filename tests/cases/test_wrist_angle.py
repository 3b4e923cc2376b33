"""The page of the wrist at contact: points are kept, pictures are not."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from cases.models import WristAngle
from clinic.models import AuditEvent
from tests.factories.cases import create_case
from tests.pages import typed

# Right arm, thumb side, forearm upward: 45° to the left at contact, straight after it.
POINTS = {
    "contact_forearm_x": "500", "contact_forearm_y": "900",
    "contact_wrist_x": "500", "contact_wrist_y": "500",
    "contact_knuckle_x": "300", "contact_knuckle_y": "300",
    "after_forearm_x": "500", "after_forearm_y": "900",
    "after_wrist_x": "500", "after_wrist_y": "500",
    "after_knuckle_x": "500", "after_knuckle_y": "250",
}  # fmt: skip


def address(case):
    return reverse("cases:wrist_angle", args=[case.pk])


def look(browser, case, **changes):
    page = browser.get(address(case))
    return browser.post(address(case), typed(page, {"mirrored": ""} | POINTS | changes))


def test_points_and_angles_are_kept(browser, case, physiotherapist):
    answer = look(browser, case, note="third set")

    seen = WristAngle.objects.get()
    assert (seen.case, seen.seen_by, seen.on) == (case, physiotherapist, timezone.localdate())
    assert seen.points["contact"] == {
        "forearm": [500, 900],
        "wrist": [500, 500],
        "knuckle": [300, 300],
    }
    assert (seen.contact_deg, seen.after_deg) == pytest.approx((-45, 0))
    assert (seen.arm, seen.mirrored, seen.note) == ("right", False, "third set")
    assert answer.url == address(case)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "45° flexed"),
        ({"arm": "left"}, "45° extended"),
        ({"mirrored": "on"}, "45° extended"),
        ({"arm": "left", "mirrored": "on"}, "45° flexed"),
        ({"seen_from": "little-finger"}, "45° extended"),
    ],
)
def test_arm_view_and_mirror_decide_which_way_is_extension(browser, case, changes, words):
    look(browser, case, **changes)

    assert str(browser.get(address(case)).context["wrist"].last.contact) == words


def test_the_arm_of_the_case_is_proposed(signed_in, physiotherapist):
    case = create_case(lead=physiotherapist, side="left")

    form = signed_in(physiotherapist).get(address(case)).context["form"]

    assert form["arm"].value() == "left"


def test_what_was_seen_stands_beside_the_two_groups(browser, case):
    look(browser, case)

    page = " ".join(browser.get(address(case)).content.decode().split())
    assert "<strong>45° flexed</strong> at contact, <strong>moving into extension</strong>" in page
    assert "Experts: about 23° extended" in page
    assert "Novices: about 13° flexed" in page
    assert "A coaching observation, not a risk." in page
    assert "Glynn 2007, n = 3 · published, read second-hand" in page


def test_each_look_is_kept_the_last_one_first(browser, case):
    look(browser, case)
    look(browser, case, contact_knuckle_x="700")

    seen = browser.get(address(case)).context["wrist"].seen
    assert [str(row.contact) for row in seen] == ["45° extended", "45° flexed"]


def test_a_picture_that_is_sent_all_the_same_is_not_kept(browser, case):
    page = browser.get(address(case))
    picture = SimpleUploadedFile("backhand.png", b"\x89PNG", content_type="image/png")

    browser.post(address(case), typed(page, {"mirrored": ""} | POINTS) | {"picture": picture})

    kept = {
        field.name: getattr(WristAngle.objects.get(), field.name)
        for field in WristAngle._meta.fields
    }
    assert "PNG" not in str(kept)
    assert 'enctype="multipart' not in page.content.decode()


MISSING = "Click the point, or type its two numbers."
WHOLE = "Type whole pixels from 0 to 20000."


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"contact_wrist_x": ""}, "contact_wrist_x", MISSING),
        ({"after_knuckle_y": "-1"}, "after_knuckle_y", WHOLE),
        ({"after_knuckle_y": "20001"}, "after_knuckle_y", WHOLE),
        ({"after_knuckle_y": "2.5"}, "after_knuckle_y", WHOLE),
        (
            {"contact_wrist_y": "900"},
            "contact_wrist_x",
            "Forearm and wrist are the same place. Click two different ones.",
        ),
        (
            {"after_knuckle_y": "500"},
            "after_wrist_x",
            "Wrist and knuckle are the same place. Click two different ones.",
        ),
    ],
)
def test_wrong_points_are_answered_and_stay_as_typed(browser, case, changes, field, sentence):
    answer = look(browser, case, **changes)

    assert answer.status_code == 422
    assert answer.context["form"].errors == {field: [sentence]}
    typed_again = {name: answer.context["form"][name].value() for name in POINTS}
    assert typed_again == POINTS | changes
    assert WristAngle.objects.count() == 0


def test_the_database_refuses_an_angle_beyond_half_a_turn(browser, case):
    look(browser, case)

    with pytest.raises(IntegrityError), transaction.atomic():
        WristAngle.objects.update(contact_deg=181)


def test_the_audit_trail_names_the_case_and_no_angle(browser, case):
    look(browser, case)

    event = AuditEvent.objects.get(verb="wrote the wrist angle")
    assert (event.object_id, event.detail) == (case.pk, {})


def test_the_intake_leads_to_it(browser, case):
    page = browser.get(reverse("cases:intake", args=[case.pk])).content.decode()

    assert page.count(f'href="{address(case)}"') == 1


@pytest.mark.parametrize(
    ("who", "status"), [("physiotherapist", 200), ("front_desk", 403), ("manager", 403)]
)
def test_only_who_treats_looks_at_the_wrist(request, signed_in, case, who, status):
    assert signed_in(request.getfixturevalue(who)).get(address(case)).status_code == status


def test_the_wrist_of_another_clinic_does_not_exist(browser):
    elsewhere = address(create_case())

    assert (browser.get(elsewhere).status_code, browser.post(elsewhere).status_code) == (404, 404)


def test_what_was_seen_is_not_deleted(browser, case):
    assert browser.delete(address(case)).status_code == 405


@pytest.mark.parametrize("rows", [1, 3])
def test_the_page_costs_the_same_however_much_was_seen(
    browser, case, django_assert_num_queries, rows
):
    for _look in range(rows):
        look(browser, case)
    browser.get(address(case))  # which says that they are kept, once

    with django_assert_num_queries(4):
        browser.get(address(case))
