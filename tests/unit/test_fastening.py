"""Spacing, patterns and reach of fasteners. Common practice where no source is named."""

from fractions import Fraction

import pytest

from service.fastening.boards import at_crossing
from service.fastening.reach import Need, Ply, Way, blind_entry, needed_length, reach_of, shortest
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
    ("pattern", "where", "width", "blind", "face"),
    [
        ("blind", "field", 5.125, 1, 0),
        ("blind", "first", 4.125, 1, 1),
        ("blind", "last", 4.125, 0, 2),
        ("blind", "last", 3, 0, 1),
        ("blind_face", "field", 6.875, 1, 1),
        ("blind_face", "last", 3, 0, 2),
        ("face", "field", 3.5, 0, 1),
        ("face", "first", 5.5, 0, 2),
        ("face", "last", 7.25, 0, 2),
        ("face", "field", 9.25, 0, 3),
        ("lap", "field", 6, 0, 1),
        ("lap", "last", 6, 0, 2),
        ("deck_face", "field", 3.5, 0, 2),
        ("deck_face", "last", 9.25, 0, 2),
        ("deck_face", "last", 1.5, 0, 1),
        ("glue_pin", "field", 5.5, 0, 2),
        ("clip", "first", 5.5, 0, 1),
        ("clip", "field", 5.5, 0, 0),
        ("clip", "last", 5.5, 0, 1),
    ],
)
def test_pattern(pattern: str, where: str, width: float, blind: int, face: int) -> None:
    found = at_crossing(pattern, where, int(width * INCH))
    assert (found.blind, found.face) == (blind, face)


@pytest.mark.parametrize(
    ("pattern", "where", "width", "fasteners"),
    [
        ("blind", "field", 5.125, (1, 1, 0)),
        ("blind", "last", 3, (0, 2, 0)),
        ("blind", "last", 5, (0, 2, 0)),
        ("blind_face", "field", 7, (1, 1, 0)),
        ("clip", "field", 5.5, (0, 1, 1)),
        ("clip", "last", 5.5, (0, 2, 0)),
    ],
)
def test_without_a_board_before_it_each_edge_has_its_own(
    pattern: str, where: str, width: float, fasteners: tuple[int, int, int]
) -> None:
    """In the tongue, through the face, and clips (18.3): a field board is held as a first one."""
    found = at_crossing(pattern, where, int(width * INCH)).with_near_edge()
    assert (found.blind, found.face, found.clip) == fasteners


BOARD, PANEL = 3 * INCH // 4, Ply(INCH // 2, wood=True)
FACE, BLIND = Way(BOARD, (PANEL,)), Way(blind_entry(BOARD), (PANEL,), Fraction(45))


def test_reach_through_board_and_panel() -> None:
    """3/4 board on 1/2 panel: a 2 in nail leaves 3/4, a 2-1/2 in nail 1-1/4 in the framing.

    NAVEDTRA 14044 and WWPA TG-8 ask for 1-1/2 smooth, 1-1/4 ring; in framing alone 2-1/2 ring
    passes only, and with the panel counted 2 in ring passes too.
    """
    assert reach_of(2 * INCH, FACE).framing == 3 * INCH // 4
    assert reach_of(5 * INCH // 2, FACE).framing == 5 * INCH // 4
    lengths = [3 * INCH // 2, 2 * INCH, 5 * INCH // 2]
    ring, smooth = 5 * INCH // 4, 3 * INCH // 2
    assert shortest(lengths, [FACE], Need(ring, ring)) == 5 * INCH // 2
    assert shortest(lengths, [FACE], Need(smooth, smooth)) is None
    assert shortest(lengths, [FACE], Need(ring)) == 2 * INCH
    assert needed_length([FACE], Need(smooth, smooth)) == 11 * INCH // 4


@pytest.mark.parametrize(("length", "framing", "wood"), [(2, 0.59, 1.29), (2.5, 1.09, 1.79)])
def test_a_blind_nail_leans(length: float, framing: float, wood: float) -> None:
    """It enters 1/2 in from the back of a 3/4 in board; at 45 degrees through 1/2 in of panel.

    Hand-computed: length - (1/2 + 1/2) x sqrt 2 in framing, and the panel's 1/2 x sqrt 2 more.
    """
    found = reach_of(int(length * INCH), BLIND)
    assert found.framing / INCH == pytest.approx(framing, abs=0.005)
    assert found.wood / INCH == pytest.approx(wood, abs=0.005)
    assert found.depth / INCH == pytest.approx(framing / 2**0.5, abs=0.005)


@pytest.mark.parametrize(("wanted", "least"), [(1, 7 / 4), (1.5, 9 / 4), (1.75, None)])
def test_no_fastener_holds_deeper_than_what_it_is_driven_into(
    wanted: float, least: float | None
) -> None:
    """A 3/4 in board on straps 1-1/2 in thick: what goes through them holds in them alone."""
    strap = Way(BOARD, depth=3 * INCH // 2)
    need = Need(int(wanted * INCH), int(wanted * INCH))
    assert needed_length([strap], need) == (None if least is None else int(least * INCH))
    assert reach_of(4 * INCH, strap).framing == 3 * INCH // 2
