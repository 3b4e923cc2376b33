"""How the database tells that a clinic's book has changed, whichever way a row was written."""

from django.db.backends.ddl_references import Statement, Table

from clinic.constraints import DeferredSql, trigger

COUNTER = "clinic_bookrevision"
RAISE = (
    f"INSERT INTO {COUNTER} (clinic_id, number) VALUES (%s, 1) "  # noqa: S608 # nosec B608 # names of our own
    f"ON CONFLICT (clinic_id) DO UPDATE SET number = {COUNTER}.number + 1"
)


class RaisesRevision(DeferredSql):
    """Each change of a row raises the revision of its clinic's book (`clinic.models.BookRevision`).

    On PostgreSQL the count is taken when the transaction commits, once for all that it changed: the counter
    is then the last row to be locked, so two people who book at a time neither wait for each other while
    they work nor deadlock.
    """

    def statements(self, model, schema_editor):
        on_postgresql = schema_editor.connection.vendor == "postgresql"
        write = self._on_postgresql if on_postgresql else self._on_sqlite
        yield from write(model, schema_editor)

    def _on_sqlite(self, model, schema_editor):
        for event, row in (("INSERT", "NEW"), ("UPDATE", "NEW"), ("DELETE", "OLD")):
            yield from trigger(
                schema_editor,
                model,
                f"{self.name}_{event.lower()}",
                "AFTER %(event)s ON %(table)s FOR EACH ROW BEGIN %(count)s; END",
                event=event,
                count=RAISE % f"{row}.clinic_id",
            )

    def _on_postgresql(self, model, schema_editor):
        quote = schema_editor.quote_name
        yield Statement(
            "CREATE OR REPLACE FUNCTION raise_book_revision() RETURNS trigger LANGUAGE plpgsql AS $$ "
            "DECLARE changed text := COALESCE(NEW.clinic_id, OLD.clinic_id)::text; BEGIN "
            # The setting lasts until the transaction ends.
            "IF current_setting('clinic.book_raised', true) IS DISTINCT FROM changed THEN "
            "%(count)s; PERFORM set_config('clinic.book_raised', changed, true); "
            "END IF; RETURN NULL; END $$; "
            "CREATE CONSTRAINT TRIGGER %(name)s AFTER INSERT OR UPDATE OR DELETE ON %(table)s "
            "DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION raise_book_revision()",
            name=quote(self.name),
            table=Table(model._meta.db_table, quote),
            count=RAISE % "changed::bigint",
        )

    def remove_sql(self, model, schema_editor):
        # Only PostgreSQL comes here: SQLite rebuilds the table without the triggers.
        return Statement(
            "DROP TRIGGER %(name)s ON %(table)s",
            name=schema_editor.quote_name(self.name),
            table=Table(model._meta.db_table, schema_editor.quote_name),
        )
