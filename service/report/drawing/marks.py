"""Marks on paper: one table from a mark's type to its ink and labels."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from math import copysign, hypot
from typing import Any, Final

from service.products.drawing import (
    Behind,
    Callout,
    CentreLine,
    Dimension,
    DrawnPiece,
    Joint,
    Lap,
    Standing,
)
from service.report.drawing.behind import behind
from service.report.drawing.drawn import Drawn
from service.report.drawing.ink import Spot, group, line
from service.report.drawing.labels import (
    LINE,
    MIDDLE,
    SIZE,
    Anchor,
    Box,
    Choice,
    Label,
    Word,
    stacked,
)
from service.report.drawing.measures import spread
from service.report.drawing.pieces import beside, inside, pieces
from service.report.drawing.rail import lie_of
from service.report.drawing.sheet_layout import Layout, View

_STATION_RANK = 28
_LAP_RANK = 58
_STANDING_RANK = 30
_CALLOUT_RANK = 16
_CLOSE: Final = 6.0
"""A size that must stand close to what is cut is no farther from its middle on paper, mm."""

_ROOMY = 2.5
"""Joints of courses narrower than this on paper (mm) are not labelled one by one."""


def joints(marks: list[Joint], layout: Layout) -> Drawn:
    """Each joint as a bold short line; oblique ones carry their station beside them."""
    view = layout.view
    ends = [(view.spot(mark.start), view.spot(mark.end)) for mark in marks]
    reach = sorted(hypot(b[0] - a[0], b[1] - a[1]) for a, b in ends)[len(ends) // 2]
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


LAP_LOOK: Final = 'stroke-width="0.3" stroke-dasharray="3 1.2 0.8 1.2"'


def laps(marks: list[Lap], layout: Layout) -> Drawn:
    """Each lap as a dashed line along its middle, with its text on it where there is room."""
    ends = [(layout.view.spot(mark.start), layout.view.spot(mark.end)) for mark in marks]
    labels = [
        Label(_LAP_RANK, tuple(_on_lap(mark.text, *pair)))
        for mark, pair in zip(marks, ends, strict=True)
        if mark.text
    ]
    ink = [line(*pair) for pair in ends]
    return Drawn(group("laps", f'stroke="#000" {LAP_LOOK}', ink), tuple(labels))


STANDING_LOOK: Final = 'stroke-width="0.9" stroke-dasharray="2.4 0.9"'
"""The stroke of a nailer, a header or a block."""


def standing(marks: list[Standing], layout: Layout) -> Drawn:
    """What stands behind a surface as heavy dashed lines, with what it is beside its middle."""
    ends = [(layout.view.spot(mark.start), layout.view.spot(mark.end)) for mark in marks]
    labels = [
        Label(_STANDING_RANK, tuple(_by_line(mark.text, *pair)))
        for mark, pair in zip(marks, ends, strict=True)
        if mark.text
    ]
    ink = [line(*pair) for pair in ends]
    look = f'stroke="#000" {STANDING_LOOK}'
    return Drawn(group("backing", look, ink), tuple(labels), kept=tuple(ends))


def _by_line(text: str, start: Spot, end: Spot) -> Iterator[Choice]:
    """Beside a line, by its middle or an end: under or over one that lies level, else aside.

    Where others stand too near for that, past an end of a level one.
    """
    upright = 4 * abs(end[1] - start[1]) > abs(end[0] - start[0])
    for off, share in product((0.0, 3.6), (0.5, 0.25, 0.75, 0.1, 0.9)):
        x, y = (a + (b - a) * share for a, b in zip(start, end, strict=True))
        if upright:
            yield from _aside(text, x - off - 1.4, x + off + 1.4, y)
        elif not off:
            yield stacked((text,), x, y + LINE / 2 + 0.6, shy=True)
            yield stacked((text,), x, y - LINE / 2 - 0.6, shy=True)
    if not upright:
        (low, _), (high, y) = sorted((start, end))
        yield from _aside(text, low - 1.4, high + 1.4, y)


def _aside(text: str, left: float, right: float, y: float) -> Iterator[Choice]:
    """A word that begins at the right of a line, or else ends at the left of it."""
    yield Choice((Word(text, right, y + MIDDLE, "start", backed=True, shy=True),))
    yield Choice((Word(text, left, y + MIDDLE, "end", backed=True, shy=True),))


def _on_lap(text: str, start: Spot, end: Spot) -> Iterator[Choice]:
    for share in (0.3, 0.7, 0.5, 0.2, 0.8):
        x, y = (a + (b - a) * share for a, b in zip(start, end, strict=True))
        yield stacked((text,), x, y, shy=True)


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


def callouts(marks: list[Callout], layout: Layout) -> Drawn:
    """Sizes of what is cut, each by its place where its ring has room for it."""
    return Drawn("", tuple(_callout(mark, layout.view) for mark in marks))


def _callout(mark: Callout, view: View) -> Label:
    """Within the ring, the nearer to its place the better."""
    spot, rings = view.spot(mark.at), [[view.spot(point) for point in mark.ring]]
    whole = inside((mark.text,), rings)
    if mark.close:
        near = (one for one in whole + beside((mark.text,), rings, spot) if _is_close(one, spot))
        return Label(_CALLOUT_RANK, _nearest([*near], spot), mark.listed)
    if not mark.rows:
        return Label(_CALLOUT_RANK, _nearest(whole, spot), mark.listed)
    whole += beside((mark.text,), rings, spot) + beside(mark.rows, rings, spot)
    name = [replace(one, partly=True) for one in beside(mark.rows[:1], rings, spot)]
    return Label(_CALLOUT_RANK, _nearest(whole, spot) + _nearest(name, spot), mark.listed)


def _is_close(choice: Choice, spot: Spot) -> bool:
    """Whether every word of a choice has its box close to a place."""
    x, y = spot
    return all(
        hypot(max(left - x, 0, x - right), max(top - y, 0, y - bottom)) <= _CLOSE
        for left, top, right, bottom in (word.box for word in choice.words)
    )


def _nearest(found: Sequence[Choice], spot: Spot) -> tuple[Choice, ...]:
    def off(one: Choice) -> float:
        x, y = one.middle
        return hypot(x - spot[0], y - spot[1])

    return tuple(sorted(found, key=off))


def centre_lines(marks: list[CentreLine], layout: Layout) -> Drawn:
    """No ink: what they say stands in rails beside the drawing."""
    return Drawn("")


TABLE: Final[tuple[tuple[type, Callable[[list[Any], Layout], Drawn]], ...]] = (
    (DrawnPiece, pieces),
    (Behind, behind),
    (Joint, joints),
    (Lap, laps),
    (Standing, standing),
    (CentreLine, centre_lines),
    (Dimension, dimensions),
    (Callout, callouts),
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
