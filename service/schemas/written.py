"""Lengths as the trade writes them, read exactly: `12' 6-1/2"`, `5/8 in`, `3.81 m`.

The strings go through a closed grammar: pint supplies the units and their factors and is never
handed a stranger's string, since its parser evaluates expressions and misreads `5 1/2 in`.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

from pint import UnitRegistry

from service.units.ticks import MM, whole

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

DECIMAL = r"(?:[0-9]{1,9}(?:\.[0-9]{1,6})?|\.[0-9]{1,6})"
_FRACTION = r"[0-9]{1,2}/(?:2|4|8|16|32|64)"
_MIXED = rf"(?:[0-9]{{1,9}}[ -]{_FRACTION}|{_FRACTION}|[0-9]{{0,9}} ?[¼½¾⅛⅜⅝⅞]|{DECIMAL})"
_FEET = r"(?:ft|foot|feet|'|′|’)"
_INCHES = r'(?:inches|inch|in|"|″|”)'
_METRIC = r"(?:mm|cm|m|yd|(?:milli|centi)?met(?:er|re)s?|yards?)"
_BETWEEN = r"(?: ?, ?| ?- ?| )?"


def _either_case(words: str) -> str:
    """The same words in small or capital letters: a published pattern can carry no flag."""
    return re.sub(r"[a-z]", lambda letter: f"[{letter[0]}{letter[0].upper()}]", words)


_SMALL_GRAMMAR: Final = (
    rf"^ ?(?:{DECIMAL} ?{_METRIC}|(?:[0-9]{{1,6}} ?{_FEET}\.?{_BETWEEN})?{_MIXED} ?{_INCHES}\.?"
    rf"|{DECIMAL} ?{_FEET}\.?) ?$"
)

GRAMMAR: Final = _either_case(_SMALL_GRAMMAR)
"""The closed grammar as one anchored pattern; the OpenAPI document states it."""

WRITTEN: Final = {
    "description": "A length as the trade writes it, with its unit: `12' 6-1/2\"`, `5/8 in`, "
    "`3.81 m`.",
    "type": "string",
    "minLength": 2,
    "maxLength": MOST_CHARACTERS,
    "pattern": GRAMMAR,
}
"""The published schema of a written length."""

_METRIC_FORM = re.compile(rf" ?({DECIMAL}) ?({_METRIC}) ?", re.ASCII | re.IGNORECASE)
_FEET_FORM = re.compile(rf" ?({DECIMAL}) ?{_FEET}\.? ?", re.ASCII | re.IGNORECASE)
_INCH_FORM = re.compile(
    rf" ?(?:([0-9]{{1,6}}) ?{_FEET}\.?{_BETWEEN})?({_MIXED}) ?{_INCHES}\.? ?",
    re.ASCII | re.IGNORECASE,
)

OWN_UNIT: Final = "the request's unit"
SPELLINGS: Final = f"write a number in {OWN_UNIT}, or 12' 6-1/2\", 12 ft 6 1/2 in, 5/8 in, 3.81 m"


@lru_cache(maxsize=1024)
def read_length(text: str) -> int:
    """The ticks that `text` says, to the nearest tick.

    `text` is at most 40 characters of the closed grammar that the published pattern
    (`GRAMMAR`) states: no sign, no exponent, ASCII digits. Raises ValueError that names what
    would do.
    """
    if len(text) > MOST_CHARACTERS:
        raise ValueError(f"a length is at most {MOST_CHARACTERS} characters: {SPELLINGS}")
    value = _value(text)
    if value is None:
        if "," in text:
            raise ValueError(f"a comma is read only after a feet mark: {SPELLINGS}")
        raise ValueError(f"not a length that can be read: {SPELLINGS}")
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
