"""A code beside the password, in a browser: the square is scanned, and the keyboard is enough."""

import base64
import io
import urllib.parse

import pytest
import zxingcpp
from django.utils import timezone
from PIL import Image

from clinic.models import Clinic, SecondFactor
from clinic.one_time_code import code_at, step_at
from tests.browser.axe import EVERYTHING, found_on, keep_picture, overflows
from tests.factories.clinic import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)

SET_UP = "/account/code/"


def app_that_scans(page):
    """What an authenticator app does: read the square from the screen, and reckon codes from it."""
    shot = Image.open(io.BytesIO(page.locator(".scan").screenshot()))
    [found] = zxingcpp.read_barcodes(shot)
    said = urllib.parse.parse_qs(urllib.parse.urlsplit(found.text).query)
    secret = base64.b32decode(said["secret"][0])
    return lambda steps=0: code_at(secret, step_at(timezone.now()) + steps)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_is_set_up_and_then_asked_for(person, manager, scheme, pictures):
    Clinic.objects.update(managers_need_code=True)
    boss = person(manager, color_scheme=scheme)
    page, problems = boss.page, []

    def look(name):
        for width in (1280, 820, 390):
            page.set_viewport_size({"width": width, "height": 900})
            problems.extend(f"{name} at {width}: {one}" for one in found_on(page, EVERYTHING))
            problems.extend([f"{name} at {width} overflows"] if overflows(page) else [])
            keep_picture(page, pictures, f"/second-factor/{name}/", scheme)

    boss.open("/clinic/")
    assert page.url.endswith(SET_UP)
    look("begin")
    boss.type("password", PASSWORD)
    page.keyboard.press("Enter")
    page.locator(".scan").wait_for()
    look("scan")
    app = app_that_scans(page)
    page.set_viewport_size({"width": 1280, "height": 900})
    boss.wait_at("[name=code]")
    page.keyboard.type(app())
    page.keyboard.press("Enter")
    page.locator(".recovery-codes").wait_for()
    look("codes")
    paper = page.locator(".recovery-codes code").first.inner_text()
    boss.press("I have kept them", to="/account/")
    look("account")
    boss.open(f"{SET_UP}off/")
    look("off")
    boss.open(f"{SET_UP}recovery/")
    look("renew")
    page.locator("[data-sign-out] button").click()

    boss.type("username", manager.username)
    boss.type("password", PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url("**/sign-in/code/")
    look("sign-in")
    boss.wait_at("[name=code]")
    page.keyboard.type("000000")
    page.keyboard.press("Enter")
    page.get_by_text("This isn't the code").wait_for()
    look("wrong")
    page.keyboard.type(app(1))
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: "sign-in" not in url)
    page.locator("[data-sign-out] button").click()

    boss.type("username", manager.username)
    boss.type("password", PASSWORD)
    page.keyboard.press("Enter")
    boss.press("Use a recovery code", to="/sign-in/recovery/")
    look("recovery")
    page.keyboard.type(paper)
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: "sign-in" not in url)

    assert SecondFactor.objects.get().recovery_codes_left() == 9
    assert problems == []
    assert boss.complaints == []
