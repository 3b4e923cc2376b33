"""People at work in a clinic, as a web server sees them: round after round, with a rest between two steps."""

import datetime
import http.client
import itertools
import random
import re
import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from tests.operations.server import Visitor, inputs

SENTENCES = (
    "Gripping hurts less than last week.",
    "Planed boards on Monday without trouble.",
    "Exercises done as asked, a little sore during.",
    "Wants to be back on the boat in May.",
)


class Wrong(Exception):
    """An answer that nobody should get."""


class Over(Exception):
    """The time is up."""


def first_error(text: str) -> str:
    said = re.search(r'role="alert".*?<li>(.*?)</li>', text, re.DOTALL)
    return re.sub(r"<[^>]+>", "", said[1]).strip() if said else ""


@dataclass
class Person:
    """Somebody signed in, who does one round of their work after the other."""

    visitor: Visitor
    chance: random.Random
    rest_s: tuple[float, float]
    ends: float = 0.0  # nothing is asked after it
    times: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    wrong: list[str] = field(default_factory=list)

    def work(self) -> None:
        # Nobody begins at the same moment.
        time.sleep(self.chance.uniform(0, self.rest_s[1]))
        while True:
            try:
                self.round()
            except Over:
                return
            except (Wrong, OSError, http.client.HTTPException) as error:
                self.wrong.append(f"{type(error).__name__}: {error}")

    def round(self) -> None:
        raise NotImplementedError

    def open(self, page: str, path: str, *, fragment: bool = False):
        return self._step(page, lambda: self.visitor.get(path, fragment=fragment), (200, 204))

    def send(self, page: str, path: str, values: dict, *, typing: bool = False):
        expected = (200,) if typing else (302,)
        return self._step(page, lambda: self.visitor.post(path, values, typing=typing), expected)

    def _step(self, page, ask, expected):
        if time.monotonic() >= self.ends:
            raise Over
        began = time.perf_counter()
        answer = ask()
        self.times[page].append(1000 * (time.perf_counter() - began))
        if answer.status not in expected:
            raise Wrong(f"{page}: {answer.status} {first_error(answer.text)}")
        time.sleep(self.chance.uniform(*self.rest_s))
        return answer


@dataclass
class Clinician(Person):
    cases: list[int] = field(default_factory=list)
    written: dict[int, str] = field(
        default_factory=dict
    )  # what each visit was last told to have kept
    rated: dict[int, int] = field(default_factory=dict)
    signed: list[int] = field(default_factory=list)

    def round(self) -> None:
        case = self.chance.choice(self.cases)
        self.open("case", f"/cases/{case}/")
        visit = self.begin(case)
        page = self.open("visit", f"/visits/{visit}/")
        self.rate(visit, page.text)
        self.write(visit, page.text)
        self.open("look before signing", f"/visits/{visit}/sign/")
        self.sign(visit)

    def begin(self, case: int) -> int:
        begun = self.send("begin a visit", f"/cases/{case}/visits/begin/", {})
        return int(re.search(r"/visits/(\d+)/", begun.headers["Location"])[1])

    def sign(self, visit: int) -> None:
        self.send("sign", f"/visits/{visit}/sign/", {})
        self.signed.append(visit)

    def rate(self, visit: int, page: str) -> None:
        stamp = inputs(page, prefix="measures-")
        pain = self.chance.randrange(11)
        values = stamp | {"measures-pain_on_gripping": pain, "part": "1"}
        self.send("save measures", f"/visits/{visit}/measures/", values, typing=True)
        self.rated[visit] = pain

    def write(self, visit: int, page: str, *, saves: int = len(SENTENCES)) -> None:
        values = inputs(page, prefix="notes-")
        for length in range(1, saves + 1):
            # Longer each time, and with a number that comes once.
            text = " ".join([*SENTENCES[:length], f"Line {self.chance.getrandbits(60)}."])
            values |= {"notes-subjective": text}
            answer = self.send("save notes", f"/visits/{visit}/notes/", values, typing=True)
            values |= inputs(answer.text, prefix="notes-")
            self.written[visit] = text


@dataclass
class Desk(Person):
    patients: list[int] = field(default_factory=list)
    practitioner: int = 0
    free: Iterator[tuple[str, str]] | None = None
    booked: list[tuple] = field(default_factory=list)

    def round(self) -> None:
        day, start = next(self.free)
        page = self.open("book", f"/book/?day={day}")
        seen = re.search(r'name="seen" value="([^"]+)"', page.text)[1]
        for _look in range(3):
            self.open("book, what is new", f"/book/?day={day}&seen={seen}", fragment=True)
        self.open("patients", "/patients/?q=Oye")
        patient = self.chance.choice(self.patients)
        self.open("form of a booking", f"/book/new/?patient={patient}")
        self.book(patient, day, start)

    def book(self, patient: int, day: str, start: str) -> None:
        values = {
            "practitioner": self.practitioner,
            "kind": "follow-up",
            "case": "",
            "day": day,
            "start": start,
            "minutes": "30",
        }
        self.send("book a time", f"/book/new/?patient={patient}", values)
        self.booked.append((self.practitioner, patient, day, start))


def slots(first: datetime.date) -> Iterator[tuple[str, str]]:
    """Half hours of the days to come, each once."""
    for number in itertools.count(1):
        day = first + datetime.timedelta(days=number)
        for hour, minute in itertools.product(range(8, 18), (0, 30)):
            yield day.isoformat(), f"{hour:02}:{minute:02}"
