"""What the database writes down by itself when a row changes: who, when, and the columns before and after."""

from django.db import models
from django.db.backends.ddl_references import Statement, Table

from clinic.constraints import DeferredSql, trigger

COLUMNS = "clinic_id, at, actor_id, request, table_name, row_id, kind, before, after"


class Triggers(DeferredSql):
    """A rule that is nothing but triggers, written for each engine; they may be written again at any time."""

    def statements(self, model, schema_editor):
        on_postgresql = schema_editor.connection.vendor == "postgresql"
        write = self.on_postgresql if on_postgresql else self.on_sqlite
        yield from write(model, schema_editor)

    def remove_sql(self, model, schema_editor):
        # Only PostgreSQL comes here: SQLite rebuilds the table without the triggers.
        return Statement(
            "DROP TRIGGER IF EXISTS %(name)s ON %(table)s",
            name=schema_editor.quote_name(self.name),
            table=Table(model._meta.db_table, schema_editor.quote_name),
        )


class Journaled(Triggers):
    """Each row that is added, changed or removed leaves a `clinic.models.Change`, however it was written.

    A change keeps the columns that differ, before and after; a removal keeps the row. An addition keeps no
    columns: they stand in the row itself, and whatever replaces them keeps them then. `without` names
    columns whose values are nobody's business; a change of these alone leaves nothing.
    """

    arguments = ("without",)
    without: tuple[str, ...] = ()

    def on_postgresql(self, model, schema_editor):
        left_out = [model._meta.get_field(name).column for name in self.without]
        quote, value = schema_editor.quote_name, schema_editor.quote_value
        yield Statement(
            POSTGRESQL,
            columns=COLUMNS,
            name=quote(self.name),
            table=Table(model._meta.db_table, quote),
            arguments=", ".join(value(column) for column in (clinic_column(model), *left_out)),
        )

    def on_sqlite(self, model, schema_editor):
        quote, value = schema_editor.quote_name, schema_editor.quote_value
        fields = [f for f in model._meta.local_concrete_fields if f.name not in self.without]
        for kind, (row, before, after, differs) in _kept(fields, quote, value).items():
            yield from trigger(
                schema_editor,
                model,
                f"{self.name}_{kind}",
                SQLITE,
                event=EVENTS[kind],
                differs=differs,
                columns=COLUMNS,
                row=row,
                clinic=quote(clinic_column(model)),
                of=value(model._meta.db_table.removeprefix("new__")),  # while SQLite rebuilds it
                pk=quote(model._meta.pk.column),
                kind=kind,
                before=before,
                after=after,
            )


class OnlyEmptied(Triggers):
    """Of a row that stays, these columns can be emptied together, and hold nothing else than before."""

    arguments = ("columns",)

    def _breaks(self, model, schema_editor, differs) -> str:
        named = [schema_editor.quote_name(model._meta.get_field(c).column) for c in self.columns]
        differ = " OR ".join(f"OLD.{c} {differs} NEW.{c}" for c in named)
        return f"({differ}) AND ({' OR '.join(f'NEW.{c} IS NOT NULL' for c in named)})"

    def on_sqlite(self, model, schema_editor):
        yield from trigger(
            schema_editor,
            model,
            self.name,
            "BEFORE UPDATE ON %(table)s FOR EACH ROW WHEN %(breaks)s "
            "BEGIN SELECT RAISE(ABORT, %(message)s); END",
            breaks=self._breaks(model, schema_editor, "IS NOT"),
            message=schema_editor.quote_value(self.name),
        )

    def on_postgresql(self, model, schema_editor):
        quote = schema_editor.quote_name
        yield Statement(
            "CREATE OR REPLACE FUNCTION %(function)s() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
            "RAISE EXCEPTION '%(plain)s' USING ERRCODE = 'check_violation', CONSTRAINT = '%(plain)s'; "
            "END $$; DROP TRIGGER IF EXISTS %(name)s ON %(table)s; "
            "CREATE TRIGGER %(name)s BEFORE UPDATE ON %(table)s FOR EACH ROW WHEN (%(breaks)s) "
            "EXECUTE FUNCTION %(function)s()",
            function=quote(f"refuse_{self.name}"),
            plain=self.name,
            name=quote(self.name),
            table=Table(model._meta.db_table, quote),
            breaks=self._breaks(model, schema_editor, "IS DISTINCT FROM"),
        )


