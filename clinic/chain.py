"""The chain of the audit trail: each entry's digest covers the one before it, so a gap or an edit shows.

Every AuditEvent and every Change gets a `Link`: a number without gaps in its clinic, the SHA-256 of the
entry, and the SHA-256 of the link before it together with these two. The database writes the links. SQLite
has one writer at a time and does it at once. PostgreSQL does it when the transaction commits, in two rounds:
the first notes what is to be linked; the second, after all that could make it wait for somebody else, takes
the lock of the clinic's chain and numbers the links. Whoever holds that lock never waits, so no two
transactions deadlock over it.
"""

import hashlib

from django.db import models
from django.db.backends.ddl_references import Statement, Table

from clinic.constraints import trigger
from clinic.journal import Triggers

BEGINNING = ""  # what the first link of a clinic takes for the digest before it
LOCK = 1_852_793_195  # any number of our own: the first half of the key under which PostgreSQL locks a chain


def content_of(model, vendor: str, row: str, quote) -> str:
    """SQL for the text that the digest of a row covers: its columns by name as a JSON object, without nulls.

    So a column that is added later, null in older rows, leaves their digests as they are. JSON inside is
    taken as the text that is stored.
    """
    parts = ", ".join(
        f"'{field.column}', {_as_text(field, vendor, f'{row}.{quote(field.column)}')}"
        for field in sorted(model._meta.local_concrete_fields, key=lambda field: field.column)
    )
    if vendor == "postgresql":
        return f"jsonb_strip_nulls(jsonb_build_object({parts}))::text"
    return f"json_patch('{{}}', json_object({parts}))"


def _as_text(field, vendor, column) -> str:
    if isinstance(field, models.JSONField):
        # On SQLite what a trigger has just made by JSON functions is still marked as JSON.
        return f"{column}::text" if vendor == "postgresql" else f"{column} || ''"
    if isinstance(field, models.DateTimeField) and vendor == "postgresql":
        return f"to_char({column} AT TIME ZONE 'UTC', 'YYYY-MM-DD HH24:MI:SS.US')"
    return column


def digest_of_content(content: str) -> str:
    """SHA-256 of an entry's text in UTF-8 (FIPS 180-4), as 64 hexadecimal digits."""
    return hashlib.sha256(content.encode()).hexdigest()


def digest_of_link(before: str, number: int, content: str) -> str:
    """SHA-256 of a link: the digest of the link before it, its number, and the digest of its content."""
    return hashlib.sha256(f"{before} {number} {content}".encode()).hexdigest()


class Chained(Triggers):
    """Each new row gets a `Link` that names it in the column `link`."""

    arguments = ("link",)

    def on_sqlite(self, model, schema_editor):
        quote = schema_editor.quote_name
        yield from trigger(
            schema_editor,
            model,
            self.name,
            SQLITE,
            link=quote(self.link),
            pk=quote(model._meta.pk.column),
            content=content_of(model, "sqlite", "NEW", quote),
        )

    def on_postgresql(self, model, schema_editor):
        quote = schema_editor.quote_name
        yield Statement(
            FIRST_ROUND,
            name=quote(self.name),
            function=quote(f"link_{self.name}"),
            table=Table(model._meta.db_table, quote),
            link=quote(self.link),
            pk=quote(model._meta.pk.column),
            content=content_of(model, "postgresql", "NEW", quote),
        )


class Numbered(Triggers):
    """On PostgreSQL, a link that was noted is numbered at the very end of the transaction."""

    def on_sqlite(self, model, schema_editor):
        return ()

    def on_postgresql(self, model, schema_editor):
        quote = schema_editor.quote_name
        yield Statement(
            SECOND_ROUND,
            name=quote(self.name),
            table=Table(model._meta.db_table, quote),
            lock=LOCK,
            beginning=BEGINNING,
        )


SQLITE = """
AFTER INSERT ON %(table)s FOR EACH ROW BEGIN
  INSERT INTO "clinic_link" (clinic_id, number, %(link)s, content, digest)
  SELECT NEW.clinic_id, number, NEW.%(pk)s, content, SHA256(before || ' ' || number || ' ' || content)
  FROM (
    SELECT COALESCE(MAX(number), 0) + 1 AS number, COALESCE(digest, '') AS before,
      SHA256(%(content)s) AS content
    FROM "clinic_link" WHERE clinic_id = NEW.clinic_id
  );
END
""".strip()
FIRST_ROUND = """
CREATE OR REPLACE FUNCTION %(function)s() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
  INSERT INTO clinic_link (clinic_id, %(link)s, content, digest)
  VALUES (NEW.clinic_id, NEW.%(pk)s, encode(sha256(convert_to(%(content)s, 'UTF8')), 'hex'), '');
  RETURN NULL;
END $$;
DROP TRIGGER IF EXISTS %(name)s ON %(table)s;
CREATE CONSTRAINT TRIGGER %(name)s AFTER INSERT ON %(table)s
  DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION %(function)s()
"""
SECOND_ROUND = """
CREATE OR REPLACE FUNCTION number_link() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE head record; next bigint; BEGIN
  PERFORM pg_advisory_xact_lock(%(lock)s, NEW.clinic_id::int);
  -- A statement of its own, so that it sees what was committed while this one waited for the lock.
  SELECT number, digest INTO head FROM clinic_link
    WHERE clinic_id = NEW.clinic_id AND number IS NOT NULL ORDER BY number DESC LIMIT 1;
  next := COALESCE(head.number, 0) + 1;
  UPDATE clinic_link SET number = next, digest = encode(sha256(convert_to(
    COALESCE(head.digest, '%(beginning)s') || ' ' || next || ' ' || NEW.content, 'UTF8')), 'hex')
    WHERE id = NEW.id;
  RETURN NULL;
END $$;
DROP TRIGGER IF EXISTS %(name)s ON %(table)s;
CREATE CONSTRAINT TRIGGER %(name)s AFTER INSERT ON %(table)s
  DEFERRABLE INITIALLY DEFERRED FOR EACH ROW WHEN (NEW.number IS NULL) EXECUTE FUNCTION number_link()
"""
