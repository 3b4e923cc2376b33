"""What both databases can do and Django has no word for."""

from collections.abc import Iterator

from django.db import connection
from django.db.models import FloatField, Func, IntegerField, QuerySet


class DaysBetween(Func):
    """Whole days from the first date to the second, counted by the database itself.

    Django's own difference of dates calls back into Python for each row on SQLite.
    """

    arity = 2
    output_field = IntegerField()

    def as_sqlite(self, compiler, connection, **context):
        template = "CAST(-julianday(%(expressions)s) AS INTEGER)"
        return self.as_sql(
            compiler, connection, template=template, arg_joiner=") + julianday(", **context
        )

    def as_postgresql(self, compiler, connection, **context):
        template = "(-(%(expressions)s))"
        return self.as_sql(compiler, connection, template=template, arg_joiner=" - ", **context)


class MinutesBetween(Func):
    """Minutes from the first moment to the second, by the database itself, so that a constraint may ask."""

    arity = 2
    output_field = FloatField()

    def as_sqlite(self, compiler, connection, **context):
        template = "(1440 * (-julianday(%(expressions)s)))"
        return self.as_sql(
            compiler, connection, template=template, arg_joiner=") + julianday(", **context
        )

    def as_postgresql(self, compiler, connection, **context):
        template = "(EXTRACT(EPOCH FROM -(%(expressions)s)) / 60)"
        return self.as_sql(compiler, connection, template=template, arg_joiner=" - ", **context)


def count_by(rows: QuerySet, *columns: str) -> Iterator[tuple]:
    """Count `rows`, which are `values(*columns)`, by these columns: each combination, then how many.

    Django can't group by what a window function gave; a query around the rows can.
    """
    inner, params = rows.values(*columns).query.sql_with_params()
    names = ", ".join(connection.ops.quote_name(name) for name in columns)
    statement = f"SELECT {names}, COUNT(*) FROM ({inner}) AS counted GROUP BY {names}"  # noqa: S608 # nosec B608 # names and Django's own
    with connection.cursor() as cursor:
        cursor.execute(statement, params)
        yield from cursor.fetchall()
