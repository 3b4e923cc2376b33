"""Migration operations for rules that are triggers: off, on, another in their place, and written again."""

from django.db.migrations import AddConstraint, RemoveConstraint
from django.db.migrations.operations.base import Operation


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


def write(rule, model, schema_editor) -> None:
    """Write the triggers of a rule, in place of those that are there."""
    for statement in rule.statements(model, schema_editor):
        schema_editor.execute(statement, None)


class AddTriggers(AddConstraint):
    """Add a rule of `clinic.journal.Triggers` at once: SQLite need not rebuild a table for triggers."""

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        model = to_state.apps.get_model(app_label, self.model_name)
        if self.allow_migrate_model(schema_editor.connection.alias, model):
            write(self.constraint, model, schema_editor)


class WriteTriggersAgain(Operation):
    """Write a rule of `clinic.journal.Triggers` again, to cover a column that was added before."""

    def __init__(self, model_name: str, name: str):
        self.model_name, self.name = model_name, name

    def state_forwards(self, app_label, state):
        """The rule is what it was; what it looks at is another."""

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        model = to_state.apps.get_model(app_label, self.model_name)
        if self.allow_migrate_model(schema_editor.connection.alias, model):
            rule = next(rule for rule in model._meta.constraints if rule.name == self.name)
            write(rule, model, schema_editor)

    database_backwards = database_forwards

    def describe(self):
        return f"Write {self.name} on {self.model_name} again"
