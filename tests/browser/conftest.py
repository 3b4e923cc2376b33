"""A headless Chromium beside the test server, people who sign in, and a clock that can be moved on."""

import datetime
import os
import shutil
import time

import pytest
from django.core.signals import request_finished, request_started
from django.utils import timezone
from playwright.sync_api import expect, sync_playwright

from tests.browser.person import PATIENCE_MS, Person

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


def pytest_collection_modifyitems(items):
    for item in items:
        if "tests/browser/" in item.nodeid:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session", autouse=True)
def orm_beside_playwright():
    """Playwright's sync API keeps an event loop running in the test's thread, so Django takes every ORM call
    in a test for one from async code and refuses it. No Django code runs on that loop; the guard may be off.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        yield


@pytest.fixture(scope="session")
def chromium():
    if CHROMIUM is None:
        pytest.skip("No Chromium: install the package chromium to run the browser tests.")
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield browser
        browser.close()


@pytest.fixture
def clock(monkeypatch):
    """Move the server's today on: `clock.pass_days(14)`."""
    real = timezone.now

    class Clock:
        ahead = datetime.timedelta()

        def pass_days(self, days: int) -> None:
            self.ahead += datetime.timedelta(days=days)

        def today(self) -> datetime.date:
            return timezone.localdate()

    clock = Clock()
    monkeypatch.setattr(timezone, "now", lambda: real() + clock.ahead)
    return clock


@pytest.fixture
def answered():
    """Wait at the end until the server has answered everything: a form that saves itself may still be
    writing when its page is closed, and the tables are about to be emptied.
    """
    under_way = []

    def begin(**kwargs):
        under_way.append(1)

    def end(**kwargs):
        del under_way[:1]

    request_started.connect(begin)
    request_finished.connect(end)
    yield
    until = time.monotonic() + 10
    while under_way and time.monotonic() < until:
        time.sleep(0.02)
    request_started.disconnect(begin)
    request_finished.disconnect(end)


@pytest.fixture
def browsers(chromium):
    """Return a function that opens a browser of their own for a member of staff, signed in at an address."""
    contexts = []

    def come_in(staff, address: str, **how) -> Person:
        options = {"viewport": {"width": 1280, "height": 900}, "locale": "en-GB"} | how
        context = chromium.new_context(base_url=address, **options)
        contexts.append(context)
        return Person(context.new_page(), staff)

    yield come_in
    for context in contexts:
        context.close()


@pytest.fixture
def person(live_server, answered, browsers):
    """Return a function that opens a browser for a member of staff at the test server."""
    return lambda staff, **how: browsers(staff, live_server.url, **how)


@pytest.fixture
def sent(chromium, tmp_path):
    """Return a function that opens a page sent as a file; its `asked` and `complaints` say what it did."""
    contexts = []

    def open_file(data: bytes, **how):
        path = tmp_path / "sent.html"
        path.write_bytes(data)
        context = chromium.new_context(accept_downloads=True, **how)
        contexts.append(context)
        page = context.new_page()
        page.asked, page.complaints = [], []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("console", lambda message: page.complaints.append(message.text))
        page.goto(path.as_uri())
        return page

    yield open_file
    for context in contexts:
        context.close()


@pytest.fixture
def pictures():
    """The folder that screenshots are kept in, when ARTIFACTS names one."""
    return os.environ.get("ARTIFACTS")
