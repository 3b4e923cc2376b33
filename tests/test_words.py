"""The words of the glossary are those of the pages: design.md 3, one word for one thing."""

import ast
import re
from pathlib import Path

import pytest

from assessments.clinical.pain import Context
from cases.models import Appointment
from clinic.glossary import WORDS
from rehab.clinical.proposal import LoadStep
from rehab.clinical.sessions import SessionState
from rehab.clinical.stages import LABELS, Policy
from rehab.models import Decision

TEMPLATES = Path("templates")
PACKAGES = ("clinic", "cases", "assessments", "rehab")
KINDS = {
    "stage": LABELS.values(),
    "session state": SessionState,
    "decision": [choice.label for choice in Decision.Choice],
    "load step": LoadStep,
    "pain policy": Policy,
    "pain rating": [context.label for context in Context],
    "appointment": [status.label for status in Appointment.Status],
}


@pytest.mark.parametrize("word", KINDS)
def test_a_word_names_all_of_its_kinds_as_the_pages_do(word):
    meaning = WORDS[word].meaning.lower()

    assert [str(kind) for kind in KINDS[word] if str(kind).lower() not in meaning] == []


def test_every_word_is_one_of_the_pages():
    texts = texts_of_the_site()

    assert len(texts) > 100_000
    unused = [word for word in WORDS if not re.search(rf"\b{word}", texts, re.IGNORECASE)]
    assert unused == []


def test_a_link_of_a_page_leads_to_a_word():
    anchors = {word.anchor for word in WORDS.values()}
    pages = "\n".join(path.read_text() for path in TEMPLATES.rglob("*.html"))

    assert set(re.findall(r"clinic:glossary' %}#([\w-]+)", pages)) <= anchors


def texts_of_the_site() -> str:
    """All that templates and code say, without the glossary itself."""
    places = [*TEMPLATES.rglob("*.html")]
    for package in PACKAGES:
        places += Path(package).rglob("*.py")
    return "\n".join(path.read_text() for path in places if "glossary" not in str(path))


# What is called something else here: one word for one thing.
INSTEAD = {
    "maneuver": "test",
    "grip meter": "dynamometer",
    "programme": "program",
    "this program makes": "this software makes",
    "calendar program": "calendar app",
    "flare-up": "flare",
    "therapy session": "visit",
}


def test_no_page_calls_a_thing_by_another_word():
    said = shown()

    assert len(said) > 2000
    assert [text for text in said for word in INSTEAD if word in text.lower()] == []


def shown() -> list[str]:
    """Every text that is marked for translation, in templates and in code."""
    pages = "\n".join(path.read_text() for path in TEMPLATES.rglob("*.html"))
    said = re.findall(r'{%\s*translate "([^"]+)"', pages)
    said += re.findall(r"{%\s*blocktranslate[^%]*%}(.*?){%\s*endblocktranslate", pages, re.DOTALL)
    for package in PACKAGES:
        for path in Path(package).rglob("*.py"):
            said += marked(ast.parse(path.read_text()))
    return said


def marked(tree: ast.AST) -> list[str]:
    calls = (node for node in ast.walk(tree) if isinstance(node, ast.Call))
    return [
        first.value
        for call in calls
        if getattr(call.func, "id", "") in {"_", "say", "gettext", "gettext_noop", "gettext_lazy"}
        for first in call.args[:1]
        if isinstance(first, ast.Constant)
    ]
