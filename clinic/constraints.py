"""Rules that the database itself keeps, on PostgreSQL and on SQLite, from one line in a model's Meta.

They are Django constraints, so migrations create them, and create them again when SQLite's schema editor
rebuilds a table (which silently drops plain triggers). All raise IntegrityError with the rule's name in it.
"""

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField
from django.core.exceptions import ValidationError
from django.db import DEFAULT_DB_ALIAS
from django.db.backends.ddl_references import Statement, Table
from django.db.models import BaseConstraint, F, Func, Q


def trigger(schema_editor, model, name, template, **parts):
    """Yield the statements that make a trigger on SQLite, in place of one of that name."""
    quote = schema_editor.quote_name
    yield f"DROP TRIGGER IF EXISTS {quote(name)}"
    table = Table(model._meta.db_table, quote)
    yield Statement(f"CREATE TRIGGER %(name)s {template}", name=quote(name), table=table, **parts)


class DeferredSql(BaseConstraint):
    """A constraint that is written after its table exists, by statements that only one vendor understands."""

    arguments: tuple[str, ...] = ()

    def __init__(self, *, name, **kwargs):
        own = {argument: kwargs.pop(argument) for argument in self.arguments if argument in kwargs}
        super().__init__(name=name, **kwargs)
        self.__dict__ |= own

    def deconstruct(self):
        path, args, kwargs = super().deconstruct()
        return (
            path,
            args,
            kwargs | {argument: getattr(self, argument) for argument in self.arguments},
        )

    def __eq__(self, other):
        return type(self) is type(other) and self.deconstruct() == other.deconstruct()

    def __hash__(self):
        return hash(self.name)

    def statements(self, model, schema_editor):
        raise NotImplementedError

    def constraint_sql(self, model, schema_editor):
        if schema_editor.connection.vendor == "sqlite" and not schema_editor.collect_sql:
            schema_editor.deferred_sql.extend(self.lifted(model, schema_editor))
        schema_editor.deferred_sql.extend(self.statements(model, schema_editor))

    def lifted(self, model, schema_editor):
        """Take away other tables' triggers that look at this table, and return what brings them back.

        SQLite is about to rebuild the table and would refuse to rename it while such a trigger stands.
        """
        table = model._meta.db_table.removeprefix("new__")
        with schema_editor.connection.cursor() as cursor:
            cursor.execute(
                "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name <> %s",
                [table],
            )
            looking = [(name, sql) for name, sql in cursor.fetchall() if f'"{table}"' in sql]
        for name, sql in looking:
            schema_editor.execute(f"DROP TRIGGER {schema_editor.quote_name(name)}")
            yield sql.replace("CREATE TRIGGER", "CREATE TRIGGER IF NOT EXISTS", 1)

    def create_sql(self, model, schema_editor):
        # SQLite rebuilds the table, PostgreSQL adds to it; both run what is deferred at the end.
        return self.constraint_sql(model, schema_editor)

    def validate(self, model, instance, exclude=None, using=DEFAULT_DB_ALIAS):
        """Forms do not meet these rules: the pages offer no way to break them."""