EVENTS = {"added": "INSERT", "changed": "UPDATE", "removed": "DELETE"}


def clinic_column(model) -> str:
    """The column that says which clinic a row belongs to; of the clinic itself, its own number."""
    if model._meta.db_table.removeprefix("new__") == "clinic_clinic":  # while SQLite rebuilds it
        return model._meta.pk.column
    return model._meta.get_field("clinic").column


def _kept(fields, quote, value) -> dict[str, tuple[str, str, str, str]]:
    """SQL by kind of change: the row it is about, what is kept as before and after, and when it counts."""
    columns = [quote(field.column) for field in fields]
    was, now = (_as_json(fields, row, quote, value) for row in ("OLD", "NEW"))
    unchanged = ", ".join(
        f"CASE WHEN OLD.{c} IS NEW.{c} THEN '$.{c}' ELSE '$.\"-\"' END" for c in columns
    )
    return {
        "added": ("NEW", "NULL", "NULL", "1"),
        "changed": (
            "NEW",
            f"json_remove({was}, {unchanged})",
            f"json_remove({now}, {unchanged})",
            " OR ".join(f"OLD.{c} IS NOT NEW.{c}" for c in columns),
        ),
        "removed": ("OLD", was, "NULL", "1"),
    }


def _as_json(fields, row, quote, value) -> str:
    """SQL for a row as a JSON object, with truth and JSON as PostgreSQL writes them."""
    parts = []
    for field in fields:
        column = f"{row}.{quote(field.column)}"
        if isinstance(field, models.JSONField):
            column = f"json({column})"
        if isinstance(field, models.BooleanField):
            column = f"CASE {column} WHEN 1 THEN json('true') WHEN 0 THEN json('false') END"
        parts.append(f"{value(field.column)}, {column}")
    return f"json_object({', '.join(parts)})"


SQLITE = (
    "AFTER %(event)s ON %(table)s FOR EACH ROW WHEN %(differs)s BEGIN "
    'INSERT INTO "clinic_change" (%(columns)s) VALUES (%(row)s.%(clinic)s, '
    "strftime('%%Y-%%m-%%d %%H:%%M:%%f', 'now'), clinic_actor(), clinic_request(), "
    "%(of)s, %(row)s.%(pk)s, '%(kind)s', %(before)s, %(after)s); END"
)
POSTGRESQL = """
CREATE OR REPLACE FUNCTION write_change() RETURNS trigger LANGUAGE plpgsql SET timezone = 'UTC' AS $$
DECLARE
  acting text := COALESCE(current_setting('clinic.acting', true), '');
  row_now record := CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
  of_clinic bigint;
  was jsonb; now_is jsonb; before jsonb; after jsonb;
BEGIN
  IF TG_OP <> 'INSERT' THEN was := to_jsonb(OLD) - TG_ARGV[1:]; END IF;
  IF TG_OP = 'UPDATE' THEN
    now_is := to_jsonb(NEW) - TG_ARGV[1:];
    IF was = now_is THEN RETURN NULL; END IF;
    SELECT jsonb_object_agg(key, value), jsonb_object_agg(key, now_is -> key) INTO before, after
      FROM jsonb_each(was) WHERE value <> now_is -> key;
  ELSE
    before := was;
  END IF;
  IF TG_ARGV[0] = 'id' THEN of_clinic := row_now.id; ELSE of_clinic := row_now.clinic_id; END IF;
  INSERT INTO clinic_change (%(columns)s) VALUES (
    of_clinic, now(), NULLIF(split_part(acting, '/', 1), '')::bigint, split_part(acting, '/', 2),
    TG_TABLE_NAME, row_now.id,
    CASE TG_OP WHEN 'INSERT' THEN 'added' WHEN 'UPDATE' THEN 'changed' ELSE 'removed' END, before, after);
  RETURN NULL;
END $$;
DROP TRIGGER IF EXISTS %(name)s ON %(table)s;
CREATE TRIGGER %(name)s AFTER INSERT OR UPDATE OR DELETE ON %(table)s
  FOR EACH ROW EXECUTE FUNCTION write_change(%(arguments)s)
"""
