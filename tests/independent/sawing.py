"""A sawyer: a piece made of a board by what its row says is done to it, with shapely alone.

The board lies face up, its left end at 0 and its near edge at 0: the piece is what is left.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import radians, tan
from typing import Any

from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from tests.independent import drawn
from tests.independent.lying import is_left_handed

Row = Mapping[str, Any]

FAR_EDGES = ("tongue", "far")
CORNER = 1e-3
"""Inches within which a corner lies at an end."""
HAIR = 1e-5


def on_bench(piece: Row, course: Row, layer: Row) -> BaseGeometry:
    """The shape of a piece as it is answered, turned so that its far edge is away.

    It is never turned over: where stations across rise to the right of those along, its low end
    comes to lie at the right.
    """
    way = 1 if course["far"] > course["near"] else -1
    on = -way if is_left_handed(layer) else way
    left = piece["from"] if on > 0 else piece["to"]
    shape = drawn.in_stations(piece)
    return affine_transform(shape, [on, 0, 0, way, -on * left, -way * course["near"]])


def sawn(piece: Row, course: Row, layer: Row) -> BaseGeometry:
    """What is left of the board: rips, notches and holes, then the ends, long point by long point.

    What is cut to a shape, or to a line within a box, is left on. Where both edges are ripped the
    near one keeps the place that it has.
    """
    length, width = piece["to"] - piece["from"], abs(course["far"] - course["near"])
    made: BaseGeometry = box(0, 0, length, width)
    for row in piece["work"]:
        if row["do"] == "rip":
            made = made.difference(_off(row, width, on_bench(piece, course, layer)))
    for row in piece["work"]:
        if row["do"] in ("notch", "hole") and not row["to_line"]:
            made = made.difference(_out_of(made, row))
    for row in piece["work"]:
        if row["do"] == "angle":
            made = made.difference(_end(made, row, length))
    return made


def _off(row: Row, width: float, laid: BaseGeometry) -> BaseGeometry:
    """What a rip takes."""
    low, high = row["from_left"], row["from_left"] + row["length"]
    first, last = row["widths"]
    if row["edge"] == "both":
        return _beside_both(low, high, first, last, laid)
    if row["edge"] in FAR_EDGES:
        return _quad(low, high, (first, last), 2 * width)
    return _quad(low, high, (width - first, width - last), -width)


def _beside_both(
    low: float, high: float, first: float, last: float, laid: BaseGeometry
) -> BaseGeometry:
    _, near, _, far = laid.bounds
    assert abs(first - last) < CORNER, "where both taper the near edge is not told"
    off = _quad(low, high, (near, near), near - far).union(
        _quad(low, high, (near + first, near + last), 2 * far)
    )
    return off


def _quad(low: float, high: float, inner: Sequence[float], outer: float) -> BaseGeometry:
    """All beyond a line; a hair more along, as figures are rounded to six decimals."""
    rise = (inner[1] - inner[0]) / (high - low) * HAIR
    return Polygon([(low - HAIR, inner[0] - rise), (high + HAIR, inner[1] + rise),
                    (high + HAIR, outer), (low - HAIR, outer)])  # fmt: skip


def _out_of(made: BaseGeometry, row: Row) -> BaseGeometry:
    """The box of a notch, from the edge inward, or of a hole."""
    low, high = row["from_left"], row["from_left"] + row["length"]
    beside = made.intersection(box(low, -1e3, high, 1e3)).bounds
    if row["do"] == "hole":
        near = made.bounds[1] + row["from_edge"]
        return box(low, near, high, near + row["depth"])
    if row["edge"] in FAR_EDGES:
        return box(low, beside[3] - row["depth"], high, beside[3] + 1)
    return box(low, beside[1] - 1, high, beside[1] + row["depth"])


def _end(made: BaseGeometry, row: Row, length: float) -> BaseGeometry:
    """What an angle takes: all beyond the line from its long point inward."""
    at, inward = (0.0, 1) if row["end"] == "left" else (length, -1)
    at_end = made.intersection(box(at - CORNER, -1e3, at + CORNER, 1e3)).bounds
    long, away = (at_end[3], -1) if row["edge"] in FAR_EDGES else (at_end[1], 1)
    reach = 100.0
    along = inward * reach * tan(radians(row["angle"]))
    # Past the long point the line leads outward, where nothing is left to take.
    out = at - inward * (abs(along) + 1)
    return Polygon([(at, long), (at + along, long + away * reach), (out, long + away * reach),
                    (out, long)])  # fmt: skip


def is_told(piece: Row) -> bool:
    """Whether straight cuts and boxes are all that is done to a piece."""
    return not any(row["do"] == "shape" or row["to_line"] for row in piece["work"])
