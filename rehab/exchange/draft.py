"""The resources of a bundle while it is written: each has a key, from which its identifier follows."""

import uuid

from rehab.clinical.codes import HL7, OWN, UCUM, Code

from .facts import Json
from .record import Author, Source

# Whoever and whatever is met in more than one case of a clinic.
OF_CLINIC = ("clinic", "patient", "staff", "records", "registrations")


class Draft:
    """Resources in their order, known by our keys; one may be named before it is written."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.resources: list[Json] = []

    def id(self, key: str) -> str:
        """The same for the same thing whenever it is exported, and in another case for nothing else."""
        if key == "patient":
            key = f"patient/{self.source.record}"
        shared = key.partition("/")[0] in OF_CLINIC
        return str(uuid.uuid5(self.source.clinic_space if shared else self.source.space, key))

    def ref(self, key: str) -> Json:
        return {"reference": f"urn:uuid:{self.id(key)}"}

    def by(self, author: Author) -> Json:
        """Who it was, with the name for whoever does not follow the reference."""
        return {**self.ref(author_key(author)), "display": author.name}

    def add(self, key: str, kind: str, **elements) -> str:
        """Write one resource; elements that are None or empty lists are left out."""
        kept = {name.rstrip("_"): one for name, one in elements.items() if one not in (None, [])}
        self.resources.append({"resourceType": kind, "id": self.id(key), **kept})
        return key


def author_key(author: Author) -> str:
    return f"staff/{author.given}/{author.family}/{author.registration}"


def coding(code: Code) -> Json:
    return {"system": code.system, "code": code.code, "display": code.display}


def concept(*codes: Code, text: str | None = None) -> Json:
    return {"coding": [coding(code) for code in codes], "text": text or codes[0].display}


def own(code: str, *others: Code) -> Json:
    """Our own code, then those of others that mean the same."""
    return concept(OWN[code], *others)


def hl7(system: str, code: str, display: str) -> Json:
    """A code of one of HL7's own lists, by the list's name."""
    return {"coding": [{"system": f"{HL7}/{system}", "code": code, "display": display}]}


def quantity(value: float, unit: str, code: str) -> Json:
    return {"value": value, "unit": unit, "system": UCUM, "code": code}


def score(value: float) -> Json:
    return quantity(value, "points", "{score}")
