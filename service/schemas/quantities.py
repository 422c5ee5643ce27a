"""Lengths, counts, shares and money as a request writes them, read exactly.

A length is a number in the request's declared unit or a string in the trade's own writing
(`schemas.written`).

Every validator needs the context `{"unit": name}`; lengths come out as ticks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, Field, PlainValidator, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError, core_schema

from service.schemas.written import (
    DECIMAL,
    FACTORS,
    SPELLINGS,
    WRITTEN,
    read_length,
)
from service.units.ticks import KILOGRAM_PER_CUBIC_METRE, LONGEST, METRIC, MM, whole


def wrong(message: str, place: int | None = None) -> PydanticCustomError:
    """The fault of a quantity that cannot be taken, or of that at a place in a list, to raise."""
    return PydanticCustomError("length", "{reason}", {"reason": message, "place": place})


def length_of(value: Any, info: ValidationInfo) -> int:
    """Ticks of a JSON number in the declared unit, or of a written length, of any size.

    Raises the fault of what is no length.
    """
    context: dict[str, str] = info.context or {}
    return length_in(value, context.get("unit", "in"))


def length_in(value: Any, unit: str) -> int:
    """The same of a number in `unit`."""
    if isinstance(value, str):
        try:
            return read_length(value)
        except ValueError as fault:
            raise wrong(str(fault)) from None
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise wrong(f"a length is needed: {SPELLINGS}")
    if not -10_000_000 <= value <= 10_000_000:
        raise wrong("a length is at most 10 km")
    return whole(Fraction(value) * FACTORS[unit])


def _bounded(least: int, message: str) -> Any:
    def read(value: Any, info: ValidationInfo) -> int:
        ticks = length_of(value, info)
        if ticks < least or (least == 0 and not isinstance(value, str) and value < 0):
            raise wrong(message)
        if abs(ticks) > LONGEST:
            raise wrong("a length is at most 10 km")
        return ticks

    return BeforeValidator(read)


def length_schema(description: str, **number: Any) -> dict[str, Any]:
    """The published schema of a length; `number` holds the bounds of its bare numbers."""
    return {
        "description": description,
        "anyOf": [{"type": "number", "maximum": 10_000_000, **number}, WRITTEN],
    }


def _schema(description: str, **number: Any) -> WithJsonSchema:
    return WithJsonSchema(length_schema(description, **number))


Length = Annotated[
    int,
    _bounded(1, "a length must be greater than zero"),
    _schema("A length over zero: a number in the request's unit, or as the trade writes it.",
            exclusiveMinimum=0),
]  # fmt: skip
"""Ticks over zero."""

LengthOrZero = Annotated[
    int,
    _bounded(0, "a length must not be negative"),
    _schema("A length or zero: a number in the request's unit, or as the trade writes it.",
            minimum=0),
]  # fmt: skip
"""Ticks, zero or more."""


@dataclass(frozen=True, slots=True)
class Offset:
    """A length to either side of something, at most so many ticks: under zero on the other side."""

    most: int

    def __get_pydantic_core_schema__(self, source: Any, inner: Any) -> core_schema.CoreSchema:
        """How it is read."""
        return core_schema.with_info_before_validator_function(self._read, inner(source))

    def __get_pydantic_json_schema__(self, schema: Any, inner: Any) -> dict[str, Any]:
        """How it is published; the bound as the number of millimetres, which is the largest."""
        most = self.most // MM
        return length_schema(
            f"A length to either side, at most {most} mm: a number in the request's unit, under "
            "zero on the other side, or as the trade writes it.",
            minimum=-most,
            maximum=most,
        )

    def _read(self, value: Any, info: ValidationInfo) -> int:
        ticks = length_of(value, info)
        if abs(ticks) > self.most:
            raise wrong(f"at most {self.most // MM} mm to either side")
        return ticks


COORDINATE: Final = {
    "description": "A number in the request's unit, or a length as the trade writes it.",
    "anyOf": [{"type": "number", "minimum": -10_000_000, "maximum": 10_000_000}, WRITTEN],
}
"""The published schema of one of a list of lengths."""


def numbers(names: str, least: int = -LONGEST) -> Any:
    """A list of lengths with one meaning each, such as `x, y, length, width`, as ticks."""
    parts = names.split(", ")

    def read(value: Any, info: ValidationInfo) -> tuple[int, ...]:
        if not isinstance(value, list) or len(value) != len(parts):
            raise wrong(f"a list of {len(parts)} lengths is needed: [{names}]")
        ticks = tuple(_placed(place, item, info) for place, item in enumerate(value))
        for place, (part, item) in enumerate(zip(parts, ticks, strict=True)):
            low = least if part in ("x", "y") else 1
            if not low <= item <= LONGEST:
                bound = "within" if low < 1 else "over zero, at most"
                raise wrong(f"{part} must be {bound} 10 km", place)
        return ticks

    return read


def _placed(place: int, item: Any, info: ValidationInfo) -> int:
    """The ticks of one length of a list; a fault says which it is."""
    try:
        return length_of(item, info)
    except PydanticCustomError as fault:
        raise wrong(fault.message(), place) from None


def numbers_schema(names: str, description: str) -> WithJsonSchema:
    """The published schema of `numbers(names)`."""
    count = len(names.split(", "))
    return WithJsonSchema(
        {"type": "array", "description": description, "minItems": count, "maxItems": count,
         "items": COORDINATE}
    )  # fmt: skip


Point = Annotated[
    tuple[int, ...],
    PlainValidator(numbers("x, y")),
    numbers_schema("x, y", "x and y, each a number in the request's unit or a written length."),
]
"""x and y in ticks."""


def decimal(low: Decimal, high: Decimal, places: int, what: str, written: str | None = None) -> Any:
    """How a number is read exactly; as a string too where `written` says how it may be written."""

    def read(value: Any) -> Fraction:
        if written and isinstance(value, str) and re.fullmatch(written, value, re.ASCII):
            value = Decimal(value)
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            raise wrong(f"{what} must be a number")
        if not low <= value <= high:
            raise wrong(f"{what} must be from {low} to {high}")
        exact = Fraction(value)
        if (exact * 10**places).denominator != 1:
            raise wrong(f"{what} has at most {places} decimals")
        return exact

    return BeforeValidator(read)


def number_schema(description: str, low: float, high: float) -> WithJsonSchema:
    """How it is published."""
    return WithJsonSchema(
        {"description": description, "type": "number", "minimum": low, "maximum": high}
    )


Percent = Annotated[
    Fraction,
    decimal(Decimal(0), Decimal(90), 4, "a percentage"),
    number_schema("A percentage, 0 to 90, with at most 4 decimals.", 0, 90),
]
"""Per cent as an exact Fraction, 0 to 90."""

Degrees = Annotated[
    Fraction,
    decimal(Decimal(-360), Decimal(360), 6, "an angle"),
    number_schema(
        "Degrees, counter-clockwise from +x as drawn (see `view`), with at most 6 decimals.",
        -360,
        360,
    ),
]
"""Degrees, counter-clockwise from +x, as an exact Fraction."""

Lean = Annotated[
    Fraction,
    decimal(Decimal(0), Decimal(75), 6, "the lean"),
    number_schema("Degrees from square, 0 to 75, with at most 6 decimals.", 0, 75),
]
"""Degrees by which a fastener leans from square, as an exact Fraction."""

Positive = Annotated[
    Fraction,
    decimal(Decimal("0.000001"), Decimal(1_000_000), 6, "the value"),
    number_schema("A number over zero with at most 6 decimals.", 0.000001, 1_000_000),
]
"""An exact Fraction over zero."""

_DENSITY = rf"^ ?({DECIMAL}) ?(lb/ft3|kg/m3) ?$"


def _density(value: Any, info: ValidationInfo) -> Fraction:
    """Pounds per cubic foot of a number in the request's system, or of a text with its unit."""
    unit = "kg/m3" if info.context and info.context["unit"] in METRIC else "lb/ft3"
    if isinstance(value, str) and (found := re.fullmatch(_DENSITY, value, re.ASCII)):
        value, unit = Decimal(found[1]), found[2]
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise wrong("a density is a number, or a text as `28 lb/ft3` or `450 kg/m3`")
    if not Decimal("0.000001") <= value <= 1_000_000:
        raise wrong("a density must be over zero, at most 1 000 000")
    if (Fraction(value) * 10**6).denominator != 1:
        raise wrong("a density has at most 6 decimals")
    return Fraction(value) * (KILOGRAM_PER_CUBIC_METRE if unit == "kg/m3" else 1)


