"""Lengths written as the trade writes them, for sentences and labels."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from math import gcd
from typing import Final

from service.units.ticks import (
    FOOT,
    INCH,
    KILOGRAM_PER_CUBIC_METRE,
    METRIC,
    MM,
    SIXTY_FOURTH,
    TICKS_PER_UNIT,
    nearest,
    whole,
)


def inches(ticks: int, parts: int = 32) -> str:
    """Inches and a reduced fraction, `24-1/8 in`, to the nearest 1/`parts` inch, half up."""
    sign = "-" if ticks < 0 else ""
    return f"{sign}{_mixed(abs(ticks), parts)} in"


def feet_inches(ticks: int, parts: int = 16) -> str:
    """Feet and inches, `12' 6-1/2"`, to the nearest 1/`parts` inch, half up.

    It cannot be misread: a fraction behind feet has its inches, `2' 0-15/16"`, and under a foot
    there are no feet, `4-7/16"`.
    """
    rounded = nearest(abs(ticks), INCH // parts)
    sign = "-" if ticks < 0 and rounded else ""
    feet, rest = divmod(rounded, FOOT)
    inch = _mixed(rest, parts)
    if not feet:
        return f'{sign}{inch}"'
    return f"{sign}{feet}' {'0-' if 0 < rest < INCH else ''}{inch}\""


def millimetres(ticks: int) -> str:
    """Millimetres to one decimal, half up: `104.8 mm`."""
    sign = "-" if ticks < 0 else ""
    tenths = nearest(abs(ticks), MM // 10) // (MM // 10)
    return f"{sign}{tenths // 10}.{tenths % 10} mm"


def both(ticks: int) -> str:
    """Both systems, for a sentence that everyone must be able to read: `4-1/8 in (104.8 mm)`."""
    return f"{inches(ticks)} ({millimetres(ticks)})"


_BOTH: Final = re.compile(
    r"(?P<sign>-?)(?:(?P<inches>\d+)(?P<more>-\d+/\d+)?|(?P<part>\d+/\d+)) in "
    r"\((?P<metric>-?\d+\.\d) mm\)"
)


def in_system(text: str, unit: str) -> str:
    """A sentence whose lengths, written by `both`, are left in the system of `unit` alone.

    `4-1/8"`, and from 2 ft on `6' 8-1/2"`, as tables have it; or `104.5 mm`. A metric job's that
    come of inches, as most defaults do, say so: `12.7 mm (1/2 in)`.
    """
    return _BOTH.sub(_in_metric if unit in METRIC else _on_tape, text)


EIGHTH: Final = Fraction(127, 40)
"""1/8 in, in mm: lengths that are parts of inches by origin are no finer."""


def _in_metric(found: re.Match[str]) -> str:
    """A length that `both` wrote, as a metric job has it."""
    metric = found["metric"].removesuffix(".0")
    inch = found["part"] or f"{found['inches']}{found['more'] or ''}"
    eighths = round(Fraction(found["metric"]) / EIGHTH)
    is_inches = "." in metric and millimetres(abs(eighths) * INCH // 8) == f"{metric.strip('-')} mm"
    return f"{metric} mm ({found['sign']}{inch} in)" if is_inches and eighths else f"{metric} mm"


def _on_tape(found: re.Match[str]) -> str:
    """A length that `both` wrote, as a tape has it."""
    if found["part"]:
        return f'{found["sign"]}{found["part"]}"'
    feet, inch = divmod(int(found["inches"]), 12)
    told = f"{feet}' {inch}" if feet > 1 else found["inches"]
    return f'{found["sign"]}{told}{found["more"] or ""}"'


def exact(ticks: int, unit: str) -> int | float | str:
    """A length that a request can be given: read again, it is these very `ticks` (0.1).

    A number of the request's `unit` where six decimals say it, else written with a unit of its own:
    `11-5/16 in`, or millimetres, `26.987525 mm`, of which six decimals say every tick.
    """
    number = round(Fraction(ticks, TICKS_PER_UNIT[unit]), 6)
    if ticks < 0 or whole(number * TICKS_PER_UNIT[unit]) == ticks:
        # A written length has no sign, so under zero the nearest number is the best.
        return int(number) if number.denominator == 1 else float(number)
    if unit in ("in", "ft") and ticks % SIXTY_FOURTH == 0:
        return inches(ticks, 64)
    return f"{ticks // MM}.{ticks % MM * 25:06d} mm"


def told(ticks: int, unit: str) -> str:
    """A length as `exact` has it, with its unit named, for a sentence: `0.25 in`, `0.001 mm`."""
    said = exact(abs(ticks), unit)
    shown = str(said) if isinstance(said, str) else f"{_decimals(Fraction(said))} {unit}"
    number, _, name = shown.partition(" ")
    plain = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{'-' if ticks < 0 else ''}{plain} {name}"


def stock_length(ticks: int, unit: str) -> str:
    """A length of stock as the caller's system names it: `12' 0"`, or metres, `3.6 m`."""
    if unit in ("in", "ft"):
        return feet_inches(ticks)
    metres = nearest(ticks, MM) / (1000 * MM)
    return f"{metres:,.3f}".rstrip("0").rstrip(".") + " m"