class NoOverlap(DeferredSql):
    """Rows with the same `resource` may not overlap in time, save those whose `unless` has its value."""

    arguments = ("resource", "start", "end", "unless")
    TRIGGER = (
        "AFTER %(event)s ON %(table)s FOR EACH ROW WHEN NEW.%(state)s <> %(off)s "
        "BEGIN SELECT RAISE(ABORT, %(message)s) WHERE EXISTS (SELECT 1 FROM %(table)s AS other "
        "WHERE other.%(resource)s = NEW.%(resource)s AND other.%(pk)s IS NOT NEW.%(pk)s "
        "AND other.%(state)s <> %(off)s "
        "AND other.%(start)s < NEW.%(end)s AND other.%(end)s > NEW.%(start)s); END"
    )

    def _exclusion(self):
        period = Func(
            F(self.start), F(self.end), function="tstzrange", output_field=DateTimeRangeField()
        )
        state, off = self.unless
        return ExclusionConstraint(
            name=self.name,
            expressions=[(self.resource, "="), (period, "&&")],
            condition=~Q(**{state: off}),
        )

    def statements(self, model, schema_editor):
        quote, column = schema_editor.quote_name, lambda f: model._meta.get_field(f).column
        state, off = self.unless
        for event in ("INSERT", "UPDATE"):
            yield from trigger(
                schema_editor,
                model,
                f"{self.name}_{event.lower()}",
                self.TRIGGER,
                event=event,
                resource=quote(column(self.resource)),
                start=quote(column(self.start)),
                end=quote(column(self.end)),
                state=quote(column(state)),
                off=schema_editor.quote_value(off),
                pk=quote(model._meta.pk.column),
                message=schema_editor.quote_value(self.name),
            )

    def constraint_sql(self, model, schema_editor):
        if schema_editor.connection.vendor == "postgresql":
            return self._exclusion().constraint_sql(model, schema_editor)
        return super().constraint_sql(model, schema_editor)

    def create_sql(self, model, schema_editor):
        if schema_editor.connection.vendor == "postgresql":
            return self._exclusion().create_sql(model, schema_editor)
        return super().create_sql(model, schema_editor)

    def remove_sql(self, model, schema_editor):
        # Only PostgreSQL comes here: SQLite rebuilds the table without the triggers.
        return self._exclusion().remove_sql(model, schema_editor)

    def validate(self, model, instance, exclude=None, using=DEFAULT_DB_ALIAS):
        state, off = self.unless
        if exclude and {self.resource, self.start, self.end, state} & set(exclude):
            return
        resource, start, end = (
            getattr(instance, field) for field in (self.resource, self.start, self.end)
        )
        if getattr(instance, state) == off or None in (resource, start, end):
            return
        clash = (
            model._default_manager.using(using)
            .filter(**{self.resource: resource, f"{self.start}__lt": end, f"{self.end}__gt": start})
            .exclude(**{state: off})
            .exclude(pk=instance.pk)
        )
        if clash.exists():
            raise ValidationError(
                self.get_violation_error_message(), code=self.violation_error_code
            )


# The table of `clinic.models.Erasure`, by name: the state of a migration may not know the model yet.
ERASING = '"clinic_erasure"'


class LookedAt(DeferredSql):
    """Nothing of its own: lets SQLite rebuild a table that the seals of other tables look at."""

    def statements(self, model, schema_editor):
        return ()

    def remove_sql(self, model, schema_editor):
        return None