Density = Annotated[
    Fraction,
    BeforeValidator(_density),
    WithJsonSchema(
        {
            "description": "Weight by volume: pounds per cubic foot, or kilograms per cubic metre "
            "when the request's unit is metric; or a text with its unit.",
            "anyOf": [
                {"type": "number", "minimum": 0.000001, "maximum": 1_000_000},
                {"type": "string", "pattern": _DENSITY, "maxLength": 40},
            ],
        }
    ),
]
"""Pounds per cubic foot as an exact Fraction."""

_MONEY = r"^[0-9]{1,9}(\.[0-9]{1,4})?$"

Price = Annotated[
    Fraction,
    decimal(Decimal(0), Decimal(1_000_000_000), 4, "a price", _MONEY),
    WithJsonSchema(
        {
            "description": "Money for one piece or pack: a decimal string, or a number, with "
            "at most 4 decimals.",
            "anyOf": [
                {"type": "number", "minimum": 0, "maximum": 1_000_000_000},
                {"type": "string", "pattern": _MONEY, "maxLength": 14},
            ],
        }
    ),
]
"""Money as an exact Fraction of the currency's unit."""

Name = Annotated[
    str,
    Field(
        pattern=r"^[a-z0-9_-]{1,32}$",
        description="An id: 1 to 32 of a-z, 0-9, _ and -.",
        max_length=32,
    ),
]
"""An id of the caller's."""

Count = Annotated[int, Field(ge=0, le=1_000_000, strict=True)]
"""A whole number, 0 to 1 000 000."""
