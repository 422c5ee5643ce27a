"""Legs beside a hole, by hand: which are too narrow, and which are cut out with it (5.2).

1/64 in counts as nothing; the rest is common practice. A wall of two courses of 10 in and a hole
in the upper one, at its lower edge or at its upper one.
"""

from __future__ import annotations

import pytest

from service.geometry.rings import Polygon, rectangle, twice_area
from service.layout.legs import FramedHole, cut_out, narrow_legs
from service.layout.runs import NOTHING, Course
from service.units.ticks import INCH, SIXTY_FOURTH

WALL = (Polygon(rectangle(0, 0, 100 * INCH, 20 * INCH)),)
COURSES = (
    Course(1, 0, 10 * INCH, "none", True),
    Course(2, 10 * INCH, 20 * INCH, "none", True),
)
LEAST = 2 * INCH


def hole(leg: int, is_low: bool, cover: int = 0) -> FramedHole:
    """From 30 to 50 in along, a leg of `leg` beside it; a flange covers so much around."""
    low, high = (10 * INCH + leg, 16 * INCH) if is_low else (14 * INCH, 20 * INCH - leg)
    near, far = 30 * INCH, 50 * INCH
    ring = rectangle(near - cover, low - cover, far + cover, high + cover)
    own = (Polygon(rectangle(near, low, far, high)),)
    return FramedHole("hatch", own, (Polygon(ring),) if cover else ())


@pytest.mark.parametrize("is_low", [True, False])
@pytest.mark.parametrize(
    ("leg", "found", "gone"),
    [(0, False, False), (1, True, True), (SIXTY_FOURTH, True, True),
     (NOTHING, True, True), (NOTHING + 1, True, False),
     (LEAST - 1, True, False), (LEAST, False, False)],
)  # fmt: skip
def test_a_leg_under_the_least_is_found_and_one_of_a_64th_is_nothing(
    leg: int, found: bool, gone: bool, is_low: bool
) -> None:
    own = hole(leg, is_low)
    legs = list(narrow_legs(COURSES, [own], lambda course: (LEAST, LEAST)))
    assert [(one.opening, one.course, one.width, one.least) for one in legs] == (
        [("hatch", 2, leg, LEAST)] if found else []
    )
    assert [one.cut_out for one in legs] == ([gone] if found else [])
    region, (after,) = cut_out(WALL, [own], legs)
    if gone:
        box = legs[0].box.box
        assert box[:2] == (30 * INCH, 50 * INCH)
        side = 10 * INCH if is_low else 20 * INCH
        assert side in box[2:]
        assert twice_area(after.cut) == twice_area(own.cut) + 2 * 20 * INCH * leg
    else:
        assert (region, after) == (WALL, own)


@pytest.mark.parametrize("is_low", [True, False])
@pytest.mark.parametrize(("cover", "gone"), [(INCH - 1, False), (INCH, True), (2 * INCH, True)])
def test_a_leg_that_the_flange_covers_is_cut_out(cover: int, gone: bool, is_low: bool) -> None:
    """A leg of 1 in beside the hole, a flange of so much round it."""
    own = hole(INCH, is_low, cover)
    (leg,) = narrow_legs(COURSES, [own], lambda course: (LEAST, LEAST))
    assert leg.cut_out == gone
    low, high = (10 * INCH, 12 * INCH) if is_low else (18 * INCH, 20 * INCH)
    assert leg.box.box == (30 * INCH, 50 * INCH, low, high)
    region, _ = cut_out(WALL, [own], [leg])
    assert twice_area(WALL) - twice_area(region) == (2 * 20 * 2 * INCH**2 if gone else 0)


def test_each_side_has_its_own_least() -> None:
    """1 in below and 1-1/2 in above: the one is too narrow for 1-1/4 in, the other is not."""
    ring = rectangle(30 * INCH, 11 * INCH, 50 * INCH, 37 * INCH // 2)
    legs = narrow_legs(
        COURSES, [FramedHole("hatch", (Polygon(ring),))],
        lambda course: (5 * INCH // 4, 5 * INCH // 4),
    )  # fmt: skip
    assert [(leg.width, leg.least) for leg in legs] == [(INCH, 5 * INCH // 4)]
