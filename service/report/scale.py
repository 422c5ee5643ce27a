"""How ticks are written in an answer: lengths, points, areas and weights in the caller's unit."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from service.errors import Ticks
from service.geometry.rings import Point, Ring
from service.units.ticks import FOOT, KILOGRAM_IN_A_POUND, METRIC, MM, TICKS_PER_UNIT
from service.units.volumes import CUBIC_TICKS
from service.units.writing import exact

HALF_SQUARE = {"ft2": 2 * FOOT**2, "m2": 2 * (1000 * MM) ** 2}


@dataclass(frozen=True, slots=True)
class Scale:
    """How ticks are written: the unit of length and the unit of area."""

    unit: str
    area_unit: str

    def length(self, ticks: int) -> float:
        """A length to six decimals of the unit."""
        return round(ticks / TICKS_PER_UNIT[self.unit], 6)

    def maybe(self, ticks: int | None) -> float | None:
        """A length, or None."""
        return None if ticks is None else self.length(ticks)

    def area(self, half_square_ticks: int) -> float:
        """An area (from twice the area in square ticks) to six decimals."""
        return round(half_square_ticks / HALF_SQUARE[self.area_unit], 6)

    @property
    def weight_unit(self) -> str:
        """Pounds, or kilograms where the request is metric."""
        return "lb" if self.area_unit == "ft2" else "kg"

    def weight(self, pounds: Fraction | None) -> float | None:
        """A weight to three decimals."""
        if pounds is None:
            return None
        return round(float(pounds * (1 if self.weight_unit == "lb" else KILOGRAM_IN_A_POUND)), 3)

    @property
    def volume_unit(self) -> str:
        """US gallons, or litres where the request is metric."""
        return "gal" if self.area_unit == "ft2" else "l"

    def volume(self, cubic_ticks: int | Fraction | None) -> float | None:
        """A volume to six decimals."""
        if cubic_ticks is None:
            return None
        return round(float(Fraction(cubic_ticks) / CUBIC_TICKS[self.volume_unit]), 6)

    def point(self, point: Point) -> list[float]:
        """A point as a pair of lengths."""
        return [self.length(point[0]), self.length(point[1])]

    def ring(self, ring: Ring) -> list[list[float]]:
        """A ring as pairs of lengths."""
        return [self.point(point) for point in ring]

    def rings(self, rings: Iterable[Ring]) -> list[list[list[float]]]:
        """Rings, in their order."""
        return [self.ring(ring) for ring in rings]

    def value(self, value: Any) -> Any:
        """A value of the basis: ticks become a length."""
        return _each(value, self.length)

    def exactly(self, value: Any) -> Any:
        """A value of a cure: ticks become a length that is read as those very ticks."""
        return _each(value, lambda ticks: exact(ticks, self.unit))


def _each(value: Any, write: Callable[[int], Any]) -> Any:
    """A JSON value with each length in it written by `write`."""
    if isinstance(value, Ticks):
        return write(value.value)
    if isinstance(value, dict):
        return {key: _each(inner, write) for key, inner in value.items()}
    if isinstance(value, list):
        return [_each(inner, write) for inner in value]
    return value


def scale_of(unit: str) -> Scale:
    """The scale of a request's unit."""
    return Scale(unit, "m2" if unit in METRIC else "ft2")
