"""Board ends beyond their last bearing, and members in openings, counted from whole polygons.

Rules 18.2 and 5.7, common practice. Lengths are ticks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from tests.independent.asked import Layer, Member, placed_polygon, rows
from tests.independent.measure import INCH

Row = dict[str, Any]


@dataclass(frozen=True)
class End:
    """An end of a run, on its centre line: where (stations), and how far beyond a member."""

    u: float
    v: float
    by: float


def beyond(layer: Layer, answer: Row) -> list[float]:
    """How far each end of each run lies beyond the last member under it, on its centre line."""
    return [end.by for end in ends(layer, answer)]


def ends(layer: Layer, answer: Row) -> list[End]:
    """Both ends of each run."""
    runs: dict[str, list[Polygon]] = {}
    for piece in rows(answer, "pieces", layer):
        name = piece["run"]
        runs.setdefault(name, []).append(placed_polygon(piece, layer.unit))
    return [end for shapes in runs.values() for end in _of_run(layer, shapes)]


def _of_run(layer: Layer, shapes: list[Polygon]) -> tuple[End, End]:
    left, near, right, far = unary_union(shapes).bounds
    middle = (near + far) / 2
    # Pieces meet to the printed digit only: each is cut by the line on its own.
    line = LineString([(left - INCH, middle), (right + INCH, middle)])
    met = [part.bounds for part in (shape.intersection(line) for shape in shapes) if part.length]
    low, high = min(b[0] for b in met), max(b[2] for b in met)
    under = [
        (centre - member.half, centre + member.half)
        for member in layer.members
        for centre in [member.centre(middle)]
        if centre + member.half > low and centre - member.half < high
    ]
    first = min((a for a, _ in under), default=high)
    last = max((b for _, b in under), default=low)
    return (
        End(low, middle, max(0.0, first - low)),
        End(high, middle, max(0.0, high - last)),
    )


def crossed(layer: Layer, opening: str) -> list[Member]:
    """Members that stand in an opening as drawn, within the outline, by more than 1/64 in."""
    numbers = {one["id"]: k for k, one in enumerate(layer.surface.get("openings", []))}
    drawn = layer.frame.moved(layer.seen.drawn[numbers[opening]]).intersection(layer.outline)
    _, near, _, far = drawn.bounds
    return [one for one in layer.members if _strip(one, near, far).intersection(drawn).area > 0]


def _strip(member: Member, near: float, far: float) -> Polygon:
    """A member over a width, less 1/64 in of each side: one flush with an opening is outside."""
    half = member.half - INCH / 64
    low, high = member.centre(near - INCH), member.centre(far + INCH)
    return Polygon([(low - half, near - INCH), (low + half, near - INCH),
                    (high + half, far + INCH), (high - half, far + INCH)])  # fmt: skip
