"""Rings as they are sent: what is put in order, and what is never mended."""

from __future__ import annotations

import pytest

from service.errors import TradeRefused
from service.geometry.outlines import simple_ring
from service.geometry.rings import Polygon, box_polygon, clean, rectangle, spike_of, twice_signed
from service.units.ticks import INCH

BOX = [(0, 0), (120, 0), (120, 120), (0, 120)]


def inches(points: list[tuple[int, int]]) -> list[tuple[int, int]]:
    return [(x * INCH, y * INCH) for x, y in points]


@pytest.mark.parametrize(
    "points",
    [
        [*BOX, BOX[0]],
        BOX[::-1],
        BOX[2:] + BOX[:2],
        [corner for corner in BOX for _ in range(3)],
        [(0, 0), (60, 0), (120, 0), (120, 120), (70, 120), (60, 120), (0, 120)],
    ],
)
def test_a_ring_has_one_form_however_it_was_written(points: list[tuple[int, int]]) -> None:
    assert simple_ring(inches(points), "/outline", "outline") == tuple(inches(BOX))


@pytest.mark.parametrize(
    ("points", "code"),
    [
        ([(0, 0), (120, 0), (120, 120), (120, 0)], "no-area"),
        ([(0, 0), (60, 0), (120, 0)], "no-area"),
        ([(0, 0), (120, 0), (120, 120), (60, 120), (60, 240), (60, 120), (0, 120)],
         "crosses-itself"),
        ([(0, 0), (120, 0), (120, 120), (60, 120), (60, 240), (60, 130), (60, 120), (0, 120)],
         "crosses-itself"),
        ([(0, 0), (60, 60), (120, 0), (120, 120), (60, 60), (0, 120)], "crosses-itself"),
        ([(0, 0), (120, 120), (120, 0), (0, 120)], "no-area"),
    ],
)  # fmt: skip
def test_a_ring_that_meets_itself_is_refused_not_mended(
    points: list[tuple[int, int]], code: str
) -> None:
    for ring in (points, points[::-1], points[3:] + points[:3]):
        with pytest.raises(TradeRefused) as refusal:
            simple_ring(inches(ring), "/outline", "outline")
        assert refusal.value.faults[0].code == code


def test_a_corner_that_comes_back_later_stays() -> None:
    """Dropping it would join its neighbours, and change the area without a word."""
    hourglass = [(0, 0), (60, 60), (120, 0), (120, 120), (60, 60), (0, 120)]
    assert twice_signed(clean(hourglass)) == 2 * 120 * 60


def test_where_a_ring_turns_straight_back() -> None:
    assert spike_of(BOX) is None
    assert spike_of([(0, 0), (120, 0), (120, 120), (120, 60)]) == (120, 120)


def test_a_box_knows_what_its_polygon_would_work_out() -> None:
    """One of 30 by 5 from (-10, 3): twice its area is 300."""
    plain, known = Polygon(rectangle(-10, 3, 20, 8)), box_polygon((-10, 20, 3, 8))
    assert known == plain
    assert known.twice_area == plain.twice_area == 300
    assert known.box == plain.box
    assert (known.is_box, known.is_plain) == (plain.is_box, plain.is_plain)
    assert known.tidy == plain.tidy == plain
