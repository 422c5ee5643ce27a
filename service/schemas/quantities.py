"""Lengths, counts, shares and money as a request writes them, read exactly.

A length is a number in the request's declared unit or a string in the trade's own writing. The
strings go through a closed grammar: pint supplies the units and their factors and is never
handed a stranger's string, since its parser evaluates expressions and misreads `5 1/2 in`.

Every validator needs the context `{"unit": name}`; lengths come out as ticks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Any, Final

from pint import UnitRegistry
from pydantic import BeforeValidator, Field, PlainValidator, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError, core_schema

from service.units.ticks import KILOGRAM_PER_CUBIC_METRE, LONGEST, METRIC, MM, whole

MOST_CHARACTERS: Final = 40

_WORDS: Final = {
    "millimeter": ("mm", "millimeter", "millimeters", "millimetre", "millimetres"),
    "centimeter": ("cm", "centimeter", "centimeters", "centimetre", "centimetres"),
    "meter": ("m", "meter", "meters", "metre", "metres"),
    "yard": ("yd", "yard", "yards"),
    "foot": ("ft", "foot", "feet", "'", "′", "’"),
    "inch": ("in", "inch", "inches", '"', "″", "”"),
}


def _factors() -> dict[str, Fraction]:
    """Ticks in one of each written unit, from pint's exact (rational) registry."""
    registry: Any = UnitRegistry(non_int_type=Fraction)
    ticks = {
        unit: Fraction(registry.Quantity(Fraction(1), unit).to("millimeter").magnitude) * MM
        for unit in _WORDS
    }
    return {word: ticks[unit] for unit, words in _WORDS.items() for word in words}


FACTORS: Final = _factors()

_VULGAR: Final = {
    "¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4),
    "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip

_DECIMAL = r"(?:[0-9]{1,9}(?:\.[0-9]{1,6})?|\.[0-9]{1,6})"
_FRACTION = r"[0-9]{1,2}/(?:2|4|8|16|32|64)"
_MIXED = rf"(?:[0-9]{{1,9}}[ -]{_FRACTION}|{_FRACTION}|[0-9]{{0,9}} ?[¼½¾⅛⅜⅝⅞]|{_DECIMAL})"
_FEET = r"(?:ft|foot|feet|'|′|’)"
_INCHES = r"(?:inches|inch|in|\"|″|”)"
_METRIC = r"(?:mm|cm|m|yd|(?:milli|centi)?met(?:er|re)s?|yards?)"
_BETWEEN = r"(?: ?, ?| ?- ?| )?"


def _either_case(words: str) -> str:
    """The same words in small or capital letters: a published pattern can carry no flag."""
    return re.sub(r"[a-z]", lambda letter: f"[{letter[0]}{letter[0].upper()}]", words)


_SMALL_GRAMMAR: Final = (
    rf"^ ?(?:{_DECIMAL} ?{_METRIC}|(?:[0-9]{{1,6}} ?{_FEET}\.?{_BETWEEN})?{_MIXED} ?{_INCHES}\.?"
    rf"|{_DECIMAL} ?{_FEET}\.?) ?$"
)

GRAMMAR: Final = _either_case(_SMALL_GRAMMAR)
"""The closed grammar as one anchored pattern; the OpenAPI document states it."""

_METRIC_FORM = re.compile(rf" ?({_DECIMAL}) ?({_METRIC}) ?", re.ASCII | re.IGNORECASE)
_FEET_FORM = re.compile(rf" ?({_DECIMAL}) ?{_FEET}\.? ?", re.ASCII | re.IGNORECASE)
_INCH_FORM = re.compile(
    rf" ?(?:([0-9]{{1,6}}) ?{_FEET}\.?{_BETWEEN})?({_MIXED}) ?{_INCHES}\.? ?",
    re.ASCII | re.IGNORECASE,
)

_SPELLINGS = "write a number in the request's unit, or 12' 6-1/2\", 12 ft 6 1/2 in, 5/8 in, 3.81 m"


@lru_cache(maxsize=1024)
def read_length(text: str) -> int:
    """The ticks that `text` says, to the nearest tick.

    `text` is at most 40 characters of the closed grammar that the published pattern
    (`GRAMMAR`) states: no sign, no exponent, ASCII digits. Raises ValueError that names what
    would do.
    """
    if len(text) > MOST_CHARACTERS:
        raise ValueError(f"a length is at most {MOST_CHARACTERS} characters: {_SPELLINGS}")
    value = _value(text)
    if value is None:
        if "," in text:
            raise ValueError(f"a comma is read only after a feet mark: {_SPELLINGS}")
        raise ValueError(f"not a length that can be read: {_SPELLINGS}")
    return whole(value)


def _value(text: str) -> Fraction | None:
    if found := _METRIC_FORM.fullmatch(text):
        return Fraction(found[1]) * FACTORS[found[2].lower()]
    if found := _FEET_FORM.fullmatch(text):
        return Fraction(found[1]) * FACTORS["ft"]
    found = _INCH_FORM.fullmatch(text)
    if found is None:
        return None
    inches = _mixed(found[2])
    if inches is None or (found[1] is not None and inches >= 12):
        return None
    return int(found[1] or 0) * FACTORS["ft"] + inches * FACTORS["in"]


def _mixed(text: str) -> Fraction | None:
    """A whole number, a decimal, a proper fraction or both parts together; None if improper."""
    if text[-1] in _VULGAR:
        return int(text[:-1].strip() or 0) + _VULGAR[text[-1]]
    if "/" not in text:
        return Fraction(text)
    *before, part = re.split(r"[ -]", text)
    numerator, denominator = part.split("/")
    if not 0 < int(numerator) < int(denominator):
        return None
    return int(before[0] if before else 0) + Fraction(int(numerator), int(denominator))


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
        raise wrong(f"a length is needed: {_SPELLINGS}")
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
        "anyOf": [
            {"type": "number", "maximum": 10_000_000, **number},
            {"type": "string", "minLength": 2, "maxLength": MOST_CHARACTERS, "pattern": GRAMMAR},
        ],
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


_NUMBER_OR_WRITTEN: Final = {
    "anyOf": [
        {"type": "number", "minimum": -10_000_000, "maximum": 10_000_000},
        {"type": "string", "minLength": 2, "maxLength": MOST_CHARACTERS, "pattern": GRAMMAR},
    ]
}


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
         "items": _NUMBER_OR_WRITTEN}
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

_DENSITY = rf"^ ?({_DECIMAL}) ?(lb/ft3|kg/m3) ?$"


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