def feet_of_stock(ticks: int, unit: str) -> str:
    """A length of stock as it is ordered with its nominal size: `16 ft`, `12' 6"`, `4.8 m`."""
    if unit in ("in", "ft") and ticks % FOOT == 0:
        return f"{ticks // FOOT} ft"
    return stock_length(ticks, unit)


def total_length(ticks: int, unit: str) -> str:
    """A sum of lengths in the caller's system: feet or metres to a tenth, half up."""
    one, name = (FOOT, "ft") if unit in ("in", "ft") else (1000 * MM, "m")
    tenths = nearest(abs(ticks), one // 10) // (one // 10)
    return f"{'-' if ticks < 0 and tenths else ''}{tenths // 10}.{tenths % 10} {name}"


def size(ticks: int, unit: str) -> str:
    """A small length, such as a nail's: `2-1/2 in`, or `65 mm`."""
    if unit in ("in", "ft"):
        return inches(ticks)
    return millimetres(ticks).replace(".0 mm", " mm")


def tape_size(ticks: int, unit: str) -> str:
    """The same as a drawing has it, where all lengths are a tape's: `2-1/2"`, or `65 mm`."""
    return size(ticks, unit).replace(" in", '"')


def small_length(ticks: int, unit: str) -> str:
    """How far wood moves: inches to a thousandth, half up, or millimetres to a hundredth."""
    step, places, name = (MM // 100, 2, "mm") if unit in METRIC else (INCH // 1000, 3, "in")
    count = nearest(abs(ticks), step) // step
    sign = "-" if ticks < 0 and count else ""
    whole_part, part = divmod(count, 10**places)
    return f"{sign}{whole_part}.{part:0{places}d} {name}"


def sheet_size(width: int, length: int, unit: str) -> str:
    """What a sheet measures, its unit said once: `48 x 96 in`."""
    return f"{size(width, unit).removesuffix(' mm').removesuffix(' in')} x {size(length, unit)}"


def roll_size(width: int, length: int, unit: str) -> str:
    """What a roll measures, its length as that of stock: `54 in x 150' 0"`."""
    return f"{size(width, unit)} x {stock_length(length, unit)}"


def density(pounds_per_cubic_foot: Fraction, unit: str) -> str:
    """A density in the caller's system: `28 lb/ft3`, or `450 kg/m3`, to six decimals."""
    if unit in METRIC:
        return f"{_decimals(pounds_per_cubic_foot / KILOGRAM_PER_CUBIC_METRE)} kg/m3"
    return f"{_decimals(pounds_per_cubic_foot)} lb/ft3"


def _decimals(value: Fraction) -> str:
    """A number over zero to six decimals, half up, without needless zeros."""
    whole_part, part = divmod(whole(value * 10**6), 10**6)
    return f"{whole_part}.{part:06d}".rstrip("0").rstrip(".")


def counted(number: int, things: str) -> str:
    """A number of things by their plural, `12 sheets`, or `1 sheet`."""
    return f"{number} {things.removesuffix('s') if number == 1 else things}"


def agreeing(number: int, one: str, many: str) -> str:
    """The verb that goes with a number of things: `lies` with one, `lie` with any other."""
    return one if number == 1 else many


def listed(things: Sequence[str]) -> str:
    """Things in a sentence: `2 headers, 1 nailer and 4 blocks`."""
    *before, last = things
    return f"{', '.join(before)} and {last}" if before else last


def _mixed(ticks: int, parts: int) -> str:
    total = nearest(ticks, INCH // parts) // (INCH // parts)
    whole, part = divmod(total, parts)
    if part == 0:
        return str(whole)
    common = gcd(part, parts)
    fraction = f"{part // common}/{parts // common}"
    return fraction if whole == 0 else f"{whole}-{fraction}"
