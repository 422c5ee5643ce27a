"""Air: how damp it is, by a hygrometer, a wet bulb or a dew point.

Saturation is by the Magnus form of WMO-No. 8 (Guide to Instruments and Methods of Observation),
Annex 4.B, over water; the wet bulb by the psychrometric formula of the Glossary of Meteorology of
the American Meteorological Society, at the pressure of sea level.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from typing import Final

FREEZING: Final = Fraction(0)
SEA_LEVEL: Final = Fraction(1013250, 1000)
"""Hectopascals of the standard atmosphere (ISO 2533)."""

_EXACTLY: Final = Context(prec=28)
"""`exp` is rounded correctly there, so that it is the same on every machine."""

_MILLIONTHS: Final = 10**6


@dataclass(frozen=True, slots=True)
class Air:
    """`temperature` in degrees Celsius; `humidity` as a share of saturation, 0 to 1."""

    temperature: Fraction
    humidity: Fraction


def fahrenheit(celsius: Fraction) -> Fraction:
    """Degrees Fahrenheit of degrees Celsius."""
    return celsius * Fraction(9, 5) + 32


def celsius(fahrenheit: Fraction) -> Fraction:
    """Degrees Celsius of degrees Fahrenheit."""
    return (fahrenheit - 32) * Fraction(5, 9)


def saturation(temperature: Fraction) -> Fraction:
    """The pressure of water vapour in saturated air over water, hectopascals; -45 to 60 degrees C.

    6.112 exp(17.62 t / (243.12 + t)), to a millionth.
    """
    power = Fraction(1762, 100) * temperature / (Fraction(24312, 100) + temperature)
    shown = _EXACTLY.divide(Decimal(power.numerator), Decimal(power.denominator))
    pressure = _EXACTLY.multiply(Decimal("6.112"), _EXACTLY.exp(shown))
    return Fraction(round(Fraction(pressure) * _MILLIONTHS), _MILLIONTHS)


def humidity_by_dew_point(temperature: Fraction, dew_point: Fraction) -> Fraction:
    """The humidity of air in which dew forms at `dew_point`, which is not over its temperature."""
    return saturation(dew_point) / saturation(temperature)


def humidity_by_wet_bulb(temperature: Fraction, wet_bulb: Fraction) -> Fraction:
    """The humidity of air in which a ventilated wet bulb, not frozen, shows `wet_bulb`.

    e = e_s(t_w) - 0.00066 (1 + 0.00115 t_w) p (t - t_w). Below zero no air is so dry.
    """
    constant = Fraction(66, 100_000) * (1 + Fraction(115, 100_000) * wet_bulb)
    vapour = saturation(wet_bulb) - constant * SEA_LEVEL * (temperature - wet_bulb)
    return vapour / saturation(temperature)
