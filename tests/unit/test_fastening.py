"""Spacing, patterns and reach of fasteners. Common practice where no source is named."""

from fractions import Fraction

import pytest

from service.fastening.boards import at_crossing
from service.fastening.reach import blind_reach, face_reach, needed_length, shortest
from service.fastening.spacing import least, points
from service.units.ticks import INCH


@pytest.mark.parametrize(
    ("length", "spacing", "end", "count"),
    [(48, 12, 0.375, 5), (48, 6, 0.375, 9), (96, 6, 0.375, 17), (24, 8, 1.5, 4), (1.5, 8, 1.5, 1)],
)
def test_points_are_never_farther_apart(
    length: float, spacing: float, end: float, count: int
) -> None:
    """48 in at 12 and 6 in: the rows of a 4 ft sheet edge, 5 and 9 nails."""
    assert points(int(length * INCH), int(spacing * INCH), int(end * INCH)) == count


def test_no_piece_has_fewer_than_two() -> None:
    assert (least(3 * INCH), least(4 * INCH)) == (1, 2)


@pytest.mark.parametrize(
    ("pattern", "where", "width", "tongue", "blind", "face"),
    [
        ("blind", "field", 5.125, True, 1, 0),
        ("blind", "first", 4.125, True, 1, 1),
        ("blind", "last", 4.125, False, 0, 2),
        ("blind", "last", 3, False, 0, 1),
        ("blind", "field", 5.125, False, 0, 2),
        ("blind_face", "field", 6.875, True, 1, 1),
        ("blind_face", "last", 3, False, 0, 2),
        ("face", "field", 3.5, False, 0, 1),
        ("face", "first", 5.5, False, 0, 2),
        ("face", "last", 7.25, False, 0, 3),
    ],
)
def test_pattern(
    pattern: str, where: str, width: float, tongue: bool, blind: int, face: int
) -> None:
    found = at_crossing(pattern, where, int(width * INCH), tongue)  # type: ignore[arg-type]
    assert (found.blind, found.face) == (blind, face)


def test_reach_through_board_and_panel() -> None:
    """3/4 board on 1/2 panel: a 2 in nail leaves 3/4, a 2-1/2 in nail 1-1/4 in the framing.

    NAVEDTRA 14044 and WWPA TG-8 ask for 1-1/2 smooth, 1-1/4 ring: so 2-1/2 ring passes only.
    """
    board, panel = 3 * INCH // 4, INCH // 2
    assert face_reach(2 * INCH, board, panel).hold == 3 * INCH // 4
    assert face_reach(5 * INCH // 2, board, panel).hold == 5 * INCH // 4
    lengths = [3 * INCH // 2, 2 * INCH, 5 * INCH // 2]
    assert shortest(lengths, board, panel, None, 5 * INCH // 4) == 5 * INCH // 2
    assert shortest(lengths, board, panel, None, 3 * INCH // 2) is None
    assert needed_length(board, panel, None, 3 * INCH // 2) == 11 * INCH // 4


def test_a_blind_nail_leans() -> None:
    """At 45 degrees through 3/4 + 1/2: 2.5 - 0.875 x sqrt 2 = 1.26 along, 0.89 deep."""
    found = blind_reach(5 * INCH // 2, 3 * INCH // 4, INCH // 2, Fraction(45))
    assert found.hold / INCH == pytest.approx(1.2626, abs=1e-4)
    assert found.depth / INCH == pytest.approx(0.8928, abs=1e-4)
