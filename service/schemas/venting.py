"""Net free vent area: of a foot of a vent strip, as its sheet gives it, and of all that is asked.

Read as any measure is: a number in the request's system, or a text with its unit.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

from service.schemas.quantities import wrong
from service.units.ticks import FOOT, INCH, METRIC, MM

_DECIMAL: Final = r"[0-9]{1,9}(?:\.[0-9]{1,6})?"
_METRE: Final = 1000 * MM

_RATES: Final[Mapping[str, Fraction]] = {
    "in2/ft": Fraction(INCH * INCH, FOOT),
    "mm2/m": Fraction(MM * MM, _METRE),
}
"""Area over length is a width: ticks of one unit."""

_AREAS: Final[Mapping[str, Fraction]] = {
    "in2": Fraction(2 * INCH * INCH),
    "ft2": Fraction(2 * FOOT * FOOT),
    "mm2": Fraction(2 * MM * MM),
    "m2": Fraction(2 * _METRE * _METRE),
}
"""Half square ticks of one unit."""


def _written(units: Mapping[str, Fraction]) -> str:
    return rf"^ ?({_DECIMAL}) ?({'|'.join(units)}) ?$"


def _read(what: str, units: Mapping[str, Fraction], plain: tuple[str, str]) -> BeforeValidator:
    """A measure in one of the `units`; `plain` are those of a number, in inches and in metres."""

    def read(value: Any, info: ValidationInfo) -> Fraction:
        unit = plain[bool(info.context and info.context["unit"] in METRIC)]
        if isinstance(value, str) and (found := re.fullmatch(_written(units), value, re.ASCII)):
            value, unit = Decimal(found[1]), found[2]
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            raise wrong(f"{what} is a number, or a text as `9 {plain[0]}` or `190 {plain[1]}`")
        if not Decimal("0.000001") <= value <= 1_000_000_000:
            raise wrong(f"{what} must be over zero, at most 1 000 000 000")
        if (Fraction(value) * 10**6).denominator != 1:
            raise wrong(f"{what} has at most 6 decimals")
        return Fraction(value) * units[unit]

    return BeforeValidator(read)


def _schema(text: str, units: Mapping[str, Fraction]) -> WithJsonSchema:
    return WithJsonSchema({
        "description": text,
        "anyOf": [
            {"type": "number", "minimum": 0.000001, "maximum": 1_000_000_000},
            {"type": "string", "pattern": _written(units), "maxLength": 40},
        ],
    })  # fmt: skip


VentRate = Annotated[
    Fraction,
    _read("a free area", _RATES, ("in2/ft", "mm2/m")),
    _schema(
        "Net free vent area by length: square inches for each foot, or square millimetres for each "
        "metre when the request's unit is metric; or a text with its unit.",
        _RATES,
    ),
]
"""As wide an open slot, in ticks."""

VentArea = Annotated[
    Fraction,
    _read("an area", _AREAS, ("in2", "mm2")),
    _schema(
        "An area: square inches, or square millimetres when the request's unit is metric; or a "
        "text with its unit (`in2`, `ft2`, `mm2`, `m2`).",
        _AREAS,
    ),
]
"""Half square ticks."""


def vent_area(half_square_ticks: int, unit: str) -> str:
    """An area of vents in the caller's system, whole and half up: `252 sq in`, or `162 560 mm2`."""
    one, name = (_AREAS["mm2"], "mm2") if unit in METRIC else (_AREAS["in2"], "sq in")
    return f"{int(half_square_ticks / one + Fraction(1, 2)):,} {name}"
