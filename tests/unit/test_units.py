"""Ticks, rounding with a stated direction, and lengths as the trade writes them."""

import re
from fractions import Fraction
from math import gcd

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.products.drawing import length_text
from service.units import ticks, writing
from service.units.ticks import FOOT, INCH, MM, SIXTEENTH
from tests.strategies.budget import examples


def test_the_grids_of_both_systems_are_whole_ticks() -> None:
    """1 in = 25.4 mm exactly (international yard and pound agreement, 1959)."""
    assert Fraction(254, 10) * MM == INCH
    assert INCH % 64 == 0
    assert INCH % 1000 == 0
    assert MM % 1000 == 0


@pytest.mark.parametrize(
    ("length", "down", "up", "nearest"),
    [(0, 0, 0, 0), (1, 0, 16, 0), (8, 0, 16, 16), (16, 16, 16, 16), (17, 16, 32, 16)],
)
def test_rounding(length: int, down: int, up: int, nearest: int) -> None:
    found = (ticks.down(length, 16), ticks.up(length, 16), ticks.nearest(length, 16))
    assert found == (down, up, nearest)


def test_half_goes_up_and_ceiling_is_exact() -> None:
    assert [ticks.whole(value) for value in (0.5, 1.5, -0.5, Fraction(5, 2))] == [1, 2, 0, 3]
    assert [ticks.ceiling(value) for value in (Fraction(3), Fraction(31, 10), 0)] == [3, 4, 0]


@pytest.mark.parametrize(
    ("length", "text"),
    [
        (0, '0"'),
        (24 * INCH + 15 * SIXTEENTH, "2' 0-15/16\""),
        (4 * INCH + 7 * SIXTEENTH, '4-7/16"'),
        (96 * INCH, "8' 0\""),
        (150 * INCH + INCH // 2, "12' 6-1/2\""),
        (12 * INCH - 1, "1' 0\""),
        (-SIXTEENTH, '-1/16"'),
    ],
)
def test_feet_and_inches(length: int, text: str) -> None:
    assert writing.feet_inches(length) == text


@pytest.mark.parametrize(
    "ticks", [0, 1, MM, -MM, 33 * INCH // 8, -5 * INCH, INCH // 2, 8 * INCH, 80 * INCH]
)
def test_a_sentence_is_in_one_system(ticks: int) -> None:
    """Whatever lengths a sentence has, only those of the job's system are left in it.

    In a metric job those that come of inches say so besides: eighths that are no whole millimetres.
    """
    text = f"from {writing.both(ticks)} to {writing.both(3 * ticks)}: put 3 in (three) of them"
    metric, imperial = (writing.in_system(text, unit) for unit in ("mm", "ft"))
    tape = [length_text(one, "in") for one in (ticks, 3 * ticks)]
    assert imperial == f"from {tape[0]} to {tape[1]}: put 3 in (three) of them"
    each = [writing.millimetres(one).replace(".0 mm", " mm") for one in (ticks, 3 * ticks)]
    inches = [f" ({writing.inches(one)})" if one % MM and one % (INCH // 8) == 0 else ""
              for one in (ticks, 3 * ticks)]  # fmt: skip
    told = [f"{mm}{inch}" for mm, inch in zip(each, inches, strict=True)]
    assert metric == f"from {told[0]} to {told[1]}: put 3 in (three) of them"


def test_inches_and_millimetres() -> None:
    assert writing.both(33 * INCH // 8) == "4-1/8 in (104.8 mm)"
    assert writing.millimetres(-MM // 2) == "-0.5 mm"
    assert writing.inches(3 * INCH // 64, 64) == "3/64 in"


def said(text: str) -> Fraction:
    """A writing in inches, feet and inches, or millimetres, as ticks: each number by its mark."""
    sign, text = (-1, text[1:]) if text.startswith("-") else (1, text)
    if text.endswith(" mm"):
        return sign * Fraction(text.removesuffix(" mm")) * MM
    feet, _, rest = text.rpartition("' ")
    whole, _, part = rest.removesuffix(" in").removesuffix('"').rpartition("-")
    if "/" not in part:
        whole, part = part, "0"
    return sign * (int(feet or 0) * FOOT + (int(whole or 0) + Fraction(part)) * INCH)


@examples(300)
@given(st.integers(-200 * FOOT, 200 * FOOT), st.sampled_from([2, 4, 8, 16, 32, 64]))
@example(0, 16)
@example(1, 16)
@example(-1, 16)
@example(INCH // 4, 2)
@example(-INCH // 4, 2)
@example(MM // 20, 16)
def test_a_writing_says_the_nearest_of_its_grid(length: int, parts: int) -> None:
    """Read back, half of the magnitude up, with a reduced fraction; zero has no sign."""
    for text, step in (
        (writing.inches(length, parts), INCH // parts),
        (writing.feet_inches(length, parts), INCH // parts),
        (writing.millimetres(length), MM // 10),
    ):
        off = abs(said(text)) - abs(length)
        assert -step / 2 < off <= step / 2, text
        assert said(text) % step == 0
        assert text.startswith("-") <= (length < 0)
        assert said(text) == 0 or text.startswith("-") == (length < 0)
        for top, bottom in re.findall(r"(\d+)/(\d+)", text):
            assert (gcd(int(top), int(bottom)), int(top) < int(bottom)) == (1, True)


@given(st.floats(-1e15, 1e15))
@example(0.49999999999999994)
@example(-0.5)
def test_a_float_is_rounded_as_the_fraction_that_it_is(value: float) -> None:
    """Half a tick less one bit is not half a tick, though half more is rounded to one."""
    assert ticks.whole(value) == ticks.whole(Fraction(value))


@given(st.fractions(-1000, 1000), st.integers(1, 50))
@example(Fraction(-1, 2), 1)
@example(Fraction(1, 2), 1)
def test_roundings_are_the_nearest_in_their_direction(value: Fraction, step: int) -> None:
    assert -1 < value - ticks.ceiling(value) <= 0
    assert Fraction(-1, 2) <= value - ticks.whole(value) < Fraction(1, 2)
    length = ticks.whole(value)
    assert 0 <= length - ticks.down(length, step) < step
    assert 0 <= ticks.up(length, step) - length < step
    assert -step <= 2 * (length - ticks.nearest(length, step)) < step
    for found in (ticks.down(length, step), ticks.up(length, step), ticks.nearest(length, step)):
        assert found % step == 0


def test_stock_and_sizes_are_named_in_the_callers_system() -> None:
    """Common practice: feet and inches beside metres for stock, inches beside millimetres."""
    assert [writing.stock_length(12 * FOOT, unit) for unit in ("in", "ft")] == ["12' 0\""] * 2
    metres = [writing.stock_length(length * MM, "mm") for length in (3600, 4000, 10, 1_234_567)]
    assert metres == ["3.6 m", "4 m", "0.01 m", "1,234.567 m"]
    assert [writing.size(5 * INCH // 2, unit) for unit in ("in", "ft")] == ["2-1/2 in"] * 2
    assert [writing.size(65 * MM, "mm"), writing.size(131 * MM // 2, "m")] == ["65 mm", "65.5 mm"]
    assert [writing.counted(n, "sheets") for n in (0, 1, 2)] == ["0 sheets", "1 sheet", "2 sheets"]
