"""Whether each row that one statement reads or changes is tied to a clinic: a judgment of its SQL.

A table is tied where its rows are picked by a key that the request knows already: the clinic of whoever is
signed in, or a row that came from a tied table before. Tables that are joined by such keys are tied together.
The SQL is read by sqlglot, a parser that knows nothing of Django.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache

import sqlglot
from django.apps import apps
from django.db import models
from sqlglot import exp

APPS = {"clinic", "cases", "assessments", "rehab"}
PLACES = re.compile(r"%s|%%")
# Around a column these say nothing less than the column itself.
AROUND = (exp.Paren, exp.Alias, exp.Cast, exp.Max, exp.Min, exp.Distinct, exp.Subquery)


def keys_of_tables() -> dict[str, dict[str, str]]:
    """Each column that is a key, by its table: whose key it is."""
    ours = (one for one in apps.get_models(include_auto_created=True))
    return {
        model._meta.db_table: dict(_keys_of(model))
        for model in ours
        if model._meta.app_label in APPS
    }


def _keys_of(model: type[models.Model]) -> Iterator[tuple[str, str]]:
    for column in model._meta.concrete_fields:
        if column.is_relation:
            yield column.column, column.related_model._meta.db_table
        elif column.primary_key:
            yield column.column, model._meta.db_table


@cache
def parsed(sql: str, dialect: str) -> exp.Expression:
    """The statement, its places for values named p0, p1 and so on."""
    numbers = iter(range(sql.count("%")))
    named = PLACES.sub(lambda found: "%" if found[0] == "%%" else f":p{next(numbers)}", sql)
    return sqlglot.parse_one(named, read=dialect)


@dataclass(eq=False)
class Source:
    """A table in a FROM, a JOIN or an UPDATE; two of one name are two."""

    table: str


@dataclass(frozen=True)
class Condition:
    """What holds for every row; one of an outer join, only where the table that it brings has a row."""

    holds: exp.Expression
    brings: Source | None = None


@dataclass
class Scope:
    """What the names in one query stand for (None: no table of ours), and which tables are tied in it."""

    names: Mapping[str, Source | None]
    conditions: list[Condition]
    tied: set[Source] = field(default_factory=set)
    there: set[Source] = field(default_factory=set)  # tied by what leaves out rows without it


@dataclass
class Judgment:
    """One statement with its values: the tables that are tied to nothing, and what its rows bring."""

    keys: dict[str, dict[str, str]]
    secrets: frozenset[tuple[str, str]]  # columns whose values only those have whom the row is for
    known: dict[str, set]
    values: tuple
    untied: set[str] = field(default_factory=set)

    def of(self, statement: exp.Expression) -> list[str | None]:
        """Judge the statement; return whose key each column of its rows is, where its table is tied."""
        if isinstance(statement, exp.Query):
            return self._query(statement, None)
        if isinstance(statement, exp.Insert):
            if isinstance(statement.expression, exp.Query):
                self._query(statement.expression, None)
            table = statement.this.find(exp.Table)
            scope = self._scope(None, [table], [])
            scope.tied = {source for source in scope.names.values() if source}
        else:
            scope = self._scope(None, [statement.this], [_where(statement)])
            self._finish(scope, statement)
        returning = statement.args.get("returning")
        return [self._key(one, scope) for one in (returning.expressions if returning else [])]

    def _query(self, query: exp.Query, outer: Scope | None) -> list[str | None]:
        if isinstance(query, exp.Subquery):
            return self._query(query.this, outer)
        if isinstance(query, exp.SetOperation):
            sides = [self._query(side, outer) for side in (query.left, query.right)]
            return [one if one == other else None for one, other in zip(*sides, strict=True)]
        return self._select(query, outer)

    def _select(self, select: exp.Select, outer: Scope | None, same_as: str | None = None):
        """`same_as`: whose key its one column is held against, where that table outside is tied."""
        for shared in select.ctes:
            self._query(shared.this, None)
        scope = self._select_scope(select, outer)
        if same_as:
            found = self._column(select.expressions[0], scope)
            scope.tied |= {found[0]} if found and found[1] == same_as else set()
        self._finish(scope, select)
        return [self._key(column, scope) for column in select.expressions]

    def _select_scope(self, select: exp.Select, outer: Scope | None) -> Scope:
        first, joins = select.args.get("from_"), select.args.get("joins") or []
        tables = ([first.this] if first else []) + [join.this for join in joins]
        scope = self._scope(outer, tables, [_where(select)])
        for join in joins:
            brings = scope.names[join.this.alias_or_name] if join.side else None
            if on := join.args.get("on"):
                scope.conditions.append(Condition(on, brings))
        return scope

    def _scope(self, outer: Scope | None, tables: list, conditions: list) -> Scope:
        names = {
            table.alias_or_name: Source(table.name)
            if isinstance(table, exp.Table) and table.name in self.keys
            else None
            for table in tables
        }
        holding = [Condition(one) for one in conditions if one is not None]
        around = (outer.names, outer.tied) if outer else ({}, set())
        return Scope({**around[0], **names}, holding, set(around[1]), set(around[1]))

    def _finish(self, scope: Scope, statement: exp.Expression) -> None:
        """Settle what is tied, then judge the queries inside by it."""
        self._settle(scope)
        named = {one for one in scope.names.values() if one}
        self.untied |= {one.table for one in named - scope.tied}
        for query in _nested(statement):
            held = self._held_against(query, scope)
            if isinstance(query, exp.Select):
                self._select(query, scope, held)
            else:
                self._query(query, scope)

    def _held_against(self, query: exp.Query, scope: Scope) -> str | None:
        """Whose key a query after IN is asked for, where the table of the key is tied."""
        around = query.parent
        while isinstance(around, exp.Subquery):
            around = around.parent
        return self._key(around.this, scope) if isinstance(around, exp.In) else None

    def _settle(self, scope: Scope) -> None:
        """Tie what the conditions tie, until they tie no more."""
        before = -1
        while before != len(scope.tied) + len(scope.there):
            before = len(scope.tied) + len(scope.there)
            for condition in scope.conditions:
                new = self._ties(condition.holds, scope)
                if condition.brings is None or condition.brings in scope.there:
                    scope.tied |= new
                    scope.there |= new
                else:
                    scope.tied |= new & {condition.brings}

    def _ties(self, condition: exp.Expression, scope: Scope) -> set[Source]:
        """What is tied where the condition holds."""
        match condition:
            case exp.Paren():
                return self._ties(condition.this, scope)
            case exp.And():
                return self._ties(condition.left, scope) | self._ties(condition.right, scope)
            case exp.Or():
                return self._either(condition, scope)
            case exp.EQ():
                one, other = condition.left, condition.right
                return self._picks(one, [other], scope) | self._picks(other, [one], scope)
            case exp.In():
                query = condition.args.get("query")
                by = [query] if query else condition.expressions
                return self._picks(condition.this, by, scope)
        return set()

    def _either(self, condition: exp.Or, scope: Scope) -> set[Source]:
        """What each of the two ties, together with all else that holds."""
        both = []
        for side in (condition.left, condition.right):
            others = [one for one in scope.conditions if condition not in one.holds.walk()]
            alone = Scope(
                scope.names, [*others, Condition(side)], set(scope.tied), set(scope.there)
            )
            self._settle(alone)
            both.append(alone.tied)
        return both[0] & both[1]

    def _picks(self, one: exp.Expression, by: list, scope: Scope) -> set[Source]:
        """The table of the column `one`, where each that it may equal is a key that ties it."""
        found = self._column(one, scope)
        if found is None:
            return set()
        source, key = found
        if (source.table, _bare(one).name) in self.secrets:
            return {source}
        return {source} if key and all(self._is_known(key, other, scope) for other in by) else set()

    def _is_known(self, key: str, other: exp.Expression, scope: Scope) -> bool:
        if isinstance(_bare(other), exp.Column | exp.Query):
            return self._key(other, scope) == key
        return isinstance(other, exp.Null) or self._value(_bare(other)) in self.known.get(key, ())

    def _value(self, place: exp.Expression):
        if isinstance(place, exp.Placeholder):
            return self.values[int(place.name[1:])]
        if isinstance(place, exp.Literal):
            return int(place.name) if place.is_int else place.name
        return None

    def _column(self, column: exp.Expression, scope: Scope) -> tuple[Source, str | None] | None:
        """The table that a column is of, and whose key it is."""
        column = _bare(column)
        if not isinstance(column, exp.Column):
            return None
        only = [one for one in scope.names.values() if one]
        named = scope.names.get(column.table) if column.table else (only or [None])[-1]
        return (named, self.keys[named.table].get(column.name)) if named else None

    def _key(self, column: exp.Expression, scope: Scope) -> str | None:
        """Whose key the column is, where the table that it is of is tied."""
        column = _bare(column)
        if isinstance(column, exp.Query):
            inside = Judgment(self.keys, self.secrets, self.known, self.values)
            return inside._query(column, scope)[0]
        found = self._column(column, scope)
        return found[1] if found and found[0] in scope.tied else None


def _where(statement: exp.Expression) -> exp.Expression | None:
    where = statement.args.get("where")
    return where.this if where else None


def _bare(column: exp.Expression) -> exp.Expression:
    while isinstance(column, AROUND):
        column = column.this
    return column


def _nested(statement: exp.Expression) -> Iterator[exp.Query]:
    """The queries directly inside a statement."""
    waiting = list(statement.iter_expressions())
    while waiting:
        node = waiting.pop()
        if isinstance(node, exp.Select | exp.SetOperation):
            yield node
        elif not isinstance(node, exp.CTE):
            waiting += node.iter_expressions()
