"""Migration operations that take a seal off and put it on again, or write another in its place."""

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


class Reseal(AddConstraint):
    """Write another rule in place of a seal, by the same name; the table itself stays untouched."""

    def state_forwards(self, app_label, state):
        state.remove_constraint(app_label, self.model_name_lower, self.constraint.name)
        super().state_forwards(app_label, state)

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        self._rewrite(app_label, schema_editor, to_state)

    def database_backwards(self, app_label, schema_editor, from_state, to_state):
        # Django hands over the state to go back to as the second one.
        self._rewrite(app_label, schema_editor, to_state)

    def _rewrite(self, app_label, schema_editor, state):
        model = state.apps.get_model(app_label, self.model_name)
        rule = next(one for one in model._meta.constraints if one.name == self.constraint.name)
        if schema_editor.connection.vendor == "postgresql":
            schema_editor.execute(rule.remove_sql(model, schema_editor))
        for statement in rule.statements(model, schema_editor):
            schema_editor.execute(statement)


class Seal(AddConstraint):
    """Put a seal on."""

    @property
    def name(self) -> str:
        return self.constraint.name

    def database_backwards(self, app_label, schema_editor, from_state, to_state):
        _lift(self, app_label, schema_editor, from_state)
        super().database_backwards(app_label, schema_editor, from_state, to_state)
