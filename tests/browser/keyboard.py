"""Working at a page without touching the mouse, with each stroke counted."""

import re


class Keyboard:
    """Presses keys and counts them; characters typed into a text, number or date field are not counted."""

    def __init__(self, person):
        self.page, self.see, self.wait_at = person.page, person.see, person.wait_at
        self.strokes, self.tally = 0, {}
        self.wire = person.page.context.new_cdp_session(person.page)

    def press(self, key: str, times: int = 1) -> None:
        self.see()
        for _time in range(times):
            self.page.keyboard.press(key)
        self.strokes += times

    def access(self, key: str) -> None:
        """Press an access key (Alt and a sign); the browser wants the plain sign with it."""
        self.see()
        named = f"Digit{key}" if key.isdigit() else f"Key{key.upper()}"
        code = {"modifiers": 1, "key": key, "code": named, "unmodifiedText": key}
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
        self.see()
        return self.page.evaluate("() => document.activeElement?.name ?? ''")

    def spoken(self) -> str:
        """The words of what has the focus, those that are only read out as well."""
        self.see()
        return " ".join(self.page.evaluate("() => document.activeElement.textContent").split())

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

    def reach(self, words: str) -> None:
        """Tab on until the link or button that starts with these words has the focus."""
        for _tab in range(80):
            if self.spoken().startswith(words):
                return
            self.press("Tab")
        raise AssertionError(f"{words} is not within 80 tabs")

    def follow(self, words: str, *, to: str) -> None:
        """Tab to a link or button, press Enter, and wait for where it leads."""
        self.reach(words)
        with self.page.expect_navigation(url=re.compile(f"{to}([?#].*)?$")):
            self.press("Enter")

    def note(self, part: str) -> None:
        """Remember how many strokes it took up to here."""
        self.tally[part] = self.strokes - sum(self.tally.values())
