"""Ticks, rounding with a stated direction, and lengths as the trade writes them."""

from fractions import Fraction

import pytest

from service.units import ticks, writing
from service.units.ticks import INCH, MM, SIXTEENTH


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
        (0, "0' 0\""),
        (150 * INCH + INCH // 2, "12' 6-1/2\""),
        (12 * INCH - 1, "1' 0\""),
        (-SIXTEENTH, "-0' 1/16\""),
    ],
)
def test_feet_and_inches(length: int, text: str) -> None:
    assert writing.feet_inches(length) == text


def test_inches_and_millimetres() -> None:
    assert writing.both(33 * INCH // 8) == "4-1/8 in (104.8 mm)"
    assert writing.millimetres(-MM // 2) == "-0.5 mm"
    assert writing.inches(3 * INCH // 64, 64) == "3/64 in"
