"""Migration operations that take a seal off and put it on again, to cover a column that is new."""

from django.db.migrations import AddConstraint, RemoveConstraint


def _lift(operation, app_label, schema_editor, state) -> None:
    """Keep other tables' triggers out of the way while SQLite rebuilds the table without its seal."""
    if schema_editor.connection.vendor != "sqlite" or schema_editor.collect_sql:
        return
    model = state.apps.get_model(app_label, operation.model_name)
    rule = next(rule for rule in model._meta.constraints if rule.name == operation.name)
    schema_editor.deferred_sql.extend(rule.lifted(model, schema_editor))


class Unseal(RemoveConstraint):
    """Take the seal off a table that others' seals look at."""

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        _lift(self, app_label, schema_editor, from_state)
        super().database_forwards(app_label, schema_editor, from_state, to_state)


class Seal(AddConstraint):
    """Put a seal on."""

    @property
    def name(self) -> str:
        return self.constraint.name

    def database_backwards(self, app_label, schema_editor, from_state, to_state):
        _lift(self, app_label, schema_editor, from_state)
        super().database_backwards(app_label, schema_editor, from_state, to_state)
