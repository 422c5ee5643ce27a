"""Rings, gaps, strips and frames: exact where edges are square, snapped where they slant."""

from fractions import Fraction
from math import hypot

import pytest

from service.errors import TradeRefused
from service.geometry import offsets, outlines, rings, strips
from service.geometry.frame import axis_across, frame_of
from service.units.ticks import INCH

L_SHAPE = rings.clean(
    (x * INCH, y * INCH) for x, y in [(0, 0), (200, 0), (200, 50), (100, 50), (100, 150), (0, 150)]
)


def test_a_ring_has_one_form() -> None:
    """Start, turning sense, repeated and straight-through corners do not matter."""
    square = [(0, 0), (10, 0), (10, 10), (0, 10)]
    written = [(10, 10), (10, 5), (10, 0), (10, 0), (0, 0), (0, 10)]
    assert rings.clean(written) == rings.clean(square) == tuple(square)


def test_an_inset_is_mitred_on_both_kinds_of_corner() -> None:
    (inset,) = offsets.shrunk(L_SHAPE, INCH // 2)
    assert [(x / INCH, y / INCH) for x, y in inset.outer] == [
        (0.5, 0.5), (199.5, 0.5), (199.5, 49.5), (99.5, 49.5), (99.5, 149.5), (0.5, 149.5),
    ]  # fmt: skip


def test_growing_then_shrinking_a_square_gives_it_back() -> None:
    square = rings.rectangle(0, 0, 100, 100)
    (grown,) = offsets.grown(square, 7)
    assert offsets.shrunk(grown.outer, 7) == (rings.Polygon(square),)


def test_an_inset_wider_than_the_area_leaves_nothing() -> None:
    assert offsets.shrunk(rings.rectangle(0, 0, 10, 100), 6) == ()


def test_a_circle_has_its_area() -> None:
    area = rings.twice_signed(rings.circle(0, 0, 8 * INCH)) / 2 / INCH**2
    assert area == pytest.approx(16 * 3.14159265, rel=1e-7)


def test_strips_lose_nothing_but_what_snapping_says() -> None:
    triangle = rings.Polygon(rings.clean([(0, 0), (200 * INCH, 0), (3 * INCH, 100 * INCH)]))
    lines = [k * 5 * INCH + k * 63 for k in range(21)]
    cut = strips.refined((triangle,), lines, axis=1)
    parts = strips.in_strips(cut, list(zip(lines, [*lines[1:], 101 * INCH], strict=True)))
    assert sum(map(rings.twice_area, parts)) == rings.twice_area(cut)
    moved = rings.twice_area(cut) - triangle.twice_area
    assert abs(moved) <= 2 * 300 * INCH


def test_pieces_of_a_run_lose_nothing() -> None:
    shape = rings.Polygon(rings.clean([(0, 0), (100_003, 0), (90_001, 997), (7, 1000)]))
    parts = strips.cut_across(shape, [20_000, 50_001])
    assert len(parts) == 3
    refined = strips.refined((shape,), [20_000, 50_001], axis=0)
    assert sum(map(rings.twice_area, parts)) == rings.twice_area(refined)


@pytest.mark.parametrize("degrees", [0, 30, 45, 90, 135, 179])
def test_frames_measure_from_the_lowest_projections(degrees: int) -> None:
    frame = frame_of(L_SHAPE, Fraction(degrees))
    stations = [frame.to(point) for point in L_SHAPE]
    assert min(u for u, _ in stations) == min(v for _, v in stations) == 0
    for point, station in zip(L_SHAPE, stations, strict=True):
        back = frame.back(station)
        assert hypot(back[0] - point[0], back[1] - point[1]) <= 2


def test_the_across_axis_points_up_or_right() -> None:
    assert axis_across(Fraction(0)) == (0.0, 1.0)
    assert axis_across(Fraction(90)) == (1.0, 0.0)


def test_sides_and_a_diagonal_give_the_corners() -> None:
    """A 3-4-5 room (Pythagoras): 9 by 12 ft, diagonal 15 ft, no misfit."""
    nine, twelve, fifteen = (feet * 12 * INCH for feet in (9, 12, 15))
    ring, miss, off = outlines.from_sides([twelve, nine, twelve, nine], [fifteen, fifteen], "")
    assert tuple(ring) == rings.rectangle(0, 0, twelve, nine)
    assert miss == off == 0


def test_sides_that_cannot_close_are_refused() -> None:
    with pytest.raises(TradeRefused) as refused:
        outlines.from_sides([100, 100, 100, 100], [300], "/surfaces/0")
    assert refused.value.faults[0].code == "impossible-triangle"


def test_a_bow_tie_is_refused_with_its_place() -> None:
    with pytest.raises(TradeRefused) as refused:
        outlines.simple_ring(
            [(0, 0), (10 * INCH, 10 * INCH), (10 * INCH, 0), (0, 12 * INCH)], "/x", "outline"
        )
    fault = refused.value.faults[0]
    assert fault.code == "crosses-itself"
    assert "near x" in fault.detail
