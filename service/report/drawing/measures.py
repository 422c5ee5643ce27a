"""Measures of the outline: over all at the left and below, then each edge that differs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot
from typing import Final

from service.products.drawing import (
    Lie,
    Match,
    Point,
    Ring,
    Sheet,
    lie_of_course,
    station_text,
)
from service.report.drawing.ink import Spot, line
from service.report.drawing.labels import LINE, MIDDLE, Choice, Label, Word, width_of
from service.report.drawing.rail import Side, lie_of
from service.report.drawing.sheet_layout import CLEAR, Layout, extent
from service.units.ticks import whole

ROW: Final = LINE + 1.4
_OVERALL_RANK = 12
_KNOWN_RANK = 20
_EDGE_RANK = 30
_ALONG: Final = (0.5, 0.32, 0.68, 0.2, 0.8)
_LEAST = 3.0
"""An edge shorter than this on paper (mm) is not measured on the drawing."""

_NEARLY: Final = 0.95
"""Of the measure over all: a wall that is longer is told instead."""

_STROKE = 'stroke-width="0.15"'


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge to be measured: its ends with the surface at the left hand, and its side."""

    start: Point
    end: Point
    text: str
    side: Side | None


def outline_edges(sheet: Sheet) -> tuple[Edge, ...]:
    """Edges that the measures over all do not already give, each span once."""
    low, high = extent(sheet)
    seen: set[tuple[Lie, int, int]] = {("level", low[0], high[0]), ("upright", low[1], high[1])}
    found = []
    for start, end in _edges(sheet.outline):
        if _is_cut(start, end, sheet.matches):
            continue
        lie = lie_of(start, end)
        axis = 1 if lie == "upright" else 0
        span = (lie, min(start[axis], end[axis]), max(start[axis], end[axis]))
        if lie != "oblique" and span in seen:
            continue
        seen.add(span)
        length = whole(hypot(end[0] - start[0], end[1] - start[1]))
        side = _side_of(start, end, lie, low, high)
        found.append(Edge(start, end, station_text(length, sheet.unit), side))
    return tuple(found)


def _is_cut(start: Point, end: Point, matches: tuple[Match, ...]) -> bool:
    """Whether an edge ends at a match line: the rest of it is drawn in another length."""
    for match in matches:
        axis = 0 if match.start[0] == match.end[0] else 1
        if match.start[axis] in (start[axis], end[axis]):
            return True
    return False


def _edges(rings: tuple[Ring, ...]) -> Iterator[tuple[Point, Point]]:
    """All edges, each ring turned so that the surface lies at the left hand."""
    for k, ring in enumerate(rings):
        turned = ring if (_turn(ring) > 0) == (k == 0) else ring[::-1]
        yield from zip(turned, turned[1:] + turned[:1], strict=True)


def _turn(ring: Ring) -> int:
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)


def _side_of(start: Point, end: Point, lie: Lie, low: Point, high: Point) -> Side | None:
    if lie == "level" and start[1] == end[1]:
        return "bottom" if start[1] == low[1] else "top" if start[1] == high[1] else None
    if lie == "upright" and start[0] == end[0]:
        return "left" if start[0] == low[0] else "right" if start[0] == high[0] else None
    return None


def rows_for(sheet: Sheet) -> dict[Side, float]:
    """Paper that the measures need beyond the rails of each side, mm."""
    low, high = extent(sheet)
    rows: dict[Side, float] = {}
    if not _is_a_wall_s(sheet, 0):
        rows["bottom"] = ROW
    if not _is_a_wall_s(sheet, 1):
        rows["left"] = width_of(station_text(high[1] - low[1], sheet.unit)) + 1.6
    for side in ("left", "right", "bottom", "top"):
        texts = [edge.text for edge in outline_edges(sheet) if edge.side == side]
        if texts:
            deep = ROW if side in {"bottom", "top"} else max(map(width_of, texts)) + 1.6
            rows[side] = rows.get(side, 0.0) + deep
    return rows


def measure_labels(sheet: Sheet, layout: Layout) -> list[Label]:
    """Labels of all measures, each with its line."""
    edges = outline_edges(sheet)
    labels = _over_all(sheet, layout)
    for edge in edges:
        start, end = layout.view.spot(edge.start), layout.view.spot(edge.end)
        if hypot(end[0] - start[0], end[1] - start[1]) < _LEAST:
            continue
        moves = _aside(start, end, edge.text)
        choices: list[Choice] = []
        if edge.side is not None:
            moves = (_out(layout, edge.side, edges),)
        elif lie_of(edge.start, edge.end) == "oblique":
            choices += _along_edge(start, end, edge.text, layout)
        for move in moves:
            choices += spread(*_moved(start, end, move), edge.text)
        labels.append(Label(_EDGE_RANK, tuple(choices)))
    return labels


