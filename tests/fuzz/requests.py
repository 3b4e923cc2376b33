"""Requests as nobody meant them: the site's own forms, filled with what nobody would type."""

import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote_plus

from django.conf import settings
from hypothesis import strategies as st

from tests.page_forms import Field, Form, forms_of
from tests.two_clinics import Asker, AtWork
from tests.who_may_what import TABLE

PACKAGES = ("clinic", "cases", "assessments", "rehab")
READ_BY_NAME = re.compile(
    r"""(?:GET|POST)(?:\.get|\.getlist)?[\[(]"(\w+)"|"(\w+)" in request\.POST"""
)
NASTY = (
    "", " ", "0", "-1", "1", "10", "2147483648", "9223372036854775808", "9" * 400, "1e309", "-1e-400",
    "NaN", "Infinity", "1,5", "1.5", "0x10", "²", "١٢", "٣.٥", "½", "None", "null", "true", "[]", "{}",
    "\x00", "a\x00b", "\ud800", "a\udfffb", "\ufffe", "\u202ecba", "e\u0301", "😀", "王", 
    "\r\nBcc: a@example.org",
    "\t", "\n" * 50, "a" * 300, "a" * 20_000, "2026-02-30", "0001-01-01", "9999-12-31", "10000-01-01",
    "2026-03-29", "24:00", "00:00", "23:59:59.999999", "02:30", "../../etc/passwd", "{{ 7|add:7 }}",
    "<img src=x onerror=alert(1)>", "=1+1", "' OR 1=1 --", "%s%s%n", "|", "1|2|3", "||", "a|b|c|d",
    "//example.org/", "https://example.org/", "javascript:alert(1)", "/\\example.org",
)  # fmt: skip
FILES = (
    b"",
    b"\x89PNG\r\n\x1a\n",
    b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    b"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><path d='M0 0h9z'/></svg>",
    b"Number;First name;Surname;Born\n1;A;B;1990-01-01\n",
    b"\xff\xfeN\x00a\x00",
    b"a,b\n" * 3000,
    b'"' * 5000,
    b"\x00" * 100,
)
PLAUSIBLE = {
    "date": "2026-11-30",
    "time": "09:35",
    "number": "3",
    "email": "someone@example.org",
    "tel": "+44 1632 960123",
}
KINDS = ("application/x-www-form-urlencoded",) * 40 + (
    "application/x-www-form-urlencoded; charset=utf-16",
    "application/x-www-form-urlencoded; charset=none",
    "multipart/form-data",
    "multipart/form-data; boundary=x",
    "application/json",
    "",
)


@functools.cache
def names_read() -> tuple[str, ...]:
    """The names by which views read what was sent, beside those of their forms."""
    sources = [
        path.read_text()
        for package in PACKAGES
        for path in Path(settings.BASE_DIR, package).rglob("*.py")
    ]
    found = {name for text in sources for both in READ_BY_NAME.findall(text) for name in both}
    return tuple(sorted(found - {""}))


def seen_forms(clinic: AtWork, role: str) -> list[Form]:
    """Each form and each query that somebody meets on the pages of their clinic, and each bare address."""
    somebody, met = Asker(clinic.people[role]), {}
    for name, row in TABLE.items():
        for _which, address in clinic.addresses(name):
            # Links that differ in a day or a number alone are one.
            met |= {_shape(form): form for form in _forms_at(somebody, row, address)}
    return list(met.values())


def _shape(form: Form) -> tuple:
    asked = tuple(field.name for field in form.fields)
    return (form.address, asked) if form.method == "GET" else (form.address, form.fields)


def _forms_at(somebody: Asker, row, address: str) -> Iterator[Form]:
    if row.post:
        yield Form("POST", address, ())
    if row.get:
        yield Form("GET", address, ())
        answer = somebody.ask("GET", address)
        if answer.get("Content-Type", "").startswith("text/html"):
            yield from forms_of(answer.content, address)


@dataclass(frozen=True)
class Change:
    """One thing that is changed of what a form would send."""

    how: str
    where: int
    value: str


@dataclass(frozen=True)
class Meant:
    """A request before it is known to which form: numbers choose among what there is."""

    who: int
    filled: bool
    changes: tuple[Change, ...]
    kind: str
    file: bytes
    htmx: bool
    elsewhere: bool


def values(foreign: list[str]) -> st.SearchStrategy[str]:
    return st.one_of(
        st.sampled_from(NASTY),
        st.sampled_from(foreign),
        st.text(max_size=20),
        st.integers().map(str),
        st.floats().map(str),
        st.dates().map(str),
        st.times().map(str),
    )


def meant(foreign: list[str]) -> st.SearchStrategy[Meant]:
    """Requests that may also name what stands in `foreign`, numbers of another clinic's rows."""
    places = st.integers(0, 10_000)
    change = st.builds(
        Change,
        st.sampled_from(("put", "put", "put", "choose", "choose", "drop", "twice", "add", "path")),
        places,
        values(foreign),
    )
    return st.builds(
        Meant,
        who=places,
        filled=st.booleans(),
        changes=st.one_of(st.just(()), st.lists(change, min_size=1, max_size=4).map(tuple)),
        kind=st.sampled_from(KINDS),
        file=st.one_of(st.sampled_from(FILES), st.binary(max_size=200)),
        htmx=st.booleans(),
        elsewhere=st.integers(0, 9).map(lambda number: number == 0),
    )


def filled_in(field: Field) -> str | None:
    """Something that makes sense in an empty field."""
    if field.value or field.kind in ("hidden", "submit", "file") or "DELETE" in field.name:
        return field.value
    sound = [choice for choice in field.choices if choice]
    return sound[0] if sound else PLAUSIBLE.get(field.kind, "3")


def pairs(form: Form, one: Meant) -> list[tuple[str, str]]:
    """What is sent: the form as opened or filled in, and then changed."""
    sent = [
        (field.name, value)
        for field in form.fields
        if (value := filled_in(field) if one.filled else field.value) is not None
    ]
    for change in one.changes:
        sent = _changed(sent, form, change)
    return sent


def _changed(sent: list, form: Form, change: Change) -> list:
    fields, at = form.fields, change.where % max(len(sent), 1)
    if change.how == "add" or not sent:
        extra = names_read()
        return [*sent, (extra[change.where % len(extra)], change.value)]
    name = sent[at][0]
    if change.how == "choose":
        offered = [choice for field in fields if field.name == name for choice in field.choices]
        chosen = offered[change.where % len(offered)] if offered else change.value
        return [*sent[:at], (name, chosen), *sent[at + 1 :]]
    if change.how == "drop":
        return sent[:at] + sent[at + 1 :]
    if change.how == "twice":
        return [*sent, (name, change.value)]
    return [*sent[:at], (name, change.value), *sent[at + 1 :]] if change.how == "put" else sent


def address_of(form: Form, one: Meant) -> str:
    """The form's address, with a number or word in it changed where that is asked."""
    address = form.address
    for change in one.changes:
        if change.how == "path":
            parts = address.split("/")
            at = change.where % len(parts)
            whole = quote_plus(change.value, errors="surrogatepass")[:200]
            parts[at] = whole if parts[at] else ""
            address = "/".join(parts) or "/"
    return address


def encoded(sent: list[tuple[str, str]]) -> str:
    """As a browser would, but lone surrogates too."""
    whole = functools.partial(quote_plus, errors="surrogatepass")
    return "&".join(f"{whole(name)}={whole(value)}" for name, value in sent)
