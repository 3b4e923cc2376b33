"""Which columns a file may have, the words that head them, and what the words in them mean.

The words are common ones of the languages that clinics here write in: common practice, no source.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cases.clinical.names import fold
from clinic.wording import Sentence, gettext_noop, say

PATIENTS, APPOINTMENTS = "patients", "appointments"


@dataclass(frozen=True)
class Column:
    """One thing that a file can say of each row; `words` are headings that are taken for it unasked."""

    code: str
    label: str
    words: tuple[str, ...]
    needed: bool = False


OWN_NUMBER = Column(
    "own_number",
    gettext_noop("Number in the file"),
    ("id", "number", "no", "nr", "patient id", "patient no", "patient number", "record number",
     "record no", "client id", "client number", "file number", "numero", "patientennummer"),
)  # fmt: skip
GIVEN = Column(
    "given_name",
    gettext_noop("Given name"),
    ("given name", "given names", "first name", "firstname", "forename", "first", "given",
     "patient first name", "client first name", "nombre", "vorname", "prenom"),
)  # fmt: skip
FAMILY = Column(
    "family_name",
    gettext_noop("Family name"),
    ("family name", "last name", "lastname", "surname", "last", "family", "patient last name",
     "client last name", "apellido", "apellidos", "nachname", "familienname", "nom"),
)  # fmt: skip
BORN = Column(
    "born",
    gettext_noop("Born"),
    ("born", "date of birth", "birth date", "birthdate", "birthday", "dob", "d o b", "born on",
     "fecha de nacimiento", "nacimiento", "geburtsdatum", "geboren", "date de naissance"),
)  # fmt: skip
SEX = Column(
    "sex", gettext_noop("Sex for reference values"), ("sex", "gender", "sexo", "geschlecht", "sexe")
)
HAND = Column(
    "handedness",
    gettext_noop("Handedness"),
    ("handedness", "hand", "dominant hand", "dominant side", "dominance", "writing hand",
     "mano dominante", "handigkeit", "lateralite"),
)  # fmt: skip
PHONE = Column(
    "phone",
    gettext_noop("Phone"),
    ("phone", "telephone", "phone number", "mobile", "mobile phone", "cell", "cell phone", "tel",
     "telefono", "movil", "telefon", "handy"),
)  # fmt: skip
EMAIL = Column(
    "email",
    gettext_noop("E-mail"),
    ("email", "e mail", "mail", "email address", "e mail address", "correo", "correo electronico"),
)
LANGUAGE = Column(
    "language", gettext_noop("Language"), ("language", "lang", "idioma", "sprache", "langue")
)
DAY = Column(
    "day",
    gettext_noop("Day, or day and time"),
    ("day", "date", "appointment date", "date of appointment", "start", "starts", "starts at",
     "start date", "begin", "begins", "fecha", "datum", "inicio"),
    needed=True,
)  # fmt: skip
TIME = Column(
    "time",
    gettext_noop("Time"),
    ("time", "start time", "appointment time", "from", "hora", "hora de inicio", "uhrzeit", "zeit",
     "heure"),
)  # fmt: skip
END = Column(
    "end",
    gettext_noop("Ends at"),
    ("end", "ends", "ends at", "end time", "until", "to", "fin", "ende", "hora de fin"),
)
MINUTES = Column(
    "minutes",
    gettext_noop("Minutes"),
    ("minutes", "length", "duration", "length minutes", "duration minutes", "min", "mins",
     "duracion", "dauer"),
)  # fmt: skip
PRACTITIONER = Column(
    "practitioner",
    gettext_noop("Practitioner"),
    ("practitioner", "with", "therapist", "physiotherapist", "clinician", "provider", "staff",
     "fisioterapeuta", "therapeut", "behandler"),
    needed=True,
)  # fmt: skip
KIND = Column(
    "kind",
    gettext_noop("Kind of appointment"),
    ("kind", "type", "appointment type", "visit type", "kind of visit", "reason", "tipo", "art"),
)


def _needed(column: Column) -> Column:
    return Column(column.code, column.label, column.words, needed=True)


COLUMNS: dict[str, tuple[Column, ...]] = {
    PATIENTS: (
        OWN_NUMBER, _needed(GIVEN), _needed(FAMILY), _needed(BORN), SEX, HAND, PHONE, EMAIL, LANGUAGE,
    ),
    APPOINTMENTS: (
        OWN_NUMBER, GIVEN, FAMILY, BORN, DAY, TIME, END, MINUTES, PRACTITIONER, KIND,
    ),
}  # fmt: skip
# Columns with a few words in them, each of which means one of our own; and those that hold a date.
WORDS = ("sex", "handedness", "language", "kind", "practitioner")
DATES = ("born", "day")

# Where a word means different things in two languages (m: male, mujer), it is left to whoever maps it.
MEANINGS: dict[str, dict[str, tuple[str, ...]]] = {
    "sex": {
        "female": ("f", "female", "w", "woman", "mujer", "femenino", "weiblich", "femme"),
        "male": ("male", "man", "h", "hombre", "masculino", "mannlich", "homme"),
        "unstated": ("x", "u", "unknown", "not stated", "not known", "other", "d", "divers"),
    },
    "handedness": {
        "right": ("r", "right", "right handed", "rh", "rhd", "derecha", "diestro", "diestra", "rechts"),
        "left": ("l", "left", "left handed", "lh", "lhd", "izquierda", "zurdo", "zurda", "links"),
        "both": ("both", "ambidextrous", "either", "ambidiestro", "beidhandig"),
        "unset": ("u", "unknown", "not stated", "not known"),
    },
    "language": {
        "en": ("en", "eng", "english", "ingles", "en gb", "en us"),
        "es": ("es", "spa", "spanish", "espanol", "castellano", "es es"),
    },
    "kind": {
        "first": ("first", "first visit", "new", "new patient", "initial", "initial visit",
                  "assessment", "primera visita", "primera", "erstbesuch"),
        "follow-up": ("follow up", "followup", "treatment", "return", "return visit", "seguimiento",
                      "folgetermin"),
        "review": ("review", "check", "check up", "revision", "kontrolle"),
        "discharge": ("discharge", "final", "final visit", "last visit", "alta", "abschluss"),
    },
}  # fmt: skip


def key(text: str) -> str:
    """Return a heading or a word as it is compared: no case, accents or signs between the words."""
    return " ".join("".join(c if c.isalnum() else " " for c in fold(text)).split())


def guess(head: Sequence[str], kind: str) -> dict[str, int]:
    """Return the place of each column whose heading is known, each place once."""
    places: dict[str, int] = {}
    heads = [key(text) for text in head]
    for column in COLUMNS[kind]:
        for word in column.words:
            if word in heads and heads.index(word) not in places.values():
                places[column.code] = heads.index(word)
                break
    return places


def meaning(code: str, word: str) -> str | None:
    """Return what a word of a column means, such as "female" for "F"; None when it is not known."""
    known = MEANINGS.get(code, {})
    return next((value for value, words in known.items() if key(word) in words), None)


def lacking(columns: Mapping[str, int], kind: str) -> list[tuple[str, Sentence]]:
    """Return each column that must be named still, with the sentence that asks for it."""
    asked = [
        (column.code, say("No column is chosen for this, and no row can be brought in without it."))
        for column in COLUMNS[kind]
        if column.needed and column.code not in columns
    ]
    if kind == APPOINTMENTS and not _says_whose(columns):
        told = "Choose the number of the patient, or given name, family name and birth date."
        asked.append(("own_number", say(told)))
    return asked


def _says_whose(columns: Mapping[str, int]) -> bool:
    return "own_number" in columns or {"given_name", "family_name", "born"} <= columns.keys()
