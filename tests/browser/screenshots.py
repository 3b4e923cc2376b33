"""The pictures of README.md, renewed from the demo: `python -m tests.browser.screenshots`.

Builds the demo in a database that is thrown away, serves it on this machine, types the paper diary and the
measures of the follow-up that the demo tells one to try, and keeps what a person then sees.
"""

import contextlib
import datetime
import io
import os
import pathlib
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator

import django
import pypdfium2
from PIL import Image
from playwright.sync_api import Page, sync_playwright

from tests.operations.server import ROOT
from tests.ports import free_port

os.environ |= {"DJANGO_SETTINGS_MODULE": "clinic.settings", "DEBUG": "1"}
django.setup()

from django.utils import timezone  # noqa: E402

from clinic.management.demo.people import PASSWORD  # noqa: E402
from clinic.management.demo.walkthrough import FOLLOW_UP, PAPER, PaperDay  # noqa: E402
from tests.browser.conftest import CHROMIUM, QUIET  # noqa: E402

PICTURES = ROOT / ".screenshots"
WINDOW = {"width": 1280, "height": 900}
SHEET_WIDTH = 720  # pixels of a printed page
COLORS = 128  # of a picture: enough for lines and type, a third of the bytes
LONGEST_START_S = 300
PAIN = {"at_rest": 0, "worst_24h": 2, "on_gripping": 2}
GRIP_KG = {"left": (27, 26.5, 27), "right": (19, 19.5, 19)}


@contextlib.contextmanager
def demo() -> Iterator[str]:
    """The address of a demo built as of today, which ends with the block."""
    with tempfile.TemporaryDirectory() as folder:
        database = pathlib.Path(folder) / "demo.sqlite3"
        port = free_port()
        server = subprocess.Popen(
            [sys.executable, "-m", "django", "demo", "--port", str(port)],
            cwd=ROOT,
            env=os.environ | {"DATABASE_URL": f"sqlite:///{database}"},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            yield answering(f"http://127.0.0.1:{port}", server)
        finally:
            server.terminate()
            server.wait()


def answering(address: str, server: subprocess.Popen) -> str:
    """The address, once something answers there."""
    until = time.monotonic() + LONGEST_START_S
    while time.monotonic() < until and server.poll() is None:
        with contextlib.suppress(urllib.error.URLError):
            urllib.request.urlopen(f"{address}/health").close()
            return address
        time.sleep(0.2)
    raise RuntimeError("The demo does not answer.")


def sign_in(page: Page, name: str) -> None:
    page.goto("/sign-in/")
    page.fill("[name=username]", name)
    page.fill("[name=password]", PASSWORD)
    page.press("[name=password]", "Enter")
    page.wait_for_url(lambda address: "sign-in" not in address)


def open_follow_up(page: Page) -> str:
    """Begin the visit of the patient whom the demo tells one to see again; return the case's address."""
    arrived = page.get_by_role("row").filter(has_text=FOLLOW_UP.person.family)
    case = arrived.locator("a[href^='/cases/']").first.get_attribute("href")
    arrived.get_by_role("button", name="Begin the visit").click()
    page.wait_for_url("**/visits/*/")
    return case


def type_diary(page: Page) -> None:
    for day in PAPER:
        for name, figure in figures(day).items():
            cell = page.locator(f"[name='diary-{day.on(timezone.localdate())}_{name}']")
            cell.evaluate("cell => { cell.closest('details').open = true }")
            cell.fill(str(figure))
    page.locator("#diary-saved", has_text="Saved").wait_for()


def figures(day: PaperDay) -> dict[str, float]:
    """What stands in the paper's row of a day, by the names of the grid's columns."""
    row = {
        "sets_done": day.sets,
        "last_set_repetitions": day.last_set,
        "load_kg": day.kg if day.sets else None,
        "worst_pain": day.worst,
        "next_morning_pain": day.morning,
        "night_wakings": day.woken,
    }
    return {name: figure for name, figure in row.items() if figure is not None}


def measure(page: Page) -> None:
    for context, pain in PAIN.items():
        page.locator(f"[name='measures-pain_{context}'][value='{pain}']").check(force=True)
    for side, trials in GRIP_KG.items():
        for number, kg in enumerate(trials, start=1):
            page.fill(f"[name='measures-pain_free_{side}_{number}']", str(kg))
    page.locator("#measures-saved", has_text="Saved").wait_for()
    page.locator("#gist", has_text="add load").wait_for()


def keep(picture: Image.Image, name: str) -> None:
    PICTURES.mkdir(exist_ok=True)
    path = PICTURES / f"{name}.png"
    picture.convert("RGB").quantize(COLORS).save(path, optimize=True)
    print(f"{path.relative_to(ROOT)}  {path.stat().st_size // 1000} kB")


def keep_window(page: Page, name: str) -> None:
    page.keyboard.press("Control+Home")
    page.wait_for_timeout(300)
    keep(Image.open(io.BytesIO(page.screenshot())), name)


def keep_sheet(page: Page, address: str, name: str) -> None:
    """The first page of a PDF, at the width of a sheet beside the text."""
    with pypdfium2.PdfDocument(page.request.get(address).body()) as sheet:
        first = sheet[0]
        keep(first.render(scale=SHEET_WIDTH / first.get_width()).to_pil(), name)


def take(page: Page) -> None:
    sign_in(page, "otto")
    # Of a week that is nearly over there would be nothing free to see.
    page.goto(f"/book/week/?day={timezone.localdate() + datetime.timedelta(days=3)}")
    keep_window(page, "book")
    page.context.clear_cookies()
    sign_in(page, "ines")
    case = open_follow_up(page)
    type_diary(page)
    measure(page)
    page.reload()
    keep_window(page, "visit")
    page.goto(f"{case}course/")
    keep_window(page, "course")
    page.goto(case)
    sheet = page.locator("main a[href$='home-program.pdf']").first.get_attribute("href")
    keep_sheet(page, sheet, "home-program")


if __name__ == "__main__":
    with demo() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        take(browser.new_page(base_url=address, viewport=WINDOW, locale="en-GB"))
        browser.close()
