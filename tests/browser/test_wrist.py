"""Clicking three points on a picture, moving one by keys; the picture never leaves the browser."""

import struct
import zlib

import pytest

from cases.models import WristAngle
from tests.factories.cases import create_case

pytestmark = pytest.mark.django_db(transaction=True)

WIDTH, HEIGHT = 400, 300


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def a_picture() -> dict:
    """A gray PNG of 400 by 300 pixels, as a file that is chosen."""
    head = struct.pack(">IIBBBBB", WIDTH, HEIGHT, 8, 0, 0, 0, 0)
    rows = (b"\x00" + b"\x80" * WIDTH) * HEIGHT
    png = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows))
    return {"name": "still.png", "mimeType": "image/png", "buffer": png + chunk(b"IEND", b"")}


def points(someone, moment: str) -> list[int]:
    return [
        int(someone.field(f"{moment}_{place}_{axis}").input_value() or -1)
        for place in ("forearm", "wrist", "knuckle")
        for axis in ("x", "y")
    ]


def choose_picture(someone, moment: str):
    """Open a picture for one moment; return its canvas."""
    someone.page.set_input_files(f"#picture-{moment}", a_picture())
    canvas = someone.page.locator(f".moment:has(#picture-{moment}) canvas")
    canvas.wait_for(state="visible")
    return canvas


def click(canvas, *places: tuple[int, int]) -> None:
    scale = canvas.bounding_box()["width"] / WIDTH
    for x, y in places:
        canvas.click(position={"x": x * scale + 0.5, "y": y * scale + 0.5})


def test_points_are_clicked_moved_by_keys_and_kept_without_the_picture(person, physiotherapist):
    case = create_case(lead=physiotherapist)
    someone = person(physiotherapist)
    sent = []
    someone.page.on("request", lambda request: sent.append(request.post_data or ""))
    someone.open(f"/cases/{case.pk}/wrist-angle/")

    click(choose_picture(someone, "contact"), (200, 280), (200, 150), (250, 100))
    click(choose_picture(someone, "after"), (200, 280), (200, 150), (200, 100))
    clicked = points(someone, "contact") + points(someone, "after")
    for key in ("3", "ArrowRight", "Shift+ArrowUp"):
        someone.page.keyboard.press(key)
    moved = points(someone, "after")[4:]
    someone.press("Compute and keep the angles", to="/wrist-angle/")

    expected = [200, 280, 200, 150, 250, 100, 200, 280, 200, 150, 200, 100]
    assert [abs(x - wanted) <= 2 for x, wanted in zip(clicked, expected, strict=True)] == [
        True
    ] * 12
    assert moved == [clicked[10] + 1, clicked[11] - 10]
    assert round(WristAngle.objects.get().contact_deg) in range(43, 48)
    assert [text for text in sent if "PNG" in text] == []
    assert someone.complaints == []


def test_a_file_that_is_no_picture_is_said_to_be_none(person, physiotherapist):
    case = create_case(lead=physiotherapist)
    someone = person(physiotherapist)
    someone.open(f"/cases/{case.pk}/wrist-angle/")

    text = {"name": "notes.txt", "mimeType": "text/plain", "buffer": b"no picture"}
    someone.page.set_input_files("#picture-contact", text)

    said = someone.page.locator("[data-status]", has_text="This file is not a picture")
    said.wait_for()
    assert someone.page.locator(".moment canvas").first.is_hidden()
