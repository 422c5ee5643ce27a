"""Outlines from what was measured: corner after corner, or four sides and a diagonal (1.1, 1.3)."""

from __future__ import annotations

from math import hypot, sqrt

from service.errors import Fault, TradeRefused
from service.geometry.plane import fault_of
from service.geometry.rings import Point, Ring, clean, spike_of, twice_signed
from service.units.ticks import INCH, MM, whole
from service.units.writing import both

LEAST_TWICE_AREA = 2 * MM * MM
SQUARE_WITHIN = INCH // 64
"""How far out of square or parallel over its length a side of four measured ones counts as true.

Half of what rips are printed to (1/32 in, 0.2): no saw is set so fine, and a diagonal rounded in
any digit puts a corner off by less (1.3).
"""


def simple_ring(points: list[Point], pointer: str, what: str) -> Ring:
    """`points` as a clean ring, or a refusal that says where it crosses itself or is empty."""
    ring = clean(points)
    if len(ring) < 3 or twice_signed(ring) < LEAST_TWICE_AREA:
        raise TradeRefused(
            Fault("no-area", f"the {what} encloses no area: check its corners", pointer)
        )
    at = spike_of(points) or fault_of(ring)
    if at is not None or len(set(ring)) < len(ring):
        place = at or ring[0]
        raise TradeRefused(
            Fault(
                "crosses-itself",
                f"the {what} crosses or touches itself near x {both(place[0])}, "
                f"y {both(place[1])}: give its corners in order, once round",
                pointer,
                rule="1.1",
            )
        )
    return ring


def from_sides(
    sides: list[int], diagonals: list[int], pointer: str
) -> tuple[list[Point], int, int]:
    """Four corners from four sides and the diagonal from the first corner to the third.

    Side 1 lies along x; the rest follow counter-clockwise. Gives the corners; when a second
    diagonal was measured, by how much it misses (ticks, signed), otherwise 0; and by how much
    corners were moved to make sides square or parallel that are so within `SQUARE_WITHIN` (1.3).
    """
    a, b, c, d = sides
    across = diagonals[0]
    corner = _triangle(a, across, b, f"{pointer}/diagonals/0")
    fourth = _triangle_on(corner, across, d, c, f"{pointer}/diagonals/0")
    (corner, fourth), off = _squared(sides, corner, fourth)
    ring = [(0, 0), (a, 0), corner, fourth]
    miss = 0
    if len(diagonals) > 1:
        miss = diagonals[1] - whole(hypot(fourth[0] - a, fourth[1]))
    return ring, miss, off


def _squared(sides: list[int], third: Point, fourth: Point) -> tuple[tuple[Point, Point], int]:
    """The third and fourth corner with nearly square sides square; and the most they moved."""
    a, b, _, d = sides
    square = [abs(third[0] - a) <= SQUARE_WITHIN, abs(fourth[0]) <= SQUARE_WITHIN]
    corners = ((a, b) if square[0] else third, (0, d) if square[1] else fourth)
    (x, y), (left, height) = corners
    if abs(y - height) <= SQUARE_WITHIN and not all(square):
        level = height if square[1] else y
        corners = ((x, level), (left, level))
    moved = [max(abs(u - x), abs(v - y)) for (u, v), (x, y) in
             zip(corners, (third, fourth), strict=True)]  # fmt: skip
    return corners, max(moved)


def _triangle(base: int, left: int, right: int, pointer: str) -> Point:
    """The apex over a base on the x axis, `left` from its start and `right` from its end."""
    x = (left**2 + base**2 - right**2) / (2 * base)
    height = left**2 - x**2
    if height <= 0:
        raise TradeRefused(
            Fault(
                "impossible-triangle",
                "these sides and this diagonal do not close: measure them again",
                pointer,
                rule="1.3",
            )
        )
    return whole(x), whole(sqrt(height))


def _triangle_on(corner: Point, across: int, near: int, far: int, pointer: str) -> Point:
    """The corner on the left of the diagonal, `near` from its start and `far` from its end."""
    along, height = _triangle(across, near, far, pointer)
    ux, uy = corner[0] / across, corner[1] / across
    return whole(along * ux - height * uy), whole(along * uy + height * ux)
