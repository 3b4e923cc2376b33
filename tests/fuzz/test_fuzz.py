"""Whatever is sent to whatever address, by whomever: no error, no lost row, no row of another clinic.

2,000 requests, the same ones each time. FUZZ_REQUESTS=20000 sends as many, and others each time.
"""

import itertools
import os
import re
import traceback
from collections import Counter
from collections.abc import Iterator

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client
from django.urls import Resolver404, resolve
from hypothesis import HealthCheck, Phase, given
from hypothesis import settings as how
from hypothesis import strategies as st

from tests.fuzz.requests import Meant, address_of, encoded, meant, pairs, seen_forms
from tests.invariants import Rows
from tests.isolation.watching import watching
from tests.pages import HTMX
from tests.two_clinics import Asker, AtWork, create_at_work
from tests.who_may_what import DESK, HEAD, MANAGER, THERAPIST

pytestmark = pytest.mark.django_db

IN_A_ROW = 4
ASKED = int(os.environ.get("FUZZ_REQUESTS", "2000"))
ACTORS = (
    None,
    DESK,
    DESK,
    MANAGER,
    MANAGER,
    THERAPIST,
    THERAPIST,
    THERAPIST,
    HEAD,
    HEAD,
    HEAD,
    HEAD,
)
MEASURED = {
    f"assessments.{model}"
    for model in (
        "ActivityRating", "GlobalRating", "GripTest", "GripTrial", "MeasuredValue", "PainRating",
        "QuestionnaireResponse", "TimeOffWork",
    )
}  # fmt: skip
DRAFT = {"rehab.Program", "rehab.ProgramExercise"}
# What may go, and where: an answer emptied again before it is signed, or what a button is there to remove.
MAY_GO = {
    "assessments:measures": MEASURED,
    "cases:absence_remove": {"clinic.Absence"},
    "cases:battery": {"cases.Finding", "cases.PalpationPoint"},
    "cases:hours": {"clinic.OpeningHours"},
    "cases:import_columns": {"cases.ImportRow"},
    "cases:import_step": {"cases.ImportPart", "cases.ImportRow"},
    "cases:import_stop": {"cases.ImportPart", "cases.ImportRow"},
    "cases:intake": {"cases.Activity", "cases.Injection"},
    "cases:mail_text": {"cases.MailText"},
    "cases:open_again": {"clinic.ClosedDay"},
    "cases:screening": {"cases.ScreeningSign"},
    "clinic:logo": {"clinic.Logo"},
    "clinic:logo_remove": {"clinic.Logo"},
    "rehab:catalog_offer": {"rehab.HiddenCard"},
    "rehab:case_export_remove": {"rehab.ExportedCase"},
    "rehab:pack_stop": {"rehab.Pack"},
    "rehab:decision": DRAFT,
    "rehab:diary": {"rehab.DiaryDay"},
    "rehab:program": DRAFT,
    "rehab:program_discard": DRAFT,
    "rehab:record_copy_remove": {"rehab.CopyPart"},
}
NO_MATTER = {"clinic_auditevent", "django_session"}
# A secret opens to whoever has it, and its reading is noted.
OPEN_TO_ALL = {"cases:feed": {"cases_calendarkey"}, "cases:display": {"cases_displaykey"}}


class Fuzzer:
    """Somebody of one clinic after the other who sends what was drawn; keeps what went wrong."""

    def __init__(self, clinic: AtWork, other: AtWork):
        self.clinic = clinic
        # Each form in its turn, so that none is left out.
        self.forms = {
            True: itertools.cycle(seen_forms(other, HEAD)),
            False: itertools.cycle(seen_forms(clinic, HEAD)),
        }
        self.people = {role: Asker(clinic.people.get(role)) for role in ACTORS}
        self.rows = Rows(clinic.people[HEAD].clinic)
        self.wrong: dict[tuple, str] = {}
        self.statuses: Counter = Counter()
        self.wrote = 0

    def send(self, one: Meant) -> None:
        form = next(self.forms[one.elsewhere])
        address, sent = address_of(form, one), pairs(form, one)
        client = Client(raise_request_exception=False)
        client.cookies.load(self.people[ACTORS[one.who % len(ACTORS)]].cookies)
        more = HTMX if one.htmx else {}
        with self.rows.watching():
            answer = self._ask(client, form, one, address, sent, more)
            if answer.streaming:
                answer.streaming_content = [b"".join(answer.streaming_content)]
        self.statuses[answer.status_code] += 1
        self.wrote += bool(self.rows.written - NO_MATTER)
        told = f"{form.method} {address} {sent!r} {one}"[:3000]
        for fault in self._faults(answer):
            if fault not in self.wrong:
                print(fault, told, flush=True)
                self.wrong[fault] = told

    def _faults(self, answer) -> Iterator[tuple]:
        name = _name(answer)
        if answer.status_code >= 500:
            yield _place(answer)
        for table in self.rows.foreign():
            if table not in OPEN_TO_ALL.get(name, ()):
                yield ("foreign", table, name)
        for label in self.rows.lost() - MAY_GO.get(name, set()):
            yield ("lost", label, name)

    def _ask(self, client, form, one, address, sent, more):
        files = [field.name for field in form.fields if field.kind == "file"]
        if form.method == "GET":
            return client.generic("GET", address, QUERY_STRING=encoded(sent), **more)
        if files:
            data = {name: value.encode(errors="replace").decode() for name, value in sent}
            data |= {name: SimpleUploadedFile("f.csv", one.file) for name in files}
            return client.post(address, data, **more)
        return client.generic("POST", address, encoded(sent), content_type=one.kind, **more)


def _name(answer) -> str:
    try:
        return resolve(answer.wsgi_request.path_info).view_name
    except Resolver404:
        return ""


def _place(answer) -> tuple:
    """Where in our own code an answer failed, and how."""
    if not answer.exc_info:
        return ("answered", answer.status_code, _name(answer))
    kind, fault, trace = answer.exc_info
    frames = [
        frame for frame in traceback.extract_tb(trace) if "site-packages" not in frame.filename
    ]
    last = frames[-1] if frames else None
    place = f"{last.filename}:{last.lineno}" if last else ""
    return (kind.__name__, re.sub(r"\d+", "#", str(fault))[:160], place)


def test_whatever_is_sent_nothing_breaks_and_no_row_is_lost():
    clinic, other = create_at_work(), create_at_work()
    fuzzer = Fuzzer(clinic, other)
    foreign = sorted({str(number) for number in other.numbers.values()})

    @how(
        max_examples=ASKED // IN_A_ROW,
        derandomize="FUZZ_REQUESTS" not in os.environ,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(st.tuples(*[meant(foreign)] * IN_A_ROW))
    def send(asked):
        fuzzer.rows.begin()
        with transaction.atomic():
            for one in asked:
                fuzzer.send(one)
            transaction.set_rollback(True)

    with watching() as watch:
        send()

    print(fuzzer.statuses, f"{fuzzer.wrote} wrote")
    assert fuzzer.wrong == {}
    assert watch.untied == {}
    assert fuzzer.statuses.total() >= ASKED - IN_A_ROW
    assert fuzzer.statuses[200] > ASKED / 5
    assert fuzzer.statuses[302] > ASKED / 20
