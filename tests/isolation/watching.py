"""Every statement of a request is judged: does it read rows of the clinic of whoever asks, and no others?"""

from collections.abc import Iterator
from contextlib import contextmanager

from django.core.signals import request_finished, request_started
from django.db import connection
from django.urls import Resolver404, resolve

from tests.isolation.statements import Judgment, keys_of_tables, parsed

DIALECT = {"sqlite": "sqlite", "postgresql": "postgres"}
JUDGED = ("SELECT", "INSERT", "UPDATE", "DELETE", "WITH")

# Columns that pick a row before anybody is known: the value is nobody's but theirs whom the row is for.
SECRETS = frozenset(
    {
        ("clinic_opensession", "session_key"),  # the cookie
        ("clinic_staff", "username"),  # one for all clinics; its password is asked next
        ("clinic_invitation", "digest"),  # the link that an invitation gives
        ("cases_calendarkey", "digest"),  # the address that a calendar app reads
        ("cases_displaykey", "digest"),  # the address that a screen on the wall reads
    }
)
# Addresses that look for a person of any clinic, since nobody has signed in yet.
BEFORE_SIGNING_IN = {
    "clinic:forgotten": {
        "clinic_staff",
        "clinic_clinic",
    },  # by name or e-mail; the answer tells nothing
    "clinic:new_password": {"clinic_staff", "clinic_clinic"},  # by a signed link
}
# Tables of no clinic.
OF_ALL = {
    "clinic_backuprun": "a backup is of the whole database; the row says when it was made and tried",
}


class Replayed:
    """A cursor whose rows were looked at, and are handed out again."""

    def __init__(self, cursor, rows: list):
        self.looked_at, self.rows = cursor, iter(rows)

    def __getattr__(self, name):
        return getattr(self.looked_at, name)

    def __iter__(self):
        return self.rows

    def fetchone(self):
        return next(self.rows, None)

    def fetchmany(self, size=1):
        return [row for _number, row in zip(range(size), self.rows, strict=False)]

    def fetchall(self):
        return list(self.rows)


class Watch:
    """Which keys the request of now knows, and which statements of all requests were tied to no clinic."""

    def __init__(self):
        self.keys = keys_of_tables()
        self.known: dict[str, set] = {}
        self.page = ""
        self.passed: set[str] = set()
        self.asked = False
        self.judged = 0
        self.untied: dict[tuple[str, str], str] = {}  # by page and table, the first statement

    def begin(self, environ, **_kwargs) -> None:
        try:
            self.page = resolve(environ["PATH_INFO"]).view_name
        except Resolver404:
            self.page = ""
        self.passed = OF_ALL.keys() | BEFORE_SIGNING_IN.get(self.page, set())
        self.known, self.asked = {}, True

    def end(self, **_kwargs) -> None:
        self.asked = False

    def __call__(self, execute, sql, params, many, context):
        cursor = context["cursor"]
        if isinstance(cursor.cursor, Replayed):
            cursor.cursor = cursor.cursor.looked_at
        answer = execute(sql, params, many, context)
        if self.asked and str(sql).lstrip().startswith(JUDGED):
            self._judge(str(sql), () if many else tuple(params or ()), cursor)
        return answer

    def _judge(self, sql: str, values: tuple, cursor) -> None:
        judgment = Judgment(self.keys, SECRETS, self.known, values)
        columns = judgment.of(parsed(sql, DIALECT[connection.vendor]))
        self.judged += 1
        for table in judgment.untied - self.passed:
            self.untied.setdefault((self.page, table), sql)
        if cursor.cursor.description:
            rows = cursor.cursor.fetchall()
            self._learn(columns, rows)
            cursor.cursor = Replayed(cursor.cursor, rows)

    def _learn(self, columns: list[str | None], rows: list) -> None:
        for number, key in enumerate(columns):
            if key:
                self.known.setdefault(key, set()).update(row[number] for row in rows)


@contextmanager
def watching() -> Iterator[Watch]:
    """Judge what requests ask the database meanwhile."""
    watch = Watch()
    request_started.connect(watch.begin)
    request_finished.connect(watch.end)
    try:
        with connection.execute_wrapper(watch):
            yield watch
    finally:
        request_started.disconnect(watch.begin)
        request_finished.disconnect(watch.end)
