"""Each table of the answer is stated once: a record with a unit on every member."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Annotated, ClassVar, Literal

import pytest

from service.report.tables.catalogue import TABLES, Table
from service.schemas.columns import Inside, Length, Text, columns_of, computed, own_unit
from service.schemas.published import model_of

each_table = pytest.mark.parametrize("table", TABLES, ids=lambda one: one.name)


@each_table
def test_a_table_is_a_frozen_record_built_by_keyword(table: Table) -> None:
    told = table.record.__dataclass_params__  # type: ignore[attr-defined]  # of any dataclass
    assert told.frozen
    assert all(field.kw_only for field in fields(table.record))
    assert table.record.__doc__


@each_table
def test_each_member_has_a_unit_and_a_published_shape(table: Table) -> None:
    columns = columns_of(table.record)
    assert columns
    names = [column.name for column in columns]
    assert len(set(names)) == len(names)
    assert list(model_of(table.record).model_fields) == names


@each_table
def test_what_is_published_is_handed_over_computed_or_kept_inside(table: Table) -> None:
    """Every field of the record is a column, or is marked as no caller's business."""
    hidden = len(table.record.__annotations__) - len(columns_of(table.record))
    marked = [text for text in table.record.__annotations__.values() if "Inside[" in str(text)]
    assert hidden == len(marked)


def test_a_member_without_a_unit_is_refused_by_name() -> None:
    @dataclass(frozen=True, slots=True, kw_only=True)
    class Wrong:
        """A row with a bare number."""

        near: Length
        far: int

    with pytest.raises(TypeError, match=r"Wrong\.far has no unit"):
        columns_of(Wrong)


def test_lists_and_words_need_a_unit_too() -> None:
    @dataclass(frozen=True, slots=True, kw_only=True)
    class Wrong:
        """A row with a bare list."""

        cuts: tuple[int, ...]

    @dataclass(frozen=True, slots=True, kw_only=True)
    class Worse:
        """A row with bare words."""

        look: Literal["plain", "fine"]

    for record in (Wrong, Worse):
        with pytest.raises(TypeError, match="has no unit"):
            columns_of(record)


def test_what_is_computed_stands_in_its_place() -> None:
    @dataclass(frozen=True, slots=True, kw_only=True)
    class Row:
        """A row with a member that follows from others, between them."""

        low: Length
        length: ClassVar[Annotated[Length, "How long."]] = computed(lambda row: row.high - row.low)
        high: Length
        hidden: Inside[int]
        note: Text

    row = Row(low=2, high=5, hidden=9, note="a")
    assert [column.name for column in columns_of(Row)] == ["low", "length", "high", "note"]
    assert [column.read(row) for column in columns_of(Row)] == [2, 3, 5, "a"]
    assert columns_of(Row)[1].description == "How long."
    assert own_unit(columns_of(Row)[1].shape) is not None
