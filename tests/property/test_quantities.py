"""Laws of written lengths.

P27: what is written is read back, and any short string is refused or is a length within bounds.
P28: one edit never changes a value otherwise than the edit says, unless it is refused.
P29: inches are 25.4 times millimetres.
The units library is the oracle of the factors; a sum over the parts is the oracle of the reading.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

import jsonschema_rs
import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from service.schemas.quantities import Length, LengthOrZero
from service.schemas.written import FACTORS, read_length
from service.units.ticks import INCH, LONGEST, MM, SIXTY_FOURTH
from service.units.writing import feet_inches, inches
from tests.strategies.budget import examples

MANY = examples(1_500)
LENGTH = TypeAdapter(Length)
OR_ZERO = TypeAdapter(LengthOrZero)
STATED = jsonschema_rs.validator_for(LENGTH.json_schema())
"""The published schema, read by another reader of patterns than Python's."""

FACTOR = {
    "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "yd": Fraction(9144, 10),
    "ft": Fraction(3048, 10), "in": Fraction(254, 10),
}  # fmt: skip
FEET = ["'", "\u2032", "\u2019", "ft", "foot", "feet"]
INCHES = ['"', "\u2033", "\u201d", "in", "inch", "inches"]
WORDS = {
    "mm": ["mm", "millimeter", "millimeters", "millimetre", "millimetres"],
    "cm": ["cm", "centimeter", "centimeters", "centimetre", "centimetres"],
    "m": ["m", "meter", "meters", "metre", "metres"],
    "yd": ["yd", "yard", "yards"],
    "ft": FEET,
    "in": INCHES,
}
UNIT_OF = {word: unit for unit, words in WORDS.items() for word in words}
VULGAR = {"\u00bc": Fraction(1, 4), "\u00bd": Fraction(1, 2), "\u00be": Fraction(3, 4),
          "\u215b": Fraction(1, 8), "\u215c": Fraction(3, 8), "\u215d": Fraction(5, 8),
          "\u215e": Fraction(7, 8)}  # fmt: skip


def by_parts(text: str) -> Fraction:
    """Ticks of a written length as the sum of its numbers, each times the unit that follows it."""
    total, waiting = Fraction(0), Fraction(0)
    part = r"\d+/\d+|\d*\.\d+|\d+|[\u00bc-\u00be\u215b-\u215e]|[a-z]+|['\u2032\u2019\"\u2033\u201d]"
    for token in re.findall(part, text.lower(), re.ASCII):
        if token in UNIT_OF:
            total += waiting * FACTOR[UNIT_OF[token]] * MM
            waiting = Fraction(0)
        else:
            waiting += VULGAR.get(token) or Fraction(token)
    assert waiting == 0, "a number without a unit"
    return total


def nearest_tick(value: Fraction) -> int:
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)


def decimals(whole: int, places: int):
    return st.builds(
        lambda units, down: f"{Decimal(units).scaleb(-down):f}",
        st.integers(1, whole), st.integers(0, places),
    )  # fmt: skip


FRACTIONS = st.sampled_from([2, 4, 8, 16, 32, 64]).flatmap(
    lambda parts: st.integers(1, parts - 1).map(lambda top: f"{top}/{parts}")
)
MIXED = st.one_of(
    decimals(99_999, 6),
    FRACTIONS,
    st.builds("{}{}{}".format, st.integers(0, 11), st.sampled_from(" -"), FRACTIONS),
    st.builds("{}{}".format, st.integers(0, 11) | st.just(""), st.sampled_from(sorted(VULGAR))),
)
SPACE = st.sampled_from(["", " "])
WRITTEN = st.one_of(
    st.builds("{}{}{}".format, decimals(9_999_999, 6), SPACE,
              st.sampled_from([word for unit in ("mm", "cm", "m", "yd") for word in WORDS[unit]])),
    st.builds("{}{}{}".format, decimals(99_999, 6), SPACE, st.sampled_from(FEET)),
    st.builds("{}{}{}".format, MIXED, SPACE, st.sampled_from(INCHES)),
    st.builds("{}{}{}{}{}{}{}".format, st.integers(0, 9_999), SPACE, st.sampled_from(FEET),
              st.sampled_from(["", " ", "-", ", ", ",", " - "]),
              st.integers(0, 11) | FRACTIONS
              | st.builds("{}{}{}".format, st.integers(0, 11), st.sampled_from(" -"), FRACTIONS),
              SPACE, st.sampled_from(INCHES)),
)  # fmt: skip


