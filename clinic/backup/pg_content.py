"""Every value of a PostgreSQL database, read as the server's own text, which is the same on each server."""

import hashlib
from collections.abc import Iterator

import psycopg
from psycopg import sql

from clinic.backup.content import CHAIN, HEADS, Content, heads
from clinic.backup.progress import Progress

# How the server writes dates, bytes and numbers is a setting; here it is always this.
WRITTEN = (
    "SET datestyle TO ISO; SET intervalstyle TO iso_8601; SET timezone TO 'UTC'; "
    "SET bytea_output TO hex; SET extra_float_digits TO 1"
)
OURS = "(SELECT oid FROM pg_namespace WHERE nspname <> 'information_schema' AND nspname !~ '^pg_')"
TABLES = f"""
    SELECT n.nspname, c.relname FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
    WHERE c.relkind = 'r' AND n.oid IN {OURS} ORDER BY 1, 2
"""  # noqa: S608 # nosec B608 # no value from elsewhere, here and below
KEY = """
    SELECT a.attname, a.attcollation <> 0 FROM pg_index i
    CROSS JOIN unnest(i.indkey::int2[]) WITH ORDINALITY AS k (number, place)
    JOIN pg_attribute a ON a.attrelid = i.indrelid AND a.attnum = k.number
    WHERE i.indisprimary AND i.indrelid = %s::regclass ORDER BY k.place
"""
# Names and bodies, not definitions: how the server words those changes with its version.
RULES = (
    f"""
    SELECT c.relname, t.tgname, t.tgenabled, p.prosrc FROM pg_trigger t
    JOIN pg_class c ON c.oid = t.tgrelid JOIN pg_proc p ON p.oid = t.tgfoid
    WHERE NOT t.tgisinternal AND c.relnamespace IN {OURS} ORDER BY 1, 2
    """,  # noqa: S608 # nosec B608
    f"""
    SELECT c.relname, o.conname FROM pg_constraint o JOIN pg_class c ON c.oid = o.conrelid
    WHERE o.contype IN ('c', 'f', 'p', 'u', 'x') AND c.relnamespace IN {OURS} ORDER BY 1, 2
    """,  # noqa: S608 # nosec B608
    f"SELECT relname FROM pg_class WHERE relkind = 'i' AND relnamespace IN {OURS} ORDER BY 1",  # noqa: S608 # nosec B608
)


def tables_of(db: psycopg.Connection) -> Iterator[tuple[str, sql.Identifier]]:
    """Yield each table by the name that a person would call it, and as SQL."""
    for schema, name in db.execute(TABLES).fetchall():
        yield name if schema == "public" else f"{schema}.{name}", sql.Identifier(schema, name)


def content_of(db: psycopg.Connection, say: Progress) -> Content:
    """Read every value of every table in the order of its key, and the rules beside them."""
    db.execute(WRITTEN)
    digest, counts, tables = hashlib.sha256(), {}, list(tables_of(db))
    for rules in RULES:
        _feed(digest, db, sql.SQL(rules))
    for number, (label, table) in enumerate(tables):
        say.share(number, len(tables))
        digest.update(f"{label}\n".encode())
        counts[label] = _feed(digest, db, _all_of(db, table))
    applied = ()
    if "django_migrations" in counts:
        applied = db.execute(
            "SELECT app, name FROM django_migrations ORDER BY app, name"
        ).fetchall()
    return Content(
        counts=counts,
        digest=digest.hexdigest(),
        migrations=tuple(applied),
        heads=heads(db.execute(HEADS) if CHAIN in counts else ()),
    )


def _all_of(db: psycopg.Connection, table: sql.Identifier) -> sql.Composed:
    key = db.execute(KEY, [table.as_string(db)]).fetchall()
    # Two servers may sort letters differently, but not bytes.
    order = [
        sql.Identifier(name) + sql.SQL(' COLLATE "C"' if is_text else "") for name, is_text in key
    ]
    return sql.SQL("SELECT * FROM {} ORDER BY {}").format(
        table, sql.SQL(", ").join(order or [sql.SQL("1")])
    )


def _feed(digest, db: psycopg.Connection, rows: sql.Composable) -> int:
    with db.cursor() as cursor:
        with cursor.copy(sql.SQL("COPY ({}) TO STDOUT").format(rows)) as copy:
            for line in copy:
                digest.update(line)
        return cursor.rowcount
