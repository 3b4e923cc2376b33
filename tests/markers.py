"""Marking every text that is kept, and reading it back out of whatever the site answers."""

import io
import re
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django.apps import apps
from django.db import models
from django.db.models.signals import pre_save
from pypdf import PdfReader

RECORDS = ("cases", "assessments", "rehab")
# Written together with who and when, so only marked where something is written.
WITH_A_PERSON = {"screeninganswer.action_taken", "program.withdrawn_because"}


def text_fields(packages: tuple[str, ...] = RECORDS) -> dict[str, models.Field]:
    """Each free text that is kept, by its model and name."""
    return {
        f"{model._meta.model_name}.{field.name}": field
        for package in packages
        for model in apps.get_app_config(package).get_models()
        for field in model._meta.concrete_fields
        if isinstance(field, models.CharField | models.TextField) and not field.choices
    }


def mark(field: str) -> str:
    """A word that stands nowhere else and that no line of a sheet breaks."""
    return "Zq" + re.sub(r"[^a-z]", "", field) + "qZ"


@contextmanager
def marked(word_for: Callable[[str], str | None]) -> Iterator[set[str]]:
    """While it lasts, write `word_for(field)` over each text as it is saved; gives the fields it met.

    A text for which there is no word stays as it is.
    """
    met: set[str] = set()

    def write(sender, instance, **_more):
        for field in instance._meta.concrete_fields:
            name = f"{sender._meta.model_name}.{field.name}"
            if name in WITH_A_PERSON and not getattr(instance, field.name):
                continue
            if (word := word_for(name)) is not None:
                setattr(instance, field.name, word[: field.max_length or 1000])
                met.add(name)

    pre_save.connect(write)
    try:
        yield met
    finally:
        pre_save.disconnect(write)


def sheet_text(pdf: bytes) -> str:
    return "".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def words_of(answer) -> str:
    """All that an answer says: a page's source, a sheet's text, a file's lines."""
    data = b"".join(answer.streaming_content) if answer.streaming else answer.content
    if answer.get("Content-Type") == "application/zip":
        with zipfile.ZipFile(io.BytesIO(data)) as files:
            return "".join(said_by(files.read(name)) for name in files.namelist())
    return said_by(data)


def said_by(data: bytes) -> str:
    return sheet_text(data) if data.rstrip().endswith(b"%%EOF") else data.decode(errors="replace")
