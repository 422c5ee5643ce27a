"""What cans and tubes hold, and how far they go, as a request writes it: read exactly."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Final

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError, core_schema

from service.schemas.base import Asked
from service.schemas.quantities import Count, Price, wrong
from service.units.ticks import FOOT, MM, whole
from service.units.volumes import CUBIC_TICKS

_NUMBER: Final = r"[0-9]{1,6}(?:\.[0-9]{1,6})?"
_HOLDS: Final = rf"^({_NUMBER}) ?(gal|qt|fl oz|l|ml)$"
_SPREAD: Final = rf"^({_NUMBER}) ?(ft2/gal|m2/l)$"

_SQUARES: Final = {
    "ft2/gal": Fraction(FOOT**2, CUBIC_TICKS["gal"]),
    "m2/l": Fraction((1000 * MM) ** 2, CUBIC_TICKS["l"]),
}
"""Square ticks that a cubic tick covers at one of each unit."""


@dataclass(frozen=True, slots=True)
class Holds:
    """What a can or a tube holds: cubic ticks, and as it is written on it."""

    volume: int
    written: str

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, inner: Any) -> core_schema.CoreSchema:
        """How it is read."""
        return core_schema.no_info_plain_validator_function(_holds)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, inner: Any) -> dict[str, Any]:
        """How it is published."""
        return _text("What it holds, as printed on it: `5 gal`, `1 qt`, `10.1 fl oz`, `2.5 l`, "
                     "`300 ml`. US gallons, quarts and fluid ounces.", _HOLDS)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Covers:
    """What a liquid covers: square ticks by cubic tick, and as it is written."""

    by_volume: Fraction
    written: str

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, inner: Any) -> core_schema.CoreSchema:
        """How it is read."""
        return core_schema.no_info_plain_validator_function(_covers)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, inner: Any) -> dict[str, Any]:
        """How it is published."""
        return _text("What one coat covers: `400 ft2/gal` (US gallons) or `10 m2/l`.", _SPREAD)


def _text(description: str, pattern: str) -> dict[str, Any]:
    return {"description": description, "type": "string", "pattern": pattern, "maxLength": 40}


def _holds(value: Any) -> Holds:
    found = re.fullmatch(_HOLDS, value, re.ASCII) if isinstance(value, str) else None
    if found is None or not Decimal(found[1]):
        raise wrong("what a can or tube holds is a text with its unit, as `5 gal`, `10.1 fl oz`, "
                    "`2.5 l` or `300 ml`")  # fmt: skip
    volume = whole(Fraction(found[1]) * CUBIC_TICKS[found[2]])
    return Holds(volume, f"{Decimal(found[1]).normalize():f} {found[2]}")


def _covers(value: Any) -> Covers:
    found = re.fullmatch(_SPREAD, value, re.ASCII) if isinstance(value, str) else None
    if found is None or not Decimal(found[1]):
        raise wrong("a spread is a text with its unit, as `400 ft2/gal` or `10 m2/l`")
    by_volume = Fraction(found[1]) * _SQUARES[found[2]]
    return Covers(by_volume, f"{Decimal(found[1]).normalize():f} {found[2]}")


class Can(Asked):
    """One size in which a liquid is sold."""

    holds: Holds
    price: Price | None = Field(None, description="Price of one.")


class OwnedCan(Asked):
    """Cans or tubes that the caller has already, full or opened."""

    holds: Holds
    left: Holds | None = Field(
        None, description="What is still in an opened one: it is used first. Default: it is full."
    )
    count: Annotated[Count, Field(ge=1)] | None = Field(
        None, description="How many there are alike. Default: 1."
    )

    @model_validator(mode="after")
    def _holds_what_is_left(self) -> OwnedCan:
        if self.left is not None and self.left.volume > self.holds.volume:
            raise PydanticCustomError("left", "more is `left` in it than it `holds`")
        return self

    @property
    def within(self) -> Holds:
        """What is in one."""
        return self.left or self.holds


Cans = Annotated[list[Can], Field(min_length=1, max_length=8)]
"""The sizes in which a liquid is sold."""

OwnedCans = Annotated[list[OwnedCan], Field(max_length=24)]
"""Cans or tubes that the caller has already."""
