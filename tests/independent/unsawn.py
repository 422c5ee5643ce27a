"""Rips under 1/8 in, and strips of up to 1/8 in, that a covered gap takes: the room of the boards.

By rule 3.9 a wall whose usual gap is covered gives up to 1/8 in of it, never below 1/4 in nor,
where a last course of tongue and groove must slide on, below the tongue and 1/16 in. A strip that
would be left over beyond a whole course there is not laid.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient
from shapely.ops import unary_union

from tests.independent.asked import Layer, rows
from tests.independent.insets import inset
from tests.independent.measure import INCH, slack, ticks

Vector = tuple[float, float]
Span = tuple[float, float]

NEARLY = 0.05
NOTHING = INCH // 64
AT_MOST = INCH // 8


def room(layer: Layer, answer: dict[str, Any]) -> BaseGeometry:
    """The outline in by its gaps, in stations, and what whole courses take of them; no strips."""
    inner = layer.frame.moved_all(layer.inset())
    whole = unary_union([inner, *(shape for _, _, shape in taken(layer, answer))])
    return whole.difference(unary_union(left_over(layer, answer)))


def left_over(layer: Layer, answer: dict[str, Any]) -> list[BaseGeometry]:
    """The strips along walls that are too narrow to be laid, and whose gap takes them."""
    most = min(_most(layer), AT_MOST)
    spans = sorted((*_span(layer, row), row["course"]) for row in rows(answer, "courses", layer))
    steps = [after[0] - one[1] for one, after in pairwise(spans)]
    spacer = max(0.0, min(steps, default=0.0))
    found = []
    for a, b in _edges(layer.frame.moved_all(layer.inset())) if most else ():
        high, ends = b[0] < a[0], sorted((a[1], b[1]))
        for low, far, _ in spans:
            rest = (ends[1] - far if high else low - ends[0]) - spacer
            if NOTHING + 8 < rest <= most + 2 and _wall(layer, (a, b)) is not None:
                sides = (far, ends[1] + 64) if high else (ends[0] - 64, low)
                found.append(box(min(a[0], b[0]), sides[0], max(a[0], b[0]), sides[1]))
    return found


def widest_strip(layer: Layer) -> float:
    """The widest strip that any wall takes, that all walls take; 0 where one of them does not."""
    return min(_most(layer), AT_MOST) if all(wall.covered for wall in layer.walls) else 0


def _most(layer: Layer) -> float:
    """What gaps take at most; nothing of lapped boards, nor where the gap was sent."""
    if layer.product["profile"] == "lapped" or "gap" in layer.own:
        return 0
    return ticks(layer.own["unsawn"], layer.unit) if "unsawn" in layer.own else AT_MOST


def missed(layer: Layer, answer: dict[str, Any]) -> list[str]:
    """Courses that are sawn though a gap would take it."""
    own = {row["course"]: _span(layer, row) for row in rows(answer, "courses", layer)}
    give = 4 * slack(layer.unit)
    return [
        f"course {number} is sawn at {line}"
        for number, line, _ in taken(layer, answer)
        if not own[number][0] - give <= line <= own[number][1] + give
    ]


def taken(layer: Layer, answer: dict[str, Any]) -> list[tuple[int, float, BaseGeometry]]:
    """Each course that a gap lets stay whole at a wall, the line to which it goes, the strip."""
    most = _most(layer)
    if not most:
        return []
    spans = sorted((*_span(layer, row), row["course"]) for row in rows(answer, "courses", layer))
    starts_low = len(spans) < 2 or spans[0][2] < spans[-1][2]
    inner = layer.frame.moved_all(layer.inset())
    found = []
    for a, b in _edges(inner):
        high = b[0] < a[0]
        for number, line in _lines(layer, spans, high):
            off = [(line - v) if high else (v - line) for v in (a[1], b[1])]
            if min(off) < -min(most, AT_MOST) - 2 or not NOTHING + 8 < max(off) < most - 2:
                continue
            slides = layer.product["profile"] == "tongue_and_groove" and high == starts_low
            least = max(INCH // 4, layer.overall - layer.coverage + INCH // 16 if slides else 0)
            shape = _strip(layer, (a, b), line, max(off), least)
            if shape is not None:
                found.append((number, line, shape))
    return found


def _span(layer: Layer, row: dict[str, Any]) -> Span:
    low, high = sorted((ticks(row["near"], layer.unit), ticks(row["far"], layer.unit)))
    return low, high


def _edges(region: BaseGeometry) -> Iterator[tuple[Vector, Vector]]:
    """Sides that run with the boards, the region on their left."""
    for part in getattr(region, "geoms", [region]):
        for a, b in pairwise(orient(Polygon(part.exterior)).exterior.coords):
            if abs(b[1] - a[1]) < NEARLY * abs(b[0] - a[0]):
                yield a[:2], b[:2]


def _lines(
    layer: Layer, spans: list[tuple[float, float, int]], high: bool
) -> Iterator[tuple[int, float]]:
    """Where a whole board of each course goes on to, from an edge on which another course lies."""
    for k, (low, far, number) in enumerate(spans):
        beside = k > 0 if high else k + 1 < len(spans)
        if beside:
            yield number, low + layer.coverage if high else far - layer.coverage


def _strip(
    layer: Layer, edge: tuple[Vector, Vector], line: float, by: float, least: float
) -> BaseGeometry | None:
    """What is taken of a wall's gap; None where the wall does not give so much."""
    number = _wall(layer, edge)
    if number is None or layer.walls[number].gap - by < least - 2:
        return None
    (au, av), (bu, bv) = edge
    less = [wall.gap - by * (k == number) for k, wall in enumerate(layer.walls)]
    nearer = inset(_corners(layer), less) if _is_plain(layer) else None
    wider = layer.inset(round(by)) if nearer is None else nearer.shape
    sides = sorted((min(av, bv) if bu < au else max(av, bv), line))
    strip = box(min(au, bu), sides[0] - 64, max(au, bu), sides[1])
    return layer.frame.moved_all(wider).buffer(4, join_style="mitre").intersection(strip)


def _wall(layer: Layer, edge: tuple[Vector, Vector]) -> int | None:
    """The number of the wall along whose gap an edge lies; None where that gap does not give."""
    number = 0
    if _is_plain(layer):
        (au, av), (bu, bv) = edge
        middle = layer.frame.back(((au + bu) / 2, (av + bv) / 2))
        usual = inset(_corners(layer), [wall.gap for wall in layer.walls])
        assert usual is not None
        number = min(usual.walls_at(middle, 0))
        told = [row for row in layer.surface.get("edges", ()) if row["edge"] == number]
        if any("gap" in row or row.get("is") == "mitre" for row in told):
            return None
    return number if layer.walls[number].covered else None


def _corners(layer: Layer) -> list[Vector]:
    return [at[:2] for at in layer.seen.outline.exterior.coords[:-1]]


def _is_plain(layer: Layer) -> bool:
    """Whether each wall, in by its gap, still lies along the inset; else all are taken alike."""
    return inset(_corners(layer), [wall.gap for wall in layer.walls]) is not None