@st.composite
def edited(draw) -> str:
    """A written length with one character put in, taken out or changed."""
    text = draw(WRITTEN)
    place = draw(st.integers(0, len(text)))
    letter = draw(st.sampled_from(" ,.-/'\"\u2032\u2033\u00bd\u00a0\u2009_+e0159inftmc") | st.text(
        max_size=1))  # fmt: skip
    return text[:place] + letter + text[place + draw(st.integers(0, 1)) :]


@MANY
@given(st.integers(1, LONGEST // SIXTY_FOURTH).map(lambda units: units * SIXTY_FOURTH))
def test_p27_lengths_on_the_inch_grid_are_read_back(ticks):
    assert read_length(inches(ticks, 64)) == ticks
    assert read_length(feet_inches(ticks, 64)) == ticks


@MANY
@given(st.integers(1, 10_000_000_000))
def test_p27_lengths_on_the_millimetre_grid_are_read_back(thousandths):
    ticks = thousandths * MM // 1000
    assert read_length(f"{Decimal(thousandths).scaleb(-3):f} mm") == ticks
    assert read_length(f"{Decimal(thousandths).scaleb(-6):f} m") == ticks


@MANY
@given(st.text(max_size=60) | WRITTEN | edited())
@example("0 mm")
@example("999999999 m")
@example("0.000001 mm")
@example("9**9**9 m")
@example("")
def test_p27_any_string_is_refused_or_a_length_within_bounds(text):
    try:
        ticks = LENGTH.validate_python(text, context={"unit": "in"})
    except ValidationError:
        return
    assert len(text) <= 40
    assert 0 < ticks <= LONGEST


@MANY
@given(WRITTEN.filter(lambda text: len(text) <= 40))
@example("12' 6-1/2\"")
@example("12 ft 6 1/2 in")
@example("5/8 in")
@example("3.81 m")
@example("3810 mm")
def test_every_spelling_of_the_grammar_is_the_sum_of_its_parts(text):
    assert read_length(text) == nearest_tick(by_parts(text))


@MANY
@given(edited())
@example("1,5 m")
@example("1 200 mm")
@example("5..5 m")
def test_p28_one_edit_is_refused_or_changes_what_the_edit_says(text):
    try:
        ticks = read_length(text)
    except ValueError:
        return
    assert ticks == nearest_tick(by_parts(text))


def is_read(text: str) -> bool:
    try:
        read_length(text)
    except ValueError:
        return False
    return True


def is_of_no_rule(text: str) -> bool:
    """Whether a fraction is improper, or twelve inches and more stand beside feet."""
    inches_part = re.split("|".join(FEET), text.lower())[-1]
    return any(
        not 0 < int(top) < int(bottom) for top, bottom in re.findall(r"(\d+)/(\d+)", text)
    ) or (inches_part != text.lower() and by_parts(inches_part) >= 12 * INCH)


@MANY
@given((WRITTEN | edited()).flatmap(
    lambda text: st.tuples(*(st.sampled_from([letter.lower(), letter.upper()]) for letter in text))
).map("".join))  # fmt: skip
@example("5 M")
@example("12 FT 6 In")
@example("3 Millimetres")
@example("5 yard\u017f")
@example("5 3/2 IN")
@example("6' 12\"")
def test_the_published_pattern_admits_what_is_read_in_small_and_capital_letters(text):
    if len(text) > 40:
        return
    is_stated = STATED.is_valid(text)
    assert is_stated or not is_read(text)
    assert is_read(text) or not is_stated or is_of_no_rule(text)
    assert is_read(text) == is_read(re.sub("[A-Z]", lambda letter: letter[0].lower(), text))


@MANY
@given(st.integers(0, 999_999_999), st.integers(0, 3))
def test_p29_inches_are_25_4_times_millimetres(units, places):
    number = f"{Decimal(units).scaleb(-places):f}"
    assert 10 * read_length(f"{number} in") == 254 * read_length(f"{number} mm")
    assert read_length(f"{number} ft") == 12 * read_length(f"{number} in")
    assert read_length(f"{number} yd") == 3 * read_length(f"{number} ft")


@MANY
@given(st.integers(0, 10**12), st.integers(0, 6), st.sampled_from(["in", "ft", "mm", "cm", "m"]))
def test_a_number_and_its_writing_say_the_same(units, places, unit):
    number = Decimal(units).scaleb(-places)
    if number > 9_999_999 or Fraction(number) * FACTOR[unit] * MM > LONGEST:
        return
    context = {"unit": unit}
    bare = OR_ZERO.validate_python(number, context=context)
    assert OR_ZERO.validate_python(f"{number:f} {unit}", context=context) == bare


@pytest.mark.parametrize("word", sorted(UNIT_OF))
def test_every_unit_has_the_factor_of_the_units_library(word):
    registry = pint.UnitRegistry(non_int_type=Fraction)
    names = {"mm": "millimeter", "cm": "centimeter", "m": "meter", "yd": "yard", "ft": "foot",
             "in": "inch"}  # fmt: skip
    oracle = registry.Quantity(Fraction(1), names[UNIT_OF[word]]).to("millimeter").magnitude
    assert FACTORS[word] == oracle * MM == FACTOR[UNIT_OF[word]] * MM


def test_no_unit_is_read_that_is_not_listed_here():
    assert set(FACTORS) == set(UNIT_OF)


@pytest.mark.parametrize(
    ("text", "halves"),
    [("5 1/2 in", 11), ('3-1/2"', 7), ("3\u00bd in", 7), ("5'6\"", 132), ("5\u2032 6\u2033", 132),
     ("5 ft 6 in", 132), ("5 feet, 6 inches", 132), ("12'6-1/2\"", 301), ("1 IN", 2)],
)  # fmt: skip
def test_spellings_that_expression_parsers_misread_are_read_as_the_trade_means_them(text, halves):
    assert read_length(text) == halves * INCH // 2


@pytest.mark.parametrize(
    "text",
    ["9**9**9 m", "9^9^9 mm", "1e9 m", "5e3 mm", "nan m", "inf m", "-5 mm", "+5 mm", "5", "3 1/2",
     "1,5 m", "1.200,5 mm", "1 200 mm", "1\u2009200 mm", "1\u00a0200 mm", "5 m 3", "5 m = 6 m",
     "5 m | 3 m", "5 mil", "5 km", "kilometer", "(5 m)", "5 m*2", "1/0 m", "5 1/0 in", "5 3/2 in",
     "5 4/4 in", "5 1/3 in", "5' 12\"", "5_0 mm", "\u0665 mm", "\uff15 mm", "5 \u043c", "5\nmm",
     "5 mm\n", "5 mm;", "5 square inch", "a" * 30_000, "1" * 30_000, "1 " + "_" * 50_000],
)  # fmt: skip
def test_what_is_not_of_the_grammar_is_refused_with_what_would_do(text):
    with pytest.raises(ValueError, match=r"length|comma") as caught:
        read_length(text)
    assert text not in str(caught.value) or len(text) < 3
    assert "3.81 m" in str(caught.value)
