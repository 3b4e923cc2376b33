"""Links for audit events from before there was a chain, in their order."""

from collections import defaultdict
from itertools import islice

from clinic.chain import BEGINNING, content_of, digest_of_content, digest_of_link

AT_ONCE = 1000  # rows in memory


def link_events(apps, schema_editor) -> None:
    """Give each event its link; bounded in memory."""
    event, link = (apps.get_model("clinic", name) for name in ("AuditEvent", "Link"))
    heads = defaultdict(lambda: (0, BEGINNING))
    rows = _contents(event, schema_editor.connection)
    while some := list(islice(rows, AT_ONCE)):
        link.objects.bulk_create([_next(link, heads, *row) for row in some])


def _next(link, heads, pk, clinic, content):
    number, before = heads[clinic]
    content = digest_of_content(content)
    heads[clinic] = number + 1, digest_of_link(before, number + 1, content)
    return link(
        clinic_id=clinic, event_id=pk, content=content, number=number + 1, digest=heads[clinic][1]
    )


def _contents(event, connection):
    """Yield (number, clinic, text) of each event, some at a time."""
    quote, table = connection.ops.quote_name, event._meta.db_table
    text = content_of(event, connection.vendor, quote(table), quote)
    statement = (
        f"SELECT id, clinic_id, {text} FROM {quote(table)} "  # noqa: S608 # nosec B608 # names of our own
        "WHERE id > %s ORDER BY id LIMIT %s"
    )
    last, rows = 0, True
    while rows:
        with connection.cursor() as cursor:
            cursor.execute(statement, [last, AT_ONCE])
            rows = cursor.fetchall()
        yield from rows
        last = rows[-1][0] if rows else last
