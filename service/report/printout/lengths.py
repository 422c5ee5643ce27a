"""An answer's numbers as people write them: ft-in fractions, or millimetres and metres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from service.products.drawing import IMPERIAL, length_text, station_text, width_text
from service.units.ticks import MM, TICKS_PER_UNIT, whole
from service.units.writing import total_length


@dataclass(frozen=True, slots=True)
class Lengths:
    """Writes numbers that are in the answer's length `unit`."""

    unit: str

    @property
    def imperial(self) -> bool:
        """Whether lengths are written in feet and inches."""
        return self.unit in IMPERIAL

    def ticks(self, value: float) -> int:
        """The ticks that a number of the answer says; six decimals are exact enough for it."""
        return whole(Fraction(str(value)) * TICKS_PER_UNIT[self.unit])

    def station(self, value: float | None) -> str:
        """`12' 6-1/2"` to 1/16 in, or whole millimetres; empty for None."""
        return "" if value is None else self._marked(station_text(self.ticks(value), self.unit))

    def width(self, value: float | None) -> str:
        """`4-1/8"` to 1/32 in, or millimetres to a tenth; empty for None."""
        return "" if value is None else self._marked(width_text(self.ticks(value), self.unit))

    def spacing(self, value: float | None) -> str:
        """How far fasteners are apart, or boards off a wall: in whole millimetres from 3 mm on.

        Empty for None; in inches a width.
        """
        is_fine = value is None or self.imperial or self.ticks(value) < 3 * MM
        return self.width(value) if is_fine else self.station(value)

    def piece(self, value: float | None) -> str:
        """How long a piece is: under 2 ft as a width, else as a station; empty for None."""
        return "" if value is None else self._marked(length_text(self.ticks(value), self.unit))

    def total(self, value: float | None) -> str:
        """A sum of lengths: feet or metres to a tenth; empty for None."""
        if value is None:
            return ""
        return total_length(self.ticks(value), self.unit)

    def _marked(self, text: str) -> str:
        return text if self.imperial else f"{text} mm"


def area_unit(units: Mapping[str, Any]) -> str:
    """The unit of an answer's areas as people say it."""
    unit: str = units["area"]
    return "sq ft" if unit == "ft2" else unit


def plain(value: float | None, places: int = 2) -> str:
    """A number without needless zeros; empty for None."""
    if value is None:
        return ""
    text = f"{value:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def fixed(value: float | None, places: int = 2) -> str:
    """A number to so many places, nothing below zero that rounds to zero; empty for None."""
    return "" if value is None else f"{round(value, places) + 0.0:,.{places}f}"


_SMALL: Final = {"gal": (128, "fl oz"), "l": (1000, "ml")}
"""Small measures of a liquid: how many go into a large one, and what they are called."""


def volume(value: float, unit: str) -> str:
    """`1.44 gal`, or under a quarter of one `4.2 fl oz`; what is taken off has its sign."""
    parts, small = _SMALL[unit]
    if abs(value) >= 0.25 or not value:
        return f"{plain(value, 2)} {unit}"
    return f"{plain(value * parts, 1)} {small}"