def known_labels(sheet: Sheet, layout: Layout) -> list[Label]:
    """What edges lie beside, written along each: inside the surface, close to the edge."""
    labels = []
    for one in sheet.known:
        start, end = layout.view.spot(one.start), layout.view.spot(one.end)
        if hypot(end[0] - start[0], end[1] - start[1]) < _LEAST:
            continue
        lines = [_moved(start, end, out) for out in _aside(start, end, one.label)[2:]]
        spots = [
            (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
            for a, b in lines
            for share in _ALONG
        ]
        words = [
            Word(one.label, x, y + MIDDLE, backed=True, shy=shy)
            for shy in (True, False)
            for x, y in spots
        ]
        labels.append(Label(_KNOWN_RANK, tuple(Choice((word,)) for word in words)))
    return labels


def _along_edge(start: Spot, end: Spot, text: str, layout: Layout) -> Iterator[Choice]:
    """Beside a slanting edge, close to it: outside, or else inside.

    Not among the numbers of a rail, where it would be taken for one of them.
    """
    near = _aside(start, end, text)
    for out in (near[0], near[2]):
        (x0, y0), (x1, y1) = _moved(start, end, out)
        for share in _ALONG:
            x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
            word = Word(text, x, y + MIDDLE, backed=True)
            if not _is_among_rails(word, layout):
                yield Choice((word,))


def _is_among_rails(word: Word, layout: Layout) -> bool:
    """Whether a word reaches beyond the surface at a side that has rails."""
    (x0, y0, x1, y1), (left, top, right, bottom) = word.box, layout.drawn
    out: dict[Side, float] = {
        "left": left - x0, "top": top - y0, "right": x1 - right, "bottom": y1 - bottom,
    }  # fmt: skip
    return any(out[place.rail.side] > CLEAR / 2 for place in layout.places)


def _aside(start: Spot, end: Spot, text: str) -> tuple[float, ...]:
    """How far off its edge a measure may lie, clear of it with all its text; outside first."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    level, upright = abs(end[0] - start[0]) / length, abs(end[1] - start[1]) / length
    reach = width_of(text) / 2 * upright + LINE / 2 * level
    return (reach + 1.2, reach + 5.6, -reach - 1.6, -reach - 6.0)


def _out(layout: Layout, side: Side, edges: tuple[Edge, ...]) -> float:
    """How far out the row of edge measures lies."""
    if side in {"bottom", "top"}:
        return layout.beyond[side] + ROW / 2
    widest = max(width_of(edge.text) for edge in edges if edge.side == side)
    return layout.beyond[side] + widest / 2 + 0.8


def _over_all(sheet: Sheet, layout: Layout) -> list[Label]:
    low, high = extent(sheet)
    left, top, right, bottom = layout.drawn
    rows = rows_for(sheet)
    across = station_text(high[1] - low[1], sheet.unit)
    labels = []
    if not _is_a_wall_s(sheet, 0):
        y = bottom + layout.beyond["bottom"] + rows["bottom"] - ROW / 2
        along = station_text(high[0] - low[0], sheet.unit)
        labels.append(Label(_OVERALL_RANK, spread((left, y), (right, y), along)))
    if not _is_a_wall_s(sheet, 1):
        x = left - layout.beyond["left"] - rows["left"] + width_of(across) / 2 + 0.8
        labels.append(Label(_OVERALL_RANK, spread((x, top), (x, bottom), across)))
    return labels


def _is_a_wall_s(sheet: Sheet, axis: int) -> bool:
    """Whether a wall out of square is nearly as long as the surface reaches along an axis.

    The wall can be measured, and a measure over all so near to its would be taken for it.
    """
    low, high = extent(sheet)
    over_all, lie = high[axis] - low[axis], ("level", "upright")[axis]
    for start, end in _edges(sheet.outline):
        length = hypot(end[0] - start[0], end[1] - start[1])
        span = abs(end[axis] - start[axis])
        if lie_of_course(start, end) == lie and span != over_all and length > _NEARLY * over_all:
            return not _is_cut(start, end, sheet.matches)
    return False


def _moved(start: Spot, end: Spot, out: float) -> tuple[Spot, Spot]:
    """The edge moved `out` mm away from the surface, on paper (y down)."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    shift = (-dy / length * out, dx / length * out)
    return (start[0] + shift[0], start[1] + shift[1]), (end[0] + shift[0], end[1] + shift[1])


def spread(start: Spot, end: Spot, text: str) -> tuple[Choice, ...]:
    """A measured line with its text on it at one of several places, or past either end."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    if length == 0:
        return (Choice((Word(text, start[0], start[1] + MIDDLE, backed=True),)),)
    room = _room(text, dx / length, dy / length)
    ink = measured_line(start, end)
    shares = [share for share in _ALONG if min(share, 1 - share) * 2 * length > room + 2.4]
    past = (room / 2 + 1.2) / length
    return tuple(
        Choice(
            (Word(text, start[0] + dx * share, start[1] + dy * share + MIDDLE, backed=True),),
            ink,
            ((start, end),),
        )
        for share in (*shares, 1 + past, -past)
    )


def _room(text: str, along_x: float, along_y: float) -> float:
    """Length of a line in this direction that a level text covers, mm."""
    wide = width_of(text) / abs(along_x) if along_x else float("inf")
    high = LINE / abs(along_y) if along_y else float("inf")
    return min(wide, high)


def measured_line(start: Spot, end: Spot) -> tuple[str, ...]:
    """A thin line with a slash through each end."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    along, aside = (dx / length, dy / length), (-dy / length, dx / length)
    slash = ((along[0] + aside[0]) * 0.8, (along[1] + aside[1]) * 0.8)
    ends = [
        line((x - slash[0], y - slash[1]), (x + slash[0], y + slash[1]), 'stroke-width="0.3"')
        for x, y in (start, end)
    ]
    return (line(start, end, _STROKE), *ends)
