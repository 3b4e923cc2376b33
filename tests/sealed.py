"""Writes past every form, and whether the database refuses them."""

from django.db import DatabaseError, connection, transaction


def refused(write, *, by):
    """Whether the database refuses `write` and names the rule."""
    try:
        with transaction.atomic():
            write()
    except DatabaseError as error:
        return by in str(error)
    return False


def sql(text, *values):
    def run():
        with connection.cursor() as cursor:
            cursor.execute(text, values)

    return run


def changed(row, **values):
    def save():
        for name, value in values.items():
            setattr(row, name, value)
        row.save()

    return save
