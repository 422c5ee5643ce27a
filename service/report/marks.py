"""Marks on paper: one table from a mark's type to its ink and labels."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import copysign, hypot
from typing import Any, Final

from service.products.drawing import Behind, Course, Dimension, Joint, Lap, Piece, Ring
from service.report.ink import Spot, group, line, shape
from service.report.labels import (
    LINE,
    MIDDLE,
    SIZE,
    Anchor,
    Box,
    Choice,
    Label,
    Stroke,
    Word,
    stacked,
    width_of,
)
from service.report.measures import spread
from service.report.rails import lie_of, step_for
from service.report.sheet_layout import Layout, View

_NUMBER_RANK = 20
_STATION_RANK = 28
_PIECE_RANK = 60
_ROOMY = 2.5
"""Joints of courses narrower than this on paper (mm) are not labelled one by one."""

_GREY = "#e2e2e2"


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the marks of one type put on a page: SVG, and labels to be placed.

    `over` puts the ink over the members' centre lines. `short` tells that some marks could not
    be labelled for want of room. `kept` are lines that other marks' labels keep off.
    """

    ink: str
    labels: tuple[Label, ...] = ()
    over: bool = True
    short: bool = False
    kept: tuple[Stroke, ...] = ()


def pieces(marks: list[Piece], layout: Layout) -> Drawn:
    """Each piece as one path, grey where it is ripped; labels where they fit inside."""
    view = layout.view
    ink = [
        shape(
            ([view.spot(point) for point in ring] for ring in mark.rings),
            f'fill="{_GREY}"' if mark.rip else "",
        )
        for mark in marks
    ]
    fitting = [label for mark in marks if (label := _piece_label(mark, view)) is not None]
    usual = _least_side(marks, view)
    weight = 0.15 if usual > 0.8 else 0.08
    look = f'fill="#fff" fill-rule="evenodd" stroke="{_edge_grey(usual)}" stroke-width="{weight}"'
    return Drawn(group("pieces", look, ink), tuple(fitting), False, len(fitting) < len(marks))


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


