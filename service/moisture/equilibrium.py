"""The moisture content to which wood comes in still air of one temperature and humidity (26.1).

The Hailwood-Horrobin equation with the metric coefficients of W. T. Simpson, Equilibrium moisture
content of wood in outdoor locations (FPL-RN-0268, 1998); Wood Handbook (FPL-GTR-190), equation 4-5.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from service.moisture.air import Air

COLDEST: Final = Fraction(-10, 9)
HOTTEST: Final = Fraction(1190, 9)
"""Degrees Celsius between which the handbook tabulates it: 30 and 270 degrees Fahrenheit."""


def _of_temperature(*coefficients: int | str) -> Sequence[Fraction]:
    return [Fraction(one) for one in coefficients]


_W: Final = _of_temperature(349, "129/100", "0.0135")
_K: Final = _of_temperature("0.805", "0.000736", "-0.00000273")
_K1: Final = _of_temperature("627/100", "-0.00938", "-0.000303")
_K2: Final = _of_temperature("191/100", "0.0407", "-0.000293")


def equilibrium(air: Air) -> Fraction:
    """Percent of moisture to which wood comes in `air`, exact."""
    weight, k, k1, k2 = (_at(air.temperature, one) for one in (_W, _K, _K1, _K2))
    kh = k * air.humidity
    layer = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / weight * (kh / (1 - kh) + layer)


def is_tabulated(air: Air) -> bool:
    """Whether the handbook tabulates the equation at the temperature of `air`."""
    return COLDEST <= air.temperature <= HOTTEST


def _at(temperature: Fraction, coefficients: Sequence[Fraction]) -> Fraction:
    first, second, third = coefficients
    return first + second * temperature + third * temperature**2
