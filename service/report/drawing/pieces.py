"""Pieces on paper, each with its label and size where they find room."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot
from typing import Final

from service.products.drawing import DrawnPiece, Ring
from service.report.drawing.drawn import Drawn
from service.report.drawing.hatch import within
from service.report.drawing.ink import Spot, group, line, shape
from service.report.drawing.labels import LINE, Box, Choice, Label, stacked, width_of
from service.report.drawing.placing import crosses
from service.report.drawing.sheet_layout import Layout, View

RIPPED: Final = "#e2e2e2"
"""The grey of ripped pieces."""

NEW_LOOK: Final = 'stroke-width="0.5"'
GONE_LOOK: Final = 'stroke-width="0.35" stroke-dasharray="1.6 0.9"'
"""The outlines of pieces that a change brings, and of those that it takes away."""

HATCH: Final = 1.8
"""How far apart the lines of new pieces are, mm."""

_RANK = 60


def pieces(marks: list[DrawnPiece], layout: Layout) -> Drawn:
    """Each piece as one path, grey where it is ripped; labels where they fit inside."""
    view = layout.view
    there = [mark for mark in marks if mark.state == "as_is"]
    ink = [
        shape(
            ([view.spot(point) for point in ring] for ring in mark.rings),
            f'fill="{RIPPED}"' if mark.rip else "",
        )
        for mark in there
    ]
    labels = [_piece_label(mark, view) for mark in marks]
    fitting = [label for label in labels if label is not None]
    usual = _least_side(marks, view)
    weight = 0.15 if usual > 0.8 else 0.08
    look = f'fill="#fff" fill-rule="evenodd" stroke="{_edge_grey(usual)}" stroke-width="{weight}"'
    # A line, as a beam, has its number in a rail too.
    short = any(
        mark.label and mark.line is None and label is None
        for mark, label in zip(marks, labels, strict=True)
    )
    drawn = group("pieces", look, ink) + _changed(marks, view)
    return Drawn(drawn, tuple(fitting), False, short)


def _changed(marks: list[DrawnPiece], view: View) -> str:
    """New pieces hatched in a bold line, and those that go dashed over them: without colour."""
    new = [mark for mark in marks if mark.state == "new"]
    gone = [mark for mark in marks if mark.state == "gone"]
    spots = [[[view.spot(point) for point in ring] for ring in mark.rings] for mark in new]
    ink = [shape(rings, 'fill="#fff" fill-rule="evenodd"') for rings in spots]
    ink += [part for rings in spots for part in hatched(rings)]
    taken = [shape([view.spot(point) for point in ring] for ring in mark.rings) for mark in gone]
    return group("new", f'stroke="#000" {NEW_LOOK}', ink) + group(
        "gone", f'fill="none" stroke="#000" {GONE_LOOK}', taken
    )


def hatched(rings: list[list[Spot]]) -> list[str]:
    """The hatch of a new piece, holes left out."""
    xs, ys = [x for x, _ in rings[0]], [y for _, y in rings[0]]
    low, high, top, bottom = min(xs), max(xs), min(ys), max(ys)
    deep = bottom - top
    lines = []
    for k in range(int((high - low + deep) / HATCH) + 1):
        x = low + k * HATCH
        for start, end in within(rings, (x, top), (x - deep, bottom)):
            lines.append(line(start, end, 'stroke-width="0.13"'))
    return lines


def _edge_grey(usual: float) -> str:
    """Black edges, lighter the closer they lie (`usual` mm), so that a hall is no black block."""
    shade = max(0, min(170, round(170 * (1.8 - usual) / 1.4)))
    return f"#{shade:02x}{shade:02x}{shade:02x}"


def _box(ring: Ring, view: View) -> tuple[float, float, float, float]:
    spots = [view.spot(point) for point in ring]
    return (
        min(x for x, _ in spots), min(y for _, y in spots),
        max(x for x, _ in spots), max(y for _, y in spots),
    )  # fmt: skip


def _least_side(marks: list[DrawnPiece], view: View) -> float:
    """The middle one of the pieces' smaller sides on paper, mm."""
    sides = []
    for mark in marks:
        left, top, right, bottom = _box(mark.rings[0], view)
        sides.append(min(right - left, bottom - top))
    return sorted(sides)[len(sides) // 2]


def _piece_label(mark: DrawnPiece, view: View) -> Label | None:
    """The label, with the size under it where there is room, wherever it lies in the piece."""
    rings = [[view.spot(point) for point in ring] for ring in mark.rings]
    longest = max(
        zip(rings[0], rings[0][1:] + rings[0][:1], strict=True),
        key=lambda edge: hypot(edge[1][0] - edge[0][0], edge[1][1] - edge[0][1]),
    )
    if not mark.label or _is_slanting(*longest):
        return None
    choices = [choice for rows in _ways(mark) for choice in inside(rows, rings)]
    return Label(_RANK, tuple(choices)) if choices else None


def _ways(mark: DrawnPiece) -> Iterator[tuple[str, ...]]:
    """The label with its size in one row, or in two, or alone; of a line its number alone."""
    one, _, other = mark.size.partition(" x ")
    if mark.size:
        yield mark.label, mark.size
    if other:
        yield mark.label, f"{one} x", other
    yield (mark.label,)
    if mark.line is not None:
        yield (str(mark.line),)


def _is_slanting(start: Spot, end: Spot) -> bool:
    wide, high = abs(end[0] - start[0]), abs(end[1] - start[1])
    return high * 500 > wide and wide * 500 > high


def inside(texts: tuple[str, ...], rings: list[list[Spot]]) -> list[Choice]:
    """Places for some lines of text at which they lie wholly in the rings."""
    xs, ys = [x for x, _ in rings[0]], [y for _, y in rings[0]]
    left, top, right, bottom = min(xs), min(ys), max(xs), max(ys)
    wide, high = max(map(width_of, texts)) + 2, LINE * len(texts) - 0.1
    if right - left < wide or bottom - top < high:
        return []
    found = []
    for down, along in _PLACES:
        x, y = left + (right - left) * along, top + (bottom - top) * down
        if _holds(rings, (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)):
            found.append(stacked(texts, x, y, shy=True))
    return found


_CLEAR: Final = 0.2
"""How far text stands off a side of its ring, both sides together, mm."""


def beside(texts: tuple[str, ...], rings: list[list[Spot]], at: Spot) -> list[Choice]:
    """Places in the rings at which lines of text stand close to a side of them, by `at` on it."""
    xs, ys = [x for x, _ in rings[0]], [y for _, y in rings[0]]
    box = min(xs), min(ys), max(xs), max(ys)
    wide, high = max(map(width_of, texts)) + 2, LINE * len(texts) - 0.1
    size = wide + _CLEAR, high + _CLEAR
    found = []
    for along in (0.5, 0.4, 0.6, 0.3, 0.7):
        x, y = _beside_side(box, at, along, size)
        if _holds(rings, (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)):
            found.append(stacked(texts, x, y, shy=True))
    return found


def _beside_side(box: Box, at: Spot, along: float, size: tuple[float, float]) -> Spot:
    """The middle of a text that stands close to the side of a box that is nearest to `at`."""
    left, top, right, bottom = box
    x, y = left + (right - left) * along, top + (bottom - top) * along
    off = {
        (left + size[0] / 2, y): abs(at[0] - left), (right - size[0] / 2, y): abs(at[0] - right),
        (x, top + size[1] / 2): abs(at[1] - top), (x, bottom - size[1] / 2): abs(at[1] - bottom),
    }  # fmt: skip
    return min(off, key=lambda spot: off[spot])


_PLACES: Final = tuple(
    (down, along) for down in (0.5, 0.7, 0.3) for along in (0.5, 0.4, 0.6, 0.3, 0.7)
)
"""Where a piece's label may stand: shares of its height and of its length."""


def _holds(rings: list[list[Spot]], box: Box) -> bool:
    """Whether the box lies in the rings: no edge runs through it, and its middle is inside."""
    edges = [edge for ring in rings for edge in zip(ring, ring[1:] + ring[:1], strict=True)]
    if any(crosses(edge, box) for edge in edges):
        return False
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    return bool(within(rings, (x, y), (x + 0.01, y)))