def _least_side(marks: list[Piece], view: View) -> float:
    """The middle one of the pieces' smaller sides on paper, mm."""
    sides = []
    for mark in marks:
        left, top, right, bottom = _box(mark.rings[0], view)
        sides.append(min(right - left, bottom - top))
    return sorted(sides)[len(sides) // 2]


def _piece_label(mark: Piece, view: View) -> Label | None:
    ring = mark.rings[0]
    longest = max(
        zip(ring, ring[1:] + ring[:1], strict=True),
        key=lambda edge: hypot(edge[1][0] - edge[0][0], edge[1][1] - edge[0][1]),
    )
    left, top, right, bottom = _box(ring, view)
    room = right - left >= width_of(mark.label) + 2 and bottom - top >= LINE - 0.1
    if not mark.label or not room or lie_of(*longest) == "oblique":
        return None
    middle = (top + bottom) / 2
    shares = (0.5, 0.4, 0.6, 0.3, 0.7)
    choices = [
        stacked((mark.label,), left + (right - left) * share, middle, shy=True) for share in shares
    ]
    return Label(_PIECE_RANK, tuple(choices))


def joints(marks: list[Joint], layout: Layout) -> Drawn:
    """Each joint as a bold short line; oblique ones carry their station beside them."""
    view = layout.view
    ends = [(view.spot(mark.start), view.spot(mark.end)) for mark in marks]
    reach = min(hypot(b[0] - a[0], b[1] - a[1]) for a, b in ends)
    weight = max(0.45, min(0.9, 0.3 * reach))
    loose = [mark for mark in marks if lie_of(mark.start, mark.end) == "oblique"]
    labels = [_beside(mark, view) for mark in loose] if reach >= _ROOMY else []
    ink = [line(start, end) for start, end in ends]
    look = f'stroke="#000" stroke-width="{weight:.2f}"'
    return Drawn(
        group("joints", look, ink), tuple(labels), short=len(labels) < len(loose), kept=tuple(ends)
    )


def _beside(mark: Joint, view: View) -> Label:
    start, end, text = view.spot(mark.start), view.spot(mark.end), mark.station_text
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    aside = abs(end[0] - start[0]) / 2 + 1.6
    return Label(
        _STATION_RANK,
        (
            Choice((Word(text, x + aside, y + MIDDLE, "start", SIZE, True, True),)),
            Choice((Word(text, x - aside, y + MIDDLE, "end", SIZE, True, True),)),
        ),
    )


def behind(marks: list[Behind], layout: Layout) -> Drawn:
    """Pieces of the layers behind, as dashed outlines: the farther back, the longer the dash."""
    ink = [
        group(
            f"behind-{depth}",
            f'fill="none" stroke="#000" {BEHIND_LOOKS[min(depth, len(BEHIND_LOOKS)) - 1]}',
            [
                shape([layout.view.spot(point) for point in ring] for ring in mark.rings)
                for mark in marks
                if mark.depth == depth
            ],
        )
        for depth in sorted({mark.depth for mark in marks}, reverse=True)
    ]
    return Drawn("".join(ink))


BEHIND_LOOKS: Final = (
    'stroke-width="0.35" stroke-dasharray="1.4 1"',
    'stroke-width="0.6" stroke-dasharray="5 1.6"',
    'stroke-width="0.6" stroke-dasharray="9 1.6 1 1.6"',
)
"""Strokes of layers behind, the nearest first; farther ones are drawn as the last."""


LAP_LOOK: Final = 'stroke-width="0.3" stroke-dasharray="3 1.2 0.8 1.2"'


def laps(marks: list[Lap], layout: Layout) -> Drawn:
    """Each lap as a dashed line along its middle."""
    ends = [(layout.view.spot(mark.start), layout.view.spot(mark.end)) for mark in marks]
    return Drawn(group("laps", f'stroke="#000" {LAP_LOOK}', [line(*pair) for pair in ends]))


def courses(marks: list[Course], layout: Layout) -> Drawn:
    """Numbers and stations at both ends of oblique courses; rails write those of all others."""
    chosen = [mark for mark in marks if lie_of(mark.at, mark.end) == "oblique"]
    if not chosen:
        return Drawn("")
    step = _step(chosen, layout.view)
    labels: list[Label] = []
    for mark in chosen:
        if mark.number % step == 0 or mark in (chosen[0], chosen[-1]):
            low, high = layout.view.spot(mark.at), layout.view.spot(mark.end)
            number = str(mark.number)
            long = f"{number}: {mark.near_text}"
            labels.append(Label(_NUMBER_RANK, past(low, high, (long, number), layout.drawn)))
            labels.append(Label(_STATION_RANK, past(high, low, (mark.far_text,), layout.drawn)))
    return Drawn("", tuple(labels), short=step > 1)


def _step(marks: list[Course], view: View) -> int:
    """Thin by the way from end to end of neighbouring courses, which turns at corners."""
    way, places, before = 0.0, [], view.spot(marks[0].at)
    for mark in marks:
        spot = view.spot(mark.at)
        way += hypot(spot[0] - before[0], spot[1] - before[1])
        places.append(way)
        before = spot
    return step_for(places, LINE + 1.0)


def past(end: Spot, other: Spot, texts: tuple[str, ...], drawn: Box) -> tuple[Choice, ...]:
    """The first of `texts` that finds room just beyond the `end` of a line from `other`.

    At the left and right of the surface the text stands beside the end; above and below, where
    room is short, only the last of `texts` stands in one row.
    """
    dx, dy = end[0] - other[0], end[1] - other[1]
    if _is_beside(end, drawn):
        anchor: Anchor = "end" if dx < 0 else "start"
        return tuple(
            Choice((Word(text, end[0] + copysign(out, dx), end[1] + MIDDLE, anchor, shy=True),))
            for text in texts
            for out in (1.6, 3.2, 4.8)
        )
    y = end[1] + copysign(LINE / 2 + 1.0, dy) + MIDDLE
    return (Choice((Word(texts[-1], end[0], y, shy=True),)),)


def _is_beside(spot: Spot, drawn: Box) -> bool:
    """Whether a point lies nearer to the left or right side of the surface's box."""
    left, top, right, bottom = drawn
    return min(spot[0] - left, right - spot[0]) < min(spot[1] - top, bottom - spot[1])


def dimensions(marks: list[Dimension], layout: Layout) -> Drawn:
    """Measured lines where the kind put them."""
    view = layout.view
    labels = [
        Label(32, spread(view.spot(mark.start), view.spot(mark.end), mark.text)) for mark in marks
    ]
    return Drawn("", tuple(labels))


TABLE: Final[tuple[tuple[type, Callable[[list[Any], Layout], Drawn]], ...]] = (
    (Piece, pieces),
    (Behind, behind),
    (Joint, joints),
    (Lap, laps),
    (Course, courses),
    (Dimension, dimensions),
)
"""Every type of mark, in the order of ink from the lowest up."""


def drawn_marks(marks: tuple[Any, ...], layout: Layout) -> dict[type, Drawn]:
    """What each type of mark that is present draws."""
    found = {}
    for kind, draw in TABLE:
        chosen = [mark for mark in marks if isinstance(mark, kind)]
        if chosen:
            found[kind] = draw(chosen, layout)
    return found