class Sealed(DeferredSql):
    """A row can't be changed or deleted once `by` is set, save for the columns in `may_change`.

    `by` names a column of the row itself ("signed_at"), or one reached through its parents
    ("battery.visit.signed_at"); a row under a sealed parent can't be added either. `by=""` seals at once: the
    table is append-only. Each parent needs a constraint of this module of its own, added before those of its
    children: SQLite rebuilds a table only when the triggers that look at it are lifted.

    `erased_with` leads to the patient whom the row is about ("visit.case.patient"; a step may be the reverse
    name of a key). While the record of that patient is being erased, its rows can be deleted and no others:
    see `clinic.models.Erasure`.
    """

    arguments = ("by", "may_change", "erased_with")
    may_change: tuple[str, ...] = ()
    erased_with = ""

    def _sealed_when(self, model, quote, row):
        """Return SQL that is true when `row` (OLD or NEW) is sealed, itself or by a parent."""
        if not self.by:
            return "1 = 1"
        *parents, field = self.by.split(".")
        return self._set(model, row, parents, field, quote)

    def _set(self, model, row, parents, field, quote):
        if not parents:
            return f"{row}.{quote(model._meta.get_field(field).column)} IS NOT NULL"
        link = model._meta.get_field(parents[0])
        parent = link.related_model
        table = quote(parent._meta.db_table)
        inner = self._set(parent, table, parents[1:], field, quote)
        key = f"{table}.{quote(parent._meta.pk.column)} = {row}.{quote(link.column)}"
        return f"EXISTS (SELECT 1 FROM {table} WHERE {key} AND {inner})"  # noqa: S608 # nosec B608 # names of our own models

    def _being_erased(self, model, row, path, quote):
        """Return SQL that is true while the record is erased that `row` belongs to."""
        step, *further = path
        link = model._meta.get_field(step)
        if not further:
            whose = f"{row}.{quote(link.column)}"
            return (
                f"EXISTS (SELECT 1 FROM {ERASING} WHERE patient_key = {whose} AND nowhere_id < 0)"  # noqa: S608 # nosec B608
            )
        other = link.related_model
        table = quote(other._meta.db_table)
        if link.concrete:
            key = f"{table}.{quote(other._meta.pk.column)} = {row}.{quote(link.column)}"
        else:
            key = f"{table}.{quote(link.field.column)} = {row}.{quote(model._meta.pk.column)}"
        inner = self._being_erased(other, table, further, quote)
        return f"EXISTS (SELECT 1 FROM {table} WHERE {key} AND {inner})"  # noqa: S608 # nosec B608 # names of our own models

    def _stays(self, model, quote):
        """Return SQL that is true when a row may not be deleted."""
        sealed = self._sealed_when(model, quote, "OLD")
        if not self.erased_with:
            return sealed
        erased = self._being_erased(model, "OLD", self.erased_with.split("."), quote)
        return f"({sealed}) AND NOT {erased}"

    def _changed(self, model, quote, differs):
        columns = [
            f.column for f in model._meta.local_concrete_fields if f.name not in self.may_change
        ]
        return " OR ".join(f"OLD.{quote(c)} {differs} NEW.{quote(c)}" for c in columns)

    def _events(self, model, quote, differs):
        """Yield (event, condition) for each way to break the seal."""
        yield "DELETE", self._stays(model, quote)
        yield (
            "UPDATE",
            f"({self._sealed_when(model, quote, 'OLD')}) AND ({self._changed(model, quote, differs)})",
        )
        if "." in self.by:
            yield "INSERT", self._sealed_when(model, quote, "NEW")

    def statements(self, model, schema_editor):
        write = (
            self._on_postgresql
            if schema_editor.connection.vendor == "postgresql"
            else self._on_sqlite
        )
        yield from write(model, schema_editor)

    def _on_sqlite(self, model, schema_editor):
        quote = schema_editor.quote_name
        for event, condition in self._events(model, quote, "IS NOT"):
            yield from trigger(
                schema_editor,
                model,
                f"{self.name}_{event.lower()}",
                "BEFORE %(event)s ON %(table)s FOR EACH ROW WHEN %(condition)s "
                "BEGIN SELECT RAISE(ABORT, %(message)s); END",
                event=event,
                condition=condition,
                message=schema_editor.quote_value(self.name),
            )

    def _on_postgresql(self, model, schema_editor):
        quote = schema_editor.quote_name
        tests = "".join(
            f"IF TG_OP = '{event}' THEN IF {condition} THEN RAISE EXCEPTION '{self.name}' "
            f"USING ERRCODE = 'check_violation', CONSTRAINT = '{self.name}'; END IF; END IF; "
            for event, condition in self._events(model, quote, "IS DISTINCT FROM")
        )
        function = quote(f"refuse_{self.name}")
        yield Statement(
            "CREATE OR REPLACE FUNCTION %(function)s() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN %(tests)s"
            "IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW; END $$; "
            "CREATE TRIGGER %(name)s BEFORE INSERT OR UPDATE OR DELETE ON %(table)s "
            "FOR EACH ROW EXECUTE FUNCTION %(function)s(); "
            "CREATE OR REPLACE FUNCTION %(emptying)s() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
            "RAISE EXCEPTION '%(plain)s' USING ERRCODE = 'check_violation', "
            "CONSTRAINT = '%(plain)s'; END $$; "
            "CREATE TRIGGER %(truncate)s BEFORE TRUNCATE ON %(table)s "
            "FOR EACH STATEMENT EXECUTE FUNCTION %(emptying)s()",
            function=function,
            tests=tests,
            name=quote(self.name),
            plain=self.name,
            emptying=quote(f"refuse_{self.name}_truncate"),
            truncate=quote(f"{self.name}_truncate"),
            table=Table(model._meta.db_table, quote),
        )

    def remove_sql(self, model, schema_editor):
        quote = schema_editor.quote_name
        return Statement(
            "DROP TRIGGER %(name)s ON %(table)s; DROP TRIGGER %(truncate)s ON %(table)s",
            name=quote(self.name),
            truncate=quote(f"{self.name}_truncate"),
            table=Table(model._meta.db_table, quote),
        )
