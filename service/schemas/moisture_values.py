"""Temperatures, humidities, moisture contents and coefficients, as a request writes them."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Final

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from service.moisture.air import celsius
from service.moisture.species import all_species
from service.schemas.quantities import decimal, number_schema, wrong
from service.units.ticks import METRIC

COLDEST: Final = Fraction(-45)
HOTTEST: Final = Fraction(60)
"""Degrees Celsius that are read: those for which the pressure of saturated air is known."""

_TEMPERATURE: Final = r"^ ?(-?[0-9]{1,3}(?:\.[0-9]{1,4})?) ?°?(F|C)$"


def _temperature(value: Any, info: ValidationInfo) -> Fraction:
    """Degrees Celsius of a number in the request's system, or of a text with its scale."""
    scale = "C" if info.context and info.context["unit"] in METRIC else "F"
    if isinstance(value, str) and (found := re.fullmatch(_TEMPERATURE, value, re.ASCII)):
        value, scale = Decimal(found[1]), found[2]
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise wrong("a temperature is a number, or a text as `70 F` or `21 C`")
    if not -1000 <= value <= 1000 or (Fraction(value) * 10**4).denominator != 1:
        raise wrong("a temperature is from -49 to 140 F (-45 to 60 C), with at most 4 decimals")
    found_in = Fraction(value) if scale == "C" else celsius(Fraction(value))
    if not COLDEST <= found_in <= HOTTEST:
        raise wrong("a temperature is from -49 to 140 F (-45 to 60 C), with at most 4 decimals")
    return found_in


Temperature = Annotated[
    Fraction,
    BeforeValidator(_temperature),
    WithJsonSchema(
        {
            "description": "Degrees Fahrenheit, or Celsius when the request's unit is metric, from "
            "-49 to 140 F (-45 to 60 C); or a text with its scale: `70 F`, `21 C`.",
            "anyOf": [
                {"type": "number", "minimum": -49, "maximum": 140},
                {"type": "string", "pattern": _TEMPERATURE, "maxLength": 12},
            ],
        }
    ),
]
"""Degrees Celsius as an exact Fraction."""

Humidity = Annotated[
    Fraction,
    decimal(Decimal(0), Decimal(100), 4, "the humidity"),
    number_schema("Relative humidity in percent, 0 to 100, with at most 4 decimals.", 0, 100),
]
"""Per cent as an exact Fraction, 0 to 100."""

Content = Annotated[
    Fraction,
    decimal(Decimal(0), Decimal(100), 4, "a moisture content"),
    number_schema(
        "Moisture in percent of the oven-dry weight, 0 to 100, with at most 4 decimals.", 0, 100
    ),
]
"""Per cent of the oven-dry weight as an exact Fraction, 0 to 100."""

Share = Annotated[
    Fraction,
    decimal(Decimal(0), Decimal(1), 4, "the share"),
    number_schema("A share, 0 to 1, with at most 4 decimals.", 0, 1),
]
"""A share of one as an exact Fraction."""


def _known(name: str) -> str:
    if name not in all_species():
        raise PydanticCustomError("no-such-species", "this must be one of {known}",
                                  {"known": ", ".join(all_species())})  # fmt: skip
    return name


SpeciesName = Annotated[
    str,
    Field(strict=True),
    AfterValidator(_known),
    WithJsonSchema({"type": "string", "enum": list(all_species())}),
]
"""A species of the table of movement."""


def _coefficient(value: Any) -> Fraction:
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise wrong("a coefficient must be a number")
    if not Decimal("0.00001") <= value <= Decimal("0.020"):
        raise wrong("a coefficient is from 0.00001 to 0.02: the change of a width for one percent")
    if (Fraction(value) * 10**7).denominator != 1:
        raise wrong("a coefficient has at most 7 decimals")
    return Fraction(value)


Coefficient = Annotated[
    Fraction,
    BeforeValidator(_coefficient),
    WithJsonSchema(
        {
            "description": "Change of a width of one for a percent of moisture, 0.00001 to 0.02.",
            "type": "number",
            "minimum": 0.00001,
            "maximum": 0.02,
        }
    ),
]
"""Change of a width of one for a percent of moisture, as an exact Fraction."""
