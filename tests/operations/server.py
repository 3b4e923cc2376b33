"""A real web server on this machine: gunicorn with some workers, and somebody who speaks to it."""

import contextlib
import http.client
import json
import os
import pathlib
import re
import signal
import subprocess
import sys
import time
import urllib.parse
from collections.abc import Callable
from dataclasses import dataclass, field

from django.db import connection
from django.test import Client

from tests.ports import free_port

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
TOKEN = "a" * 32  # the cookie and the form's field must agree; which it is does not matter
LONGEST_START_S = 60
LONGEST_ANSWER_S = 60


def database_url() -> str:
    """The database of the running test, as another process opens it."""
    if connection.vendor == "sqlite":
        return f"sqlite:///{connection.settings_dict['NAME']}"
    told = connection.get_connection_params()
    return f"postgres://{told['user']}@/{told['dbname']}?host={told['host']}"


@dataclass
class Server:
    """One gunicorn and its workers, a process group of its own."""

    url: str
    folder: pathlib.Path
    workers: int = 2
    threads: int = 1
    variables: dict[str, str] = field(default_factory=dict)
    before: Callable[[], None] | None = None  # what its process does before it becomes gunicorn
    port: int = field(default_factory=free_port)
    process: subprocess.Popen | None = None

    @property
    def log(self) -> pathlib.Path:
        return self.folder / f"log-{self.port}"

    def start(self) -> "Server":
        self.run()
        self.wait_until_ready()
        return self

    def run(self) -> None:
        with self.log.open("ab") as log, (self.folder / "errors").open("ab") as errors:
            self.process = subprocess.Popen(
                self._command(),
                cwd=ROOT,
                env=os.environ | self._variables(),
                stdout=log,
                stderr=errors,
                start_new_session=True,
                preexec_fn=self.before,
            )

    def _command(self) -> list[str]:
        options = {
            "bind": f"127.0.0.1:{self.port}",
            "workers": str(self.workers),
            "threads": str(self.threads),
            "backlog": "1024",
            "worker-tmp-dir": "/dev/shm",
        }
        words = [word for name, value in options.items() for word in (f"--{name}", value)]
        program = [sys.executable, "-m", "gunicorn", "tests.operations.wsgi"]
        return [*program, *words, "--no-control-socket"]

    def _variables(self) -> dict[str, str]:
        return {
            "DEBUG": "0",
            "INSECURE_HTTP": "1",
            "SECRET_KEY": "only to be let past the check of the settings, then replaced",
            "ALLOWED_HOSTS": "127.0.0.1",
            "DATABASE_URL": self.url,
        } | self.variables

    def wait_until_ready(self) -> None:
        until = time.monotonic() + LONGEST_START_S
        while time.monotonic() < until:
            with contextlib.suppress(OSError, http.client.HTTPException):
                self.visitor().get("/health")
                return
            if self.process.poll() is not None:
                break
            time.sleep(0.05)
        raise RuntimeError((self.folder / "errors").read_text()[-2000:])

    def end(self) -> None:
        """Let it answer what it was asked, and end: what a service manager's stop does."""
        self.process.send_signal(signal.SIGTERM)
        self.process.wait(timeout=LONGEST_ANSWER_S)

    def kill(self) -> None:
        """End the server and its workers at once, in the middle of whatever they do."""
        if self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def everyone(self) -> list[int]:
        """The process and its workers."""
        own = self.process.pid
        children = pathlib.Path(f"/proc/{own}/task/{own}/children").read_text().split()
        return [own, *map(int, children)]

    def lines(self) -> list[dict]:
        """What it has logged."""
        return [json.loads(line) for line in self.log.read_text().splitlines() if line]

    def visitor(self, session: str = "") -> "Visitor":
        return Visitor(self.port, session)


@contextlib.contextmanager
def running(url: str, folder: pathlib.Path, **how):
    server = Server(url, folder, **how)
    try:
        yield server.start()
    finally:
        server.kill()


def session_of(staff) -> str:
    """The cookie of somebody who has signed in."""
    client = Client()
    client.force_login(staff)
    return client.cookies["sessionid"].value


@dataclass(frozen=True)
class Answer:
    status: int
    headers: dict[str, str]
    text: str

    @property
    def words(self) -> str:
        return " ".join(self.text.split())


@dataclass(frozen=True)
class Visitor:
    """Somebody at a browser, as far as a server sees one."""

    port: int
    session: str = ""

    def get(self, path: str, *, fragment: bool = False) -> Answer:
        return self._ask("GET", path, headers={"HX-Request": "true"} if fragment else {})

    def post(self, path: str, values: dict[str, object], *, typing: bool = False) -> Answer:
        """Send a form; `typing` as htmx does while it is typed into."""
        body = urllib.parse.urlencode(values | {"csrfmiddlewaretoken": TOKEN}, doseq=True)
        headers = {"Content-Type": "application/x-www-form-urlencoded"}
        return self._ask("POST", path, body, headers | ({"HX-Request": "true"} if typing else {}))

    def _ask(self, method: str, path: str, body: str | None = None, headers=None) -> Answer:
        speaks = http.client.HTTPConnection("127.0.0.1", self.port, timeout=LONGEST_ANSWER_S)
        cookie = {"Cookie": f"csrftoken={TOKEN}; sessionid={self.session}"}
        try:
            speaks.request(method, path, body, cookie | (headers or {}))
            answer = speaks.getresponse()
            return Answer(
                answer.status, dict(answer.headers), answer.read().decode(errors="replace")
            )
        finally:
            speaks.close()


def inputs(text: str, *, prefix: str = "") -> dict[str, str | list[str]]:
    """What a page's forms would send of their inputs and lists, by name; texts are left to be typed."""
    found: dict[str, list[str]] = {}
    for tag, inside in re.findall(r"<(input\b[^>]*)>|(<select\b.*?</select>)", text, re.DOTALL):
        name, value = _input(tag) if tag else _list(inside)
        if name.startswith(prefix) and value is not None:
            found.setdefault(name, []).append(value)
    return {name: values if values[1:] else values[0] for name, values in found.items()}


def _input(tag: str) -> tuple[str, str | None]:
    words = dict(re.findall(r'([a-z-]+)="([^"]*)"', tag))
    chosen = words.get("type") not in ("radio", "checkbox") or re.search(r"\schecked\b", tag)
    return words.get("name", ""), words.get("value", "") if chosen else None


def _list(text: str) -> tuple[str, str | None]:
    name = re.search(r'<select\b[^>]*\bname="([^"]*)"', text)
    values = re.findall(r'<option\b[^>]*\bvalue="([^"]*)"[^>]*\sselected', text)
    return name[1] if name else "", values[0] if values else None
