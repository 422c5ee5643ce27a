"""What the sheets of a workbook hold: the tables of a flat answer, and what it says besides."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias

from service.report.tables.csv_table import named
from service.schemas.columns import Column, columns_of
from service.units.folding import folded

Answer: TypeAlias = Mapping[str, Any]
Units: TypeAlias = Mapping[str, str | None]


class AnyTable(Protocol):
    """A table of any answer, as its catalogue lists it."""

    @property
    def name(self) -> str:
        """Its member of the flat answer."""

    @property
    def record(self) -> type:
        """The record of its rows."""

    @property
    def totals(self) -> tuple[str, ...]:
        """Its columns whose values add up to something."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """One table with rows, to stand on a sheet called `name`; its columns are headed by `heads`.

    `totals` gives each column that has one the sum of what is known in it.
    """

    name: str
    columns: Sequence[Column]
    heads: Sequence[str]
    rows: Sequence[Mapping[str, Any]]
    totals: Mapping[str, float]

    @property
    def is_partly_known(self) -> bool:
        """Whether a total leaves out a row whose value is not known."""
        return any(row[name] is None for name in self.totals for row in self.rows)


def leaves(answer: Answer, tables: Sequence[AnyTable], prefix: str = "") -> Iterator[Leaf]:
    """The tables of an answer that have rows, in their order."""
    for table in tables:
        held = answer.get(table.name) or []
        rows = [held] if isinstance(held, Mapping) else held
        if rows:
            yield _leaf(prefix + table.name, table, rows, answer["units"])


def _leaf(name: str, table: AnyTable, rows: Sequence[Any], units: Units) -> Leaf:
    columns = columns_of(table.record)
    known = {one: [row[one] for row in rows if row[one] is not None] for one in table.totals}
    totals = {one: folded(values) for one, values in known.items() if values}
    return Leaf(name, columns, [named(one, units) for one in columns], rows, totals)


def said(answer: Answer, tables: Collection[str], at: str = "") -> Iterator[tuple[str, Any]]:
    """What an answer says that is in none of its `tables`: where it stands in it, and each value.

    What is missing is left out.
    """
    for name, value in answer.items():
        if name in tables or value is None:
            continue
        if isinstance(value, Mapping):
            yield from said(value, (), f"{at}{name}.")
        elif isinstance(value, list):
            yield from ((f"{at}{name}", one) for one in value)
        else:
            yield f"{at}{name}", value
