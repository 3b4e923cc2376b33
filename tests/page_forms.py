"""The forms of a page as its reader would send them."""

from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import parse_qsl, urljoin, urlsplit

from lxml import html

TOKEN = "csrfmiddlewaretoken"  # tests send none, and each page has another
NO_FIELD = {"image", "reset"}
TICKED = {"checkbox", "radio"}


@dataclass(frozen=True)
class Field:
    """One control: its name and kind, what it holds when the page opens, and what else it offers."""

    name: str
    kind: str
    value: str | None = None
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Form:
    """What can be sent from a page; a link with a query is a form whose fields are filled in."""

    method: str
    address: str
    fields: tuple[Field, ...]

    def as_opened(self) -> list[tuple[str, str]]:
        """What an unchanged form sends, by its first button."""
        pressed = next((one for one in self.fields if one.kind == "submit"), None)
        kept = [one for one in self.fields if one.value is not None and one.kind != "submit"]
        return [(one.name, one.value) for one in (*kept, *([pressed] if pressed else []))]


def forms_of(page: bytes, address: str) -> Iterator[Form]:
    """Each form of the page at `address`, and each link of it that carries a query."""
    if not page.strip():
        return
    tree = html.document_fromstring(page.decode())
    for form in tree.iter("form"):
        whole = urljoin(address, form.get("action") or address)
        yield Form(form.get("method", "get").upper(), whole, tuple(_fields(tree, form)))
    for link in tree.iter("a"):
        to = urlsplit(urljoin(address, link.get("href") or ""))
        if to.query and not to.netloc:
            asked = tuple(Field(name, "link", value) for name, value in parse_qsl(to.query))
            yield Form("GET", to.path, asked)


def _fields(tree, form) -> Iterator[Field]:
    own = set(form.iter("input", "select", "textarea", "button"))
    for control in tree.iter("input", "select", "textarea", "button"):
        name = control.get("name")
        belongs = control.get("form") == form.get("id") if control.get("form") else control in own
        if name not in (None, TOKEN) and belongs and control.get("disabled") is None:
            yield from _field(control, name)


def _field(control, name: str) -> Iterator[Field]:
    kind = control.get("type", "text")
    if control.tag == "select":
        options = list(control.iter("option"))
        choices = tuple(option.get("value", option.text or "") for option in options)
        chosen = [
            choice
            for choice, option in zip(choices, options, strict=True)
            if option.get("selected") is not None
        ]
        yield Field(name, "select", (chosen or [*choices, ""])[0], choices)
    elif control.tag == "textarea":
        yield Field(name, "text", control.text or "")
    elif control.tag == "button":
        yield Field(name, "submit", control.get("value", ""))
    elif kind in TICKED:
        value = control.get("value", "on")
        yield Field(name, kind, value if control.get("checked") is not None else None, (value,))
    elif kind not in NO_FIELD:
        yield Field(name, kind, "" if kind == "file" else control.get("value", ""))
