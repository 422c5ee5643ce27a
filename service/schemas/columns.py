"""What the columns of the answer's tables are made of: a table is one record, stated once.

A row is a frozen, keyword-only dataclass. Each member says with its type what it measures and how
it is written (a `Unit`), and beside it what it is:

    near: Annotated[Length, "Station of the edge nearer to the start."]

The JSON row, the published schema and the columns of CSV all derive from that, in the order of the
class. Inside, lengths are ticks and areas half square ticks; they are scaled when they are written.
What follows from other members is `computed`, and `Inside` is what no caller sees.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, reduce
from operator import attrgetter, or_
from types import UnionType
from typing import (
    Annotated,
    Any,
    ClassVar,
    Final,
    Protocol,
    TypeAlias,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

from service.errors import JsonValue
from service.geometry.rings import Point
from service.schemas.answer import OperationRow

T = TypeVar("T")


@dataclass(frozen=True, slots=True, eq=False)
class Unit:
    """What a member measures. `told` is its name in the published schema (`x-unit`), if any.

    `json` is the type of what is written, where that is not the record's own. Of a unit `by_row`
    the row's `measured_in` says what the value is in.
    """

    told: str | None = None
    json: Any = None
    by_row: bool = False


PLAIN: Final = Unit()
LENGTH: Final = Unit("length", float)
PLACE: Final = Unit("length", list[float])
AREA: Final = Unit("area", float)
WEIGHT: Final = Unit("weight", float)
VOLUME: Final = Unit("volume", float)
MONEY: Final = Unit("money")
PERCENT: Final = Unit("percent")
DEGREES: Final = Unit("degrees")
TICKS: Final = Unit("ticks")
DIGITS: Final = Unit("half_square_ticks", str)
HALF_SQUARE_TICKS: Final = Unit("half_square_ticks")
COST: Final = Unit("measured_in", float, by_row=True)
AMOUNT: Final = Unit("measured_in", float, by_row=True)
RULED: Final = Unit(None, Any)
WORDED: Final = Unit(None, str)
PIECE: Final = Unit(None, str)
PATCH: Final = Unit(None, list[OperationRow])
INSIDE: Final = Unit()

Text: TypeAlias = Annotated[str, PLAIN]
Count: TypeAlias = Annotated[int, PLAIN]
Flag: TypeAlias = Annotated[bool, PLAIN]
Number: TypeAlias = Annotated[float, PLAIN]
Length: TypeAlias = Annotated[int, LENGTH]
"""Ticks."""

Place: TypeAlias = Annotated[Point, PLACE]
"""Two lengths."""

Rings: TypeAlias = tuple[tuple[Place, ...], ...]
Box: TypeAlias = Annotated[tuple[int, int, int, int], PLACE]
"""Low corner along and across, then length and width."""

Area: TypeAlias = Annotated[int, AREA]
"""Twice the area in square ticks."""

Exact: TypeAlias = Annotated[int, DIGITS]
"""Twice the area in square ticks, written as digits."""

Weight: TypeAlias = Annotated[Fraction, WEIGHT]
"""Pounds, exact."""

Volume: TypeAlias = Annotated[int | Fraction, VOLUME]
"""Cubic ticks."""

Money: TypeAlias = Annotated[float, MONEY]
Percent: TypeAlias = Annotated[float, PERCENT]
Degrees: TypeAlias = Annotated[float, DEGREES]
Cost: TypeAlias = Annotated[str | int, COST]
"""Money as a decimal string, a count, or ticks: as `measured_in` of the row says."""

Amount: TypeAlias = Annotated[int, AMOUNT]
"""A count that stays a whole number, or ticks: as `measured_in` of the row says."""

Ruled: TypeAlias = Annotated[JsonValue, RULED]
"""A value of a rule; `Ticks` in it are lengths."""


class InUnit(Protocol):
    """A text that is written in a unit of length."""

    def __call__(self, unit: str) -> str:
        """The text in the `unit` of a request."""


Worded: TypeAlias = Annotated[InUnit, WORDED]
PieceId: TypeAlias = Annotated[str, PIECE]
"""Names a piece; in the answer by where it lies (21.1)."""

Patch: TypeAlias = Annotated[list[dict[str, Any]], PATCH]
"""Operations of RFC 6902."""

Inside: TypeAlias = Annotated[T, INSIDE]
"""Not in the answer."""


@dataclass(frozen=True, slots=True)
class Named:
    """The name in the answer of a member that Python cannot call so, or that is computed there."""

    name: str


@dataclass(frozen=True, slots=True)
class Computed:
    """A member that follows from the others; `of` gives it for a row."""

    of: Callable[[Any], Any]

    def __get__(self, row: object, owner: type) -> Any:
        """The member of `row`."""
        return self if row is None else self.of(row)


def computed(of: Callable[[Any], Any] | str) -> Any:
    """A member that `of` gives for a row, or that stands at `of` in it ("bought.buy").

    It is missing where what holds it is missing.
    """
    return Computed(_at(tuple(of.split("."))) if isinstance(of, str) else of)


def _at(names: Sequence[str]) -> Callable[[Any], Any]:
    def of(row: Any) -> Any:
        for name in names:
            row = None if row is None else getattr(row, name)
        return row

    return of


@dataclass(frozen=True, slots=True)
class Column:
    """One member of a table's rows as it is answered: its name, its type with units, what it is.

    `read` gives the value of a row.
    """

    name: str
    shape: Any
    description: str | None
    read: Callable[[Any], Any]

    @property
    def unit(self) -> Unit | None:
        """The unit of its one value, which may be missing; None where it is a list or an object."""
        return unit_of(self.shape)

    @property
    def measure(self) -> str | None:
        """What its value measures, or each value of a list, as the published schema tells it."""
        unit = _inmost(self.shape)
        return None if unit is None else unit.told


@cache
def columns_of(record: type) -> tuple[Column, ...]:
    """The columns of a table, in their order; TypeError where a member has no unit."""
    # A value of JSON is made of values of JSON: that name stands in its own type.
    hints = get_type_hints(record, localns={"JsonValue": JsonValue}, include_extras=True)
    return tuple(
        _column(record, member, shape)
        for member, shape in ((member, _bare(hints[member])) for member in record.__annotations__)
        if unit_of(shape) is not INSIDE
    )


def _bare(hint: Any) -> Any:
    """The type of a member that may be of the class, as computed ones are."""
    return get_args(hint)[0] if get_origin(hint) is ClassVar else hint


def _column(record: type, member: str, shape: Any) -> Column:
    if not _measured(shape):
        raise TypeError(f"{record.__qualname__}.{member} has no unit")
    said = _beside(shape)
    name = next((one.name for one in said if isinstance(one, Named)), member)
    text = next((one for one in said if isinstance(one, str)), None)
    own = vars(record).get(member)
    return Column(name, shape, text, own.of if isinstance(own, Computed) else attrgetter(member))


def _beside(shape: Any) -> Sequence[Any]:
    """What is said of a type beside it, the nearest last."""
    return get_args(shape)[1:] if get_origin(shape) is Annotated else ()


def own_unit(shape: Any) -> Unit | None:
    """The unit that a type names itself."""
    return next((one for one in _beside(shape) if isinstance(one, Unit)), None)


def unit_of(shape: Any) -> Unit | None:
    """The unit of a type, or of what may be missing in it."""
    unit = own_unit(shape)
    if unit is not None:
        return unit
    if get_origin(shape) is Annotated:
        return unit_of(get_args(shape)[0])
    return unit_of(optional(shape)) if is_optional(shape) else None


def _inmost(shape: Any) -> Unit | None:
    """The unit of a type, or of what stands in its lists."""
    parts = [one for one in get_args(shape) if one not in (type(None), Ellipsis)]
    return unit_of(shape) or (_inmost(parts[0]) if parts else None)


def is_optional(shape: Any) -> bool:
    """Whether a value of a type may be missing."""
    return get_origin(shape) in (Union, UnionType) and type(None) in get_args(shape)


def optional(shape: Any) -> Any:
    """What a value that may be missing is where it is there."""
    return reduce(or_, (one for one in get_args(shape) if one is not type(None)))


def is_record(shape: Any) -> bool:
    """Whether a type is a record whose members are columns."""
    return isinstance(shape, type) and hasattr(shape, "__dataclass_fields__")


def _measured(shape: Any) -> bool:
    """Whether a type says what all of its values are in."""
    if own_unit(shape) is not None or is_record(shape):
        return True
    parts = [one for one in get_args(shape) if one not in (type(None), Ellipsis)]
    if get_origin(shape) is Annotated:
        return _measured(parts[0])
    return bool(parts) and all(_measured(one) for one in parts)
