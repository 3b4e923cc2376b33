"""Whatever stands in a text comes out as that text.

On no page, sheet, file, feed or e-mail does it become a tag, a command of the template, markup of the paper,
a formula or a header.
"""

import csv
import datetime
import io
import re
import zipfile

import pytest
from django.core import mail
from django.utils import timezone
from icalendar import Calendar
from lxml import html

from cases.models import Notice
from cases.sending import send_due
from clinic.csv_file import FORMULA
from tests.markers import marked, sheet_text, text_fields, words_of
from tests.test_minimum_necessary import CODES
from tests.two_clinics import Asker, create_at_work
from tests.who_may_what import HEAD, TABLE

pytestmark = pytest.mark.django_db

PRACTICE = {
    "absence.reason", "clinic.address", "clinic.emergency_phone", "clinic.name", "clinic.phone",
    "closedday.name", "staff.first_name", "staff.last_name", "staff.registration_number",
    "visit.signed_name", "visit.signed_registration",
}  # fmt: skip
# An address of e-mail is one, or nothing is sent there.
ADDRESSES = {"patient.email", "notice.sent_to"}
TEXTS = (text_fields().keys() - CODES - ADDRESSES) | PRACTICE

PAGE = '"><img src=x onerror=zq>{{7|add:70}}'
PAPER = "<b>zq&lt;</para>%(n)s"
FILE = "=zq+1;\r\nBcc: zq@example.org\r\n../.."
NAMED = re.compile(r'(?:inline|attachment); filename="[\w.-]+"')
HOSTILE = (PAGE, PAPER, FILE)


# What an e-mail said when it was sent; one that waits has none.
SENT = frozenset({"notice.subject", "notice.body"})


def create_hostile(text: str, *, but: frozenset[str] = frozenset()):
    """A clinic at work in which every text of the records and of the practice is this one."""
    with marked(lambda field: text if field in TEXTS - but else None):
        return create_at_work()


def answers(clinic):
    """Each page, sheet and file that somebody who may read all can open."""
    head = Asker(clinic.people[HEAD])
    for name, row in TABLE.items():
        for _which, address in clinic.addresses(name) if row.get else ():
            answer = head.ask("GET", address)
            assert answer.status_code in (200, 204, 302, 422), (address, answer.status_code)
            if answer.status_code == 200:
                yield address, answer


def is_sheet(data: bytes) -> bool:
    return data.rstrip().endswith(b"%%EOF")


def kind(answer) -> str:
    return answer.get("Content-Type", "").split(";")[0]


def faults_of_page(data: bytes) -> list[str]:
    tree = html.document_fromstring(data.decode())
    wrong = [
        element.tag
        for element in tree.iter()
        if element.get("onerror") or element.get("src") == "x"
    ]
    wrong += [element.tag for element in tree.iter("b", "para") if "zq" in element.text_content()]
    return wrong + re.findall("zq>77", data.decode())


def faults_of_sheet(text: str) -> list[str]:
    """On paper each sign of the text stands there: nothing of it was taken for markup."""
    whole = re.sub(r"\s", "", text)
    return re.findall(r"(?<!<b>)zq(?=&lt;)|(?<=<b>)zq(?!&lt;)|zq<.{9}", whole)


def faults_of_table(text: str) -> list[str]:
    cells = [cell for line in csv.reader(io.StringIO(text)) for cell in line]
    return [cell for cell in cells if cell.startswith(FORMULA) and "zq" in cell]


def faults_of_calendar(data: bytes) -> list[str]:
    Calendar.from_ical(data)
    lines = data.decode().replace("\r\n ", "").split("\r\n")
    return [line for line in lines if line and not re.match(r"[A-Z-]+[;:]", line)]


def faults_of_names(data: bytes) -> list[str]:
    """Files of an archive, and the sheets in it."""
    with zipfile.ZipFile(io.BytesIO(data)) as files:
        names = files.namelist()
        wrong = [name for name in names if ".." in name or name.startswith("/") or "zq" in name]
        sheets = [data for name in names if is_sheet(data := files.read(name))]
    return wrong + [fault for sheet in sheets for fault in faults_of_sheet(sheet_text(sheet))]


def faults(answer) -> list[str]:
    data = b"".join(answer.streaming_content) if answer.streaming else answer.content
    named = [
        value for _name, value in answer.items() if "zq" in value and not NAMED.fullmatch(value)
    ]
    if is_sheet(data):
        return named + faults_of_sheet(sheet_text(data))
    if kind(answer) == "text/html":
        return named + faults_of_page(data)
    if kind(answer) == "text/csv":
        return named + faults_of_table(data.decode())
    if kind(answer) == "text/calendar":
        return named + faults_of_calendar(data)
    return named + (faults_of_names(data) if kind(answer) == "application/zip" else [])


@pytest.mark.parametrize("text", HOSTILE, ids=("page", "paper", "file"))
def test_a_text_comes_out_as_it_is(text):
    clinic = create_hostile(text)

    wrong = {address: found for address, answer in answers(clinic) if (found := faults(answer))}

    assert wrong == {}


def test_it_comes_out_at_all():
    """The texts are on the pages and on paper, so that the walk above could find them changed."""
    clinic = create_hostile(PAPER)
    head, patient = Asker(clinic.people[HEAD]), clinic.numbers["patient"]

    page = head.ask("GET", f"/patients/{patient}/").content.decode()
    sheet = words_of(head.ask("GET", f"/visits/{clinic.numbers['signed visit']}/record.pdf"))

    assert "&lt;b&gt;zq&amp;lt;&lt;/para&gt;%(n)s" in page
    assert "<b>zq&lt;</para>%(n)s" in re.sub(r"\s", "", sheet)


@pytest.mark.parametrize("text", HOSTILE, ids=("page", "paper", "file"))
def test_an_e_mail_has_no_header_that_somebody_typed(text, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    create_hostile(text, but=SENT)
    Notice.objects.update(status=Notice.Status.WAITING, subject="", body="")

    tomorrow = timezone.now() + datetime.timedelta(days=1)  # all is due then, and nothing over
    send_due(clock=lambda: tomorrow)

    assert mail.outbox
    for message in mail.outbox:
        sent = message.message()
        assert message.recipients() == message.to
        assert not {"bcc", "cc"} & {name.lower() for name, _value in sent.items()}
        assert all("\n" not in value.replace("\n ", "") for value in sent.values())
