"""The clinic's logo: what is taken, who may put it, and that it is removed again."""

import io
import os
import struct

import pytest
from PIL import Image

from clinic.logo import is_png
from clinic.models import AuditEvent, Logo
from tests.clinic.logos import png
from tests.factories.clinic import create_manager

pytestmark = pytest.mark.django_db

NEITHER = "The file is neither a PNG nor an SVG picture."
PAGE, REMOVE = "/clinic/logo/", "/clinic/logo/remove/"


@pytest.fixture
def desk(signed_in, manager):
    return signed_in(manager)


def send(browser, data: bytes, name: str = "logo.png"):
    file = io.BytesIO(data)
    file.name = name
    return browser.post(PAGE, {"file": file})


def refusal(answer) -> tuple[int, list[str]]:
    return answer.status_code, answer.context["form"].errors["file"]


def noise(side: int) -> bytes:
    """A picture that can't be pressed together."""
    file = io.BytesIO()
    Image.frombytes("RGB", (side, side), os.urandom(side * side * 3)).save(file, "PNG")
    return file.getvalue()


def claiming(width: int, height: int) -> bytes:
    """A small file whose header says that the picture is larger."""
    data = png()
    return data[:16] + struct.pack(">II", width, height) + data[24:]


@pytest.mark.parametrize("name", ["logo.png", "logo.txt"])
def test_a_picture_is_kept_byte_for_byte_whatever_its_file_is_called(desk, manager, name):
    data = png()

    answer = send(desk, data, name)

    assert (answer.status_code, answer.url) == (302, PAGE)
    assert Logo.objects.picture_of(manager.clinic) == data


def test_another_picture_takes_the_place_of_the_first(desk, manager):
    send(desk, png())
    send(desk, png(40, 40))

    assert Logo.objects.count() == 1
    assert Logo.objects.picture_of(manager.clinic) == png(40, 40)


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"Not a picture at all.", NEITHER),
        (b"", NEITHER),
        (b"\x89PNG\r\n\x1a\n", NEITHER),
        (b"GIF89a" + png(), NEITHER),
        (png()[:20], "The picture is damaged."),
        (png()[:90], "The picture is damaged."),
        (png(2001, 10), "The picture has more than 2000 dots on a side."),
        (png(10, 2001), "The picture has more than 2000 dots on a side."),
        (claiming(60_000, 60_000), "The picture has more than 2000 dots on a side."),
        (claiming(301, 100), "The picture is damaged."),
        (noise(300), "The file is larger than 200 kB."),
    ],
)
def test_what_is_no_logo_is_refused_in_one_sentence(desk, data, sentence):
    assert refusal(send(desk, data)) == (422, [sentence])
    assert not Logo.objects.exists()


def test_2000_dots_on_a_side_are_taken(desk, manager):
    send(desk, png(2000, 2000))

    assert is_png(Logo.objects.picture_of(manager.clinic))


def test_a_form_without_a_file_asks_for_one(desk):
    assert refusal(desk.post(PAGE)) == (422, ["Choose a file."])


def test_a_refused_file_leaves_the_logo_that_was_there(desk, manager):
    send(desk, png())
    send(desk, b"text")

    assert Logo.objects.picture_of(manager.clinic) == png()


def test_a_removed_logo_is_gone(desk, manager):
    send(desk, png())

    answer = desk.post(REMOVE)

    assert (answer.url, Logo.objects.picture_of(manager.clinic)) == (PAGE, b"")


def test_putting_and_removing_are_rows_of_the_audit_trail(desk):
    send(desk, png())
    desk.post(REMOVE)

    rows = AuditEvent.objects.filter(verb="changed").values_list("object_type", "detail")
    assert list(rows) == [("clinic", {"fields": ["logo"]})] * 2


@pytest.mark.parametrize(("data", "pictures"), [(b"", 0), (png(), 1)])
def test_the_page_shows_the_logo_and_offers_to_remove_it(desk, manager, data, pictures):
    if data:
        Logo.objects.put(manager.clinic, data)

    page = desk.get(PAGE).content.decode()

    assert page.count('src="data:image/png;base64,') == pictures
    assert page.count(f'action="{REMOVE}"') == pictures


def test_the_logo_of_another_clinic_is_neither_shown_nor_touched(desk):
    other = create_manager().clinic
    Logo.objects.put(other, png())

    assert desk.get(PAGE).context["shown"] == ""
    desk.post(REMOVE)
    assert Logo.objects.picture_of(other) == png()


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
def test_only_a_manager_may_see_put_or_remove_it(request, signed_in, role):
    browser = signed_in(request.getfixturevalue(role))

    answers = [browser.get(PAGE), send(browser, png()), browser.post(REMOVE)]

    assert [answer.status_code for answer in answers] == [403, 403, 403]
    assert not Logo.objects.exists()


def test_a_logo_is_not_removed_by_following_a_link(desk):
    assert desk.get(REMOVE).status_code == 405
