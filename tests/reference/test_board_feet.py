"""Board feet.

Griffith, Carpentry (1916), section 77: a girder 6x8x16 ft is 64; US Army EN5155 p. 1-28: 8 pieces
1x4x14 ft are 37 1/3; US Army EN0069A paragraph 4-7d: 3 pieces 2x6x10 are 30. 564 feet of 1x6 are
282 (arithmetic: half a board foot a foot).
"""

import json
from fractions import Fraction
from pathlib import Path

import pytest

from service.compute import answer
from service.order.lines import board_feet
from service.units.ticks import FOOT

FULL = Path(__file__).parents[2] / "openapi" / "examples" / "full.json"


@pytest.mark.parametrize(
    ("thickness", "width", "feet", "expected"),
    [(6, 8, 16, 64), (1, 4, 8 * 14, Fraction(112, 3)), (2, 6, 30, 30), (1, 6, 564, 282),
     (Fraction(3, 4), 6, 2, 1)],
)  # fmt: skip
def test_board_feet(thickness: Fraction, width: int, feet: int, expected: Fraction) -> None:
    assert board_feet(Fraction(thickness), Fraction(width), feet * FOOT) == expected


def test_an_order_line_of_1x6_is_half_a_board_foot_a_foot() -> None:
    made = json.loads(answer(FULL.read_bytes()).body)
    lines = [row for row in made["order"] if row["product"] == "hemlock"]
    assert lines
    for row in lines:
        assert row["board_feet"] == pytest.approx(row["buy"] * row["length"] / 12 / 2)
