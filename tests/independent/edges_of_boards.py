"""Which edges of placed boards nothing holds, at each member, by the polygons of the pieces (18.3).

A member is looked along: where its middle leaves a piece towards the start another board must
touch it, and where it leaves it on the other side the piece must be as far out as its course.
For pieces with square corners. Lengths are ticks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from shapely import STRtree
from shapely.geometry import LineString, Point, Polygon

from tests.independent.asked import Layer, Member, placed_polygon, rows
from tests.independent.measure import INCH, slack, ticks

Row = dict[str, Any]

NOTHING = INCH // 64 + 8


@dataclass(frozen=True)
class Touch:
    """A piece on a member: whether its starting edge and its far one are held there."""

    row: Row
    near: bool
    far: bool


def touches(layer: Layer, answer: Row) -> Iterator[Touch]:
    """Every piece on every member that it touches by `min_touch`."""
    pieces = rows(answer, "pieces", layer)
    shapes = [placed_polygon(row, layer.unit) for row in pieces]
    tree = STRtree(shapes)
    far_of = {row["course"]: ticks(row["far"], layer.unit)
              for row in rows(answer, "courses", layer)}  # fmt: skip
    for row, shape in zip(pieces, shapes, strict=True):
        way = 1 if row["far"] > row["near"] else -1
        for member in layer.members:
            places = _places(layer, shape, member)
            ends = [_ends(shape, at, way) for at in places]
            if not ends:
                continue
            beside = [[other for k in tree.query(Point(at, near).buffer(NOTHING))
                       if (other := shapes[k]) is not shape and _before(pieces[k], row)]
                      for at, (near, _) in zip(places, ends, strict=True)]  # fmt: skip
            yield Touch(
                row,
                any(_touched(others, at, near) for others, at, (near, _)
                    in zip(beside, places, ends, strict=True)),
                any(abs(far - far_of[row["course"]]) <= NOTHING for _, far in ends),
            )  # fmt: skip


def _before(one: Row, row: Row) -> bool:
    return bool(one["course"] == row["course"] - 1)


def _touched(others: Sequence[Polygon], at: float, near: float) -> bool:
    spot = Point(at, near)
    return any(other.distance(spot) <= NOTHING for other in others)


def _places(layer: Layer, shape: Polygon, member: Member) -> list[float]:
    """Just left and just right of a member's middle, or of the end of a piece that ends before."""
    low, _, high, _ = shape.bounds
    on = min(high, member.at + member.half) - max(low, member.at - member.half)
    if on < min(layer.rule("min_touch"), 2 * member.half) - slack(layer.unit):
        return []
    place = min(max(member.at, low), high)
    return [at for at in (place - NOTHING, place + NOTHING) if low < at < high]


def _ends(shape: Polygon, at: float, way: int) -> tuple[float, float]:
    """Where a line across the boards enters a piece, from the start, and where it leaves it."""
    low, high = shape.bounds[1] - 1, shape.bounds[3] + 1
    met = LineString([(at, low), (at, high)]).intersection(shape)
    near, far = met.bounds[1], met.bounds[3]
    return (near, far) if way > 0 else (far, near)


def blind_nails(layer: Layer, answer: Row) -> Counter[str]:
    """Fasteners in the tongue and through the face of boards nailed blind, at members (18.3).

    An edge is held by the tongue of the board before it, or by a nail in its own tongue; one that
    is not is faced. The last course is not reached in its tongue.
    """
    field: dict[int | None, list[int]] = {}
    for row in rows(answer, "courses", layer):
        field.setdefault(row["bay"], []).append(row["course"])
    last = {max(own) for own in field.values() if len(own) > 1}
    ripped = {row["course"] for row in rows(answer, "courses", layer) if row["tongue"] == "none"}
    found: Counter[str] = Counter()
    for touch in touches(layer, answer):
        course = touch.row["course"]
        near, far = (ticks(touch.row[edge], layer.unit) for edge in ("near", "far"))
        if course in last:
            found["face"] += 2 if abs(far - near) > 4 * INCH or not touch.near else 1
            continue
        tongue = touch.far and course not in ripped
        found["blind"] += tongue
        found["face"] += (not touch.near) + (not tongue)
    return found
