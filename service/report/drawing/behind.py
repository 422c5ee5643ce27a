"""Layers behind the one that is drawn: the edges of their pieces, seen through it, dashed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from service.products.drawing import Behind
from service.report.drawing.drawn import Drawn
from service.report.drawing.ink import Spot, group, line
from service.report.drawing.labels import Stroke
from service.report.drawing.sheet_layout import Layout
from service.units.folding import folded

_LOOKS: Final = (
    'stroke-width="0.35" stroke-dasharray="1.4 1"',
    'stroke-width="0.4" stroke-dasharray="5 1.6"',
    'stroke-width="0.4" stroke-dasharray="9 1.6 1 1.6"',
)

_ONE: Final = 0.4
"""Edges nearer than this (mm) are drawn as one line; two would fill each other's gaps."""


def behind_look(depth: int) -> str:
    """The stroke of a layer so many (from 1) behind the one drawn; the farthest share the last."""
    return _LOOKS[min(depth, len(_LOOKS)) - 1]


def behind(marks: list[Behind], layout: Layout) -> Drawn:
    """The edges of all pieces, a group of lines for each layer, the farthest first."""
    depths = sorted({mark.depth for mark in marks}, reverse=True)
    return Drawn("".join(_layer(marks, depth, layout) for depth in depths))


def _layer(marks: list[Behind], depth: int, layout: Layout) -> str:
    edges: list[Stroke] = []
    for mark in marks:
        if mark.depth == depth:
            for ring in mark.rings:
                spots = [layout.view.spot(point) for point in ring]
                edges += zip(spots, spots[1:] + spots[:1], strict=True)
    ink = [line(*edge) for edge in joined(edges)]
    return group(f"behind-{depth}", f'fill="none" stroke="#000" {behind_look(depth)}', ink)


def joined(edges: Iterable[Stroke]) -> Iterator[Stroke]:
    """The edges with level and upright ones that lie along each other drawn as one line."""
    ways: tuple[list[Stroke], list[Stroke]] = ([], [])
    for edge in edges:
        (x0, y0), (x1, y1) = edge
        if y0 == y1 or x0 == x1:
            ways[0 if y0 == y1 else 1].append(edge)
        else:
            yield edge
    for axis, chosen in enumerate(ways):
        for at, low, high in _merged(chosen, axis):
            yield _spot(axis, low, at), _spot(axis, high, at)


def _spot(axis: int, along: float, at: float) -> Spot:
    return (along, at) if axis == 0 else (at, along)


def _merged(edges: list[Stroke], axis: int) -> Iterator[tuple[float, float, float]]:
    """Lines across, then from where to where along, of edges that lie along `axis`."""
    for row in _rows(edges, axis):
        at = folded(edge[0][1 - axis] for edge in row) / len(row)
        spans = sorted(tuple(sorted(spot[axis] for spot in edge)) for edge in row)
        low, high = spans[0]
        for a, b in spans[1:]:
            if a > high + _ONE:
                yield at, low, high
                low = a
            high = max(high, b)
        yield at, low, high


def _rows(edges: list[Stroke], axis: int) -> Iterator[list[Stroke]]:
    """Edges that lie so near each other that they are one line on paper."""
    row: list[Stroke] = []
    for edge in sorted(edges, key=lambda edge: edge[0][1 - axis]):
        if row and edge[0][1 - axis] - row[0][0][1 - axis] > _ONE:
            yield row
            row = []
        row.append(edge)
    if row:
        yield row
