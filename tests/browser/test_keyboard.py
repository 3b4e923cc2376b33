"""A whole first visit without touching the mouse, and how many key strokes it takes beside what is typed."""

import re

import pytest

from cases.models import Visit
from rehab.models import Program

pytestmark = pytest.mark.django_db(transaction=True)

MOST_STROKES = 170


class Keyboard:
    """Presses keys and counts them; characters typed into a text, number or date field are not counted."""

    def __init__(self, person):
        self.page, self.strokes, self.tally = person.page, 0, {}
        self.wire = person.page.context.new_cdp_session(person.page)

    def press(self, key: str, times: int = 1) -> None:
        for _time in range(times):
            self.page.keyboard.press(key)
        self.strokes += times

    def access(self, key: str) -> None:
        """Press an access key (Alt and a letter); the browser wants the plain letter with it."""
        code = {"modifiers": 1, "key": key, "code": f"Key{key.upper()}", "unmodifiedText": key}
        for kind in ("rawKeyDown", "char", "keyUp"):
            text = {"text": key} if kind == "char" else {}
            self.wire.send("Input.dispatchKeyEvent", {"type": kind} | code | text)
        self.strokes += 1

    def command(self, key: str, *, to: str) -> None:
        """Press an access key of the page and wait for where it leads."""
        self.access(key)
        self.page.wait_for_url(re.compile(f"{to}([?#].*)?$"))

    def go_to(self, name: str) -> None:
        """Tab on until the control of that name has the focus."""
        for _tab in range(80):
            if self.focused() == name:
                return
            self.press("Tab")
        raise AssertionError(f"{name} is not within 80 tabs")

    def focused(self) -> str:
        return self.page.evaluate("() => document.activeElement?.name ?? ''")

    def type(self, name: str, text: str) -> None:
        self.go_to(name)
        self.page.keyboard.type(text)

    def choose(self, name: str, value: str) -> None:
        """Walk along a row of keys with the arrows to the one wanted."""
        self.go_to(name)
        for _step in range(12):
            chosen = self.page.locator(f"[name='{name}']:checked")
            if chosen.count() and chosen.get_attribute("value") == value:
                return
            self.press("ArrowRight" if chosen.count() else "Space")
        raise AssertionError(f"{name} has no {value}")

    def rate(self, name: str, pain: int) -> None:
        self.go_to(name)
        self.press(str(pain))

    def note(self, part: str) -> None:
        """Remember how many strokes it took up to here."""
        self.tally[part] = self.strokes - sum(self.tally.values())


def register(keys: Keyboard) -> None:
    keys.command("n", to="/patients/new/")
    keys.type("given_name", "Marit")
    keys.type("family_name", "Oyelaran")
    keys.type("born", "04051981")
    keys.choose("sex", "female")
    keys.choose("handedness", "right")
    keys.command("s", to=r"/patients/\d+/")
    keys.command("c", to="/cases/new/")
    keys.choose("side", "right")
    keys.type("onset", "10012026")
    keys.command("s", to=r"/cases/\d+/")


def ask(keys: Keyboard) -> None:
    keys.command("g", to="/intake/")
    keys.rate("rest_pain", 1)
    keys.rate("worst_pain", 3)
    keys.choose("nights_woken", "0")
    keys.choose("lasts_over_24_h", "false")
    keys.command("s", to="/screening/")
    keys.access("n")
    keys.command("s", to=r"/cases/\d+/")
    keys.command("s", to=r"/visits/\d+/")


def examine(keys: Keyboard) -> None:
    keys.command("b", to=r"/cases/\d+/")
    keys.command("g", to="/battery/")
    keys.rate("battery-resting_pain", 0)
    keys.choose("battery-wrist-extension-right", "familiar")
    keys.type("battery-wrist-extension-right-pain", "6")
    keys.access("n")
    keys.page.locator("#battery-saved", has_text="Saved").wait_for()
    keys.command("s", to=r"/cases/\d+/")


def measure(keys: Keyboard) -> None:
    keys.command("g", to="/measures/")
    for context, pain in (("at_rest", 1), ("worst_24h", 3), ("on_gripping", 4)):
        keys.rate(f"measures-pain_{context}", pain)
    for side, kg in (("left", ("30", "31", "30.5")), ("right", ("12", "12.5", "12.2"))):
        for number in (1, 2, 3):
            keys.type(f"measures-pain_free_{side}_{number}", kg[number - 1])
    for number in range(1, 16):
        keys.type(f"measures-item_{number}", "1")
    keys.command("s", to=r"/cases/\d+/")


def prescribe(keys: Keyboard) -> None:
    keys.command("g", to="/program/")
    keys.access("s")
    keys.page.locator("[name=dose-0-sets]").wait_for()
    keys.command("s", to="/issue/")
    keys.command("s", to=r"/cases/\d+/")
    # The paper opens in a tab of its own; the case page stays where it is.
    with keys.page.context.expect_event("response", lambda r: "home-program.pdf" in r.url) as paper:
        keys.access("p")
    assert paper.value.headers["content-type"] == "application/pdf"


def write_and_sign(keys: Keyboard) -> None:
    keys.page.bring_to_front()
    keys.command("s", to=r"/visits/\d+/")
    keys.access("w")
    keys.type("notes-subjective", "Hurts when planing boards.")
    keys.page.locator("#notes-saved", has_text="Saved").wait_for()
    keys.command("s", to="/sign/")
    keys.command("s", to=r"/cases/\d+/")


def test_a_first_visit_by_keyboard_alone(person, physiotherapist):
    keys = Keyboard(person(physiotherapist))

    for part in (register, ask, examine, measure, prescribe, write_and_sign):
        part(keys)
        keys.note(part.__name__)

    assert Visit.objects.get().signed_name == str(physiotherapist)
    assert Program.objects.get().is_issued
    assert keys.strokes <= MOST_STROKES, keys.tally
