"""The one writer of rows: each column by its unit, in the caller's units.

A table is written column by column, and a length that was written once is not written again: both
are what makes a long table cheap.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache, partial
from operator import attrgetter
from typing import Annotated, Any, Final, TypeAlias, get_args, get_origin

from service.report.scale import Scale, scale_of
from service.schemas.columns import (
    AMOUNT,
    AREA,
    COST,
    DIGITS,
    LENGTH,
    PIECE,
    PLACE,
    RULED,
    VOLUME,
    WEIGHT,
    WORDED,
    Column,
    Unit,
    columns_of,
    is_optional,
    is_record,
    optional,
    own_unit,
    unit_of,
)
from service.takeoff.lasting import Names, lasting
from service.takeoff.pipeline import Takeoff
from service.units.once import once

Write: TypeAlias = Callable[[Any], Any]


class _Lengths(dict[int | None, float | None]):
    """Lengths as they are written, by their ticks; each is reckoned once, and none stays none."""

    def __init__(self, scale: Scale) -> None:
        self._length = scale.length
        self[None] = None

    def __missing__(self, ticks: int) -> float:
        length = self[ticks] = self._length(ticks)
        return length


class _Spans(dict[tuple[int, ...], list[float | None]]):
    """The same of several lengths in their order, by all of them: pieces are often alike."""

    def __init__(self, lengths: _Lengths) -> None:
        self._lengths = lengths

    def __missing__(self, ticks: tuple[int, ...]) -> list[float | None]:
        span = self[ticks] = [self._lengths[one] for one in ticks]
        return span


class Writer:
    """Writes the rows of one answer, in its unit and currency; `name` gives each piece's own id."""

    def __init__(self, unit: str, currency: str | None, name: Callable[[], Names] = dict) -> None:
        self.scale = scale_of(unit)
        self._currency = currency
        self._name = name
        self.lengths = _Lengths(self.scale)
        self.spans = _Spans(self.lengths)

    @property
    def units(self) -> dict[str, str | None]:
        """What the numbers of the answer are in."""
        return {
            "length": self.scale.unit,
            "area": self.scale.area_unit,
            "weight": self.scale.weight_unit,
            "volume": self.scale.volume_unit,
            "money": self._currency,
        }

    @once
    def names(self) -> Names:
        """The lasting id of each piece."""
        return self._name()

    def rows(self, record: type, rows: Iterable[Any]) -> list[dict[str, Any]]:
        """Rows of a table as plain values, in their order."""
        own = rows if isinstance(rows, tuple) else tuple(rows)
        if not own:
            return []
        names, columns = _columns(record)
        values = [write(self, own) for write in columns]
        return [dict(zip(names, row, strict=False)) for row in zip(*values, strict=True)]


def writer_of(takeoff: Takeoff) -> Writer:
    """Writes the rows of a takeoff."""
    return Writer(takeoff.job.unit, takeoff.job.currency, partial(lasting, takeoff))


Rows: TypeAlias = Sequence[Any]
WriteColumn: TypeAlias = Callable[[Writer, Rows], Iterable[Any]]


@cache
def _columns(record: type) -> tuple[tuple[str, ...], tuple[WriteColumn, ...]]:
    """The names of a table's columns, and what writes the values of each, row by row."""
    columns = columns_of(record)
    return tuple(one.name for one in columns), tuple(map(_column, columns))


def _column(column: Column) -> WriteColumn:
    read, unit, bound = column.read, column.unit, _writing(column.shape)
    if unit in _BY_ROW:
        return lambda writer, rows: map(
            partial(_BY_ROW[unit], writer.lengths), map(read, rows), map(_MEASURED, rows)
        )
    if bound is None:
        return lambda writer, rows: map(read, rows)
    return lambda writer, rows: map(bound(writer), map(read, rows))


_MEASURED: Final = attrgetter("measured_in")


def _cost(lengths: Mapping[int, float], value: str | int | None, measured_in: str) -> float | None:
    """A cost as a number: money, a count, or a length in the caller's unit."""
    if value is None:
        return None
    return lengths[int(value)] if measured_in == "length" else float(value)


def _amount(lengths: Mapping[int, float], value: int, measured_in: str) -> float:
    """A length in the caller's unit, or a whole number."""
    return lengths[value] if measured_in == "length" else value


_BY_ROW: Final[Mapping[Unit | None, Callable[..., Any]]] = {COST: _cost, AMOUNT: _amount}

_BY_UNIT: Final[Mapping[Unit, Callable[[Writer], Write]]] = {
    LENGTH: lambda writer: writer.lengths.__getitem__,
    PLACE: lambda writer: lambda numbers: [writer.lengths[one] for one in numbers],
    AREA: lambda writer: writer.scale.area,
    WEIGHT: lambda writer: writer.scale.weight,
    VOLUME: lambda writer: writer.scale.volume,
    DIGITS: lambda _: str,
    PIECE: lambda writer: writer.names.__getitem__,
    RULED: lambda writer: writer.scale.value,
    WORDED: lambda writer: lambda text: text(writer.scale.unit),
}
"""How values of a unit are written; of all others as they are."""


Bound: TypeAlias = Callable[[Writer], Write]
"""What writes a value, once the writer is there."""


def _writing(shape: Any) -> Bound | None:
    """How the values of a type are written; None where they are as they are."""
    if is_optional(shape):
        inner = _writing(optional(shape))
        return inner if unit_of(shape) is LENGTH else _or_none(inner)
    if get_origin(shape) is Annotated:
        unit = own_unit(shape)
        if unit is None:
            return _writing(get_args(shape)[0])
        return _BY_UNIT.get(unit)
    if get_origin(shape) is tuple:
        return _each(get_args(shape)[0])
    if is_record(shape):
        return lambda writer: lambda row: writer.rows(shape, (row,))[0]
    return None


def _or_none(inner: Bound | None) -> Bound | None:
    if inner is None:
        return None

    def bound(writer: Writer) -> Write:
        write = inner(writer)
        return lambda value: None if value is None else write(value)

    return bound


def _each(shape: Any) -> Bound:
    """How several values of a type are written."""
    if unit_of(shape) is LENGTH:
        return lambda writer: writer.spans.__getitem__
    inner = _writing(shape)
    if inner is None:
        return lambda _: list

    def bound(writer: Writer) -> Write:
        write = inner(writer)
        return lambda values: list(map(write, values))

    return bound
