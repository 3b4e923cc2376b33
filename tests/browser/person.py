"""What a person does with a browser: sign in, open, type, choose, press, read."""

import re

from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from tests.factories.clinic import PASSWORD

# A busy machine is slow, which is no fault of a page. Only what never comes is one.
PATIENCE_MS = 60_000
# A browser puts the focus on what a page asks for with the first picture it draws, which can be after "load".
SEEN = """() => window.seen ??= new Promise(
    (drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))
).then(() => true)"""


class Person:
    """Someone at a browser. What goes wrong in the page's console is collected in `complaints`."""

    def __init__(self, page: Page, staff):
        self.page, self.staff, self.complaints = page, staff, []
        page.set_default_timeout(PATIENCE_MS)
        page.on("console", self._listen)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.sign_in()

    def _listen(self, message) -> None:
        # The browser itself reports each refused form (422) as an error.
        if message.type == "error" and "422" not in message.text:
            self.complaints.append(message.text)

    def sign_in(self) -> None:
        self.page.goto("/sign-in/")
        self.type("username", self.staff.username)
        self.type("password", PASSWORD)
        self.page.keyboard.press("Enter")
        self.page.wait_for_url(lambda url: "sign-in" not in url)

    def open(self, address: str) -> None:
        self.page.goto(address)

    def hold_work(self) -> None:
        """Let no work go on by itself: its page would lead on while the next is opened."""
        self.page.route("**/step/", lambda route: route.fulfill(status=204))

    def field(self, name: str) -> Locator:
        return self.page.locator(f"main [name='{name}']:not([type=hidden])")

    def type(self, name: str, text: object) -> None:
        self.field(name).fill(str(text))

    def choose(self, name: str, value: object) -> None:
        """Choose one key of a row of keys, or one entry of a list."""
        field = self.field(name)
        if field.first.evaluate("e => e.tagName") == "SELECT":
            field.select_option(str(value))
        else:
            self.page.locator(f"main [name='{name}'][value='{value}']").check(force=True)

    def press(self, label: str, *, to: str = "") -> None:
        """Press what starts with `label`, a button or a link, and wait for an address that ends on `to`."""
        words = re.compile(rf"^\s*{re.escape(label)}")
        main = self.page.locator("main")
        main.get_by_role("button", name=words).or_(
            main.get_by_role("link", name=words)
        ).first.click()
        if to:
            self.page.wait_for_url(re.compile(f"{to}([?#].*)?$"))

    def wait_at(self, selector: str) -> None:
        """Wait until a control has the focus: a page may give it away only after it has loaded."""
        expect(self.page.locator(selector)).to_be_focused()

    def focused(self) -> str:
        """The name of what has the focus, or its id where it has none."""
        return self.page.evaluate("document.activeElement.name || document.activeElement.id")

    def see(self) -> None:
        """Wait until the page is drawn: nobody presses a key before they see it."""
        self.page.evaluate(SEEN)

    def stop_time(self) -> None:
        """Open the page anew and let its clock stand still: only `page.clock.fast_forward` moves it on."""
        self.page.clock.install()
        self.page.reload()
        self.see()
        self.page.clock.pause_at(timezone.now().timestamp() + 60)

    def hear_from_the_server(self) -> None:
        """Ask for something and wait for the answer: what the page has sent before has arrived then."""
        with self.page.expect_response("**/health"):
            self.page.evaluate("() => fetch('/health')")

    def wait_until_saved(self, part: str) -> None:
        """Wait until the section has said that it is saved."""
        self.page.locator(f"#{part}-saved", has_text="Saved").wait_for()

    def reads(self) -> str:
        """The page's own text, without navigation and footer, spaces folded."""
        return " ".join(self.page.locator("main").inner_text().split())
