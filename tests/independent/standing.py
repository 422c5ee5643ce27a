"""What stands behind a surface, held against members and board ends from whole polygons.

Rules 15.1, 15.3 and 18.2, common practice. Lengths are ticks.
"""

from __future__ import annotations

from typing import Any

from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union

from tests.independent.asked import Layer, rows
from tests.independent.hanging import ends
from tests.independent.measure import INCH, ticks

Row = dict[str, Any]


def over_members(answer: Row) -> list[Row]:
    """Lines of backing that lie over a member: it stands there already; headers cross cut ones."""
    unit = answer["units"]["length"]
    found = []
    for row in answer["backing"]:
        strips = [
            LineString(_points(one["line"], unit)).buffer(
                ticks(one["thickness"], unit) / 2 - INCH / 32, cap_style="flat"
            )
            for one in answer["members"]
            if one["surface"] == row["surface"]
        ]
        line = LineString(_points([row["from"], row["to"]], unit))
        if row["what"] != "header" and line.intersection(unary_union(strips)).length > INCH / 16:
            found.append(row)
    return found


def beyond_walls(answer: Row) -> list[Row]:
    """Lines of backing that reach out of the outline of their surface."""
    unit = answer["units"]["length"]
    rooms = {
        row["surface"]: Polygon(_points(row["outline"], unit)).buffer(INCH / 32)
        for row in answer["surfaces"]
    }
    return [
        row
        for row in answer["backing"]
        if not rooms[row["surface"]].contains(LineString(_points([row["from"], row["to"]], unit)))
    ]


def unborne(layer: Layer, answer: Row, limit: float, reach: float) -> list[tuple[float, float]]:
    """Ends at the outline that hang by more than a limit, with no backing or member in reach."""
    unit = layer.unit
    lines = [
        LineString([layer.frame.station(at) for at in _points([row["from"], row["to"]], unit)])
        for row in rows(answer, "backing", layer)
    ]
    behind, edge = unary_union(lines), layer.outline.exterior
    return [
        (end.u / INCH, end.v / INCH)
        for end in ends(layer, answer)
        if end.by > limit
        and edge.distance(Point(end.u, end.v)) <= reach
        and (behind.is_empty or behind.distance(Point(end.u, end.v)) > reach)
        and all(abs(one.centre(end.v) - end.u) > one.half + reach for one in layer.members)
    ]


def _points(points: list[list[float]], unit: str) -> list[tuple[int, int]]:
    return [(ticks(x, unit), ticks(y, unit)) for x, y in points]
