"""Rails on paper: their headings, the numbers that find room, the ticks and the fine lines."""

from __future__ import annotations

from service.report.drawing.ink import Spot, line
from service.report.drawing.labels import DESCENT, LINE, MIDDLE, SIZE, Anchor, Choice, Label, Word
from service.report.drawing.rail import Rail, Tick, kept, step_for
from service.report.drawing.sheet_layout import Layout, Place, View

_HEADING_RANK = 10
_FINE = 'stroke-width="0.1" stroke-dasharray="0.5 0.7"'
_SHORT = 1.2
"""A mark that ends this much (mm) short of its side is led out to it."""


def rail_ink(layout: Layout) -> list[str]:
    """The short lines that stand at each tick of the rails that have them, none on another."""
    ink = []
    for place in layout.places:
        last = float("-inf")
        for tick in place.rail.ticks if place.rail.stroke else ():
            along = _along(layout.view, place.rail, tick)
            if abs(along - last) >= 2 * place.rail.stroke:
                ink.append(_stub(layout, place.rail, tick))
                last = along
    return ink


def rail_labels(layout: Layout) -> list[Label]:
    """Headings and numbers of all rails."""
    steps = _steps(layout)
    labels = []
    for place in layout.places:
        labels.append(_heading(layout, place))
        ticks = kept(place.rail, steps[place.rail.family])
        ends = (place.rail.ticks[0], place.rail.ticks[-1])
        for tick in ticks:
            rank = place.rail.rank - (1 if tick in ends else 0)
            rows = range(place.rail.rows)
            numbers = tuple(_number(layout, place, tick, row) for row in rows)
            labels.append(Label(rank, numbers, tick.listed))
    return labels


def is_thinned(layout: Layout) -> bool:
    """Whether some rail could not write each of its numbers."""
    return any(step > 1 for step in _steps(layout).values())


def _steps(layout: Layout) -> dict[str, int]:
    """Each how many-th number every family of rails writes."""
    steps: dict[str, int] = {}
    for place in layout.places:
        rail = place.rail
        along = [_along(layout.view, rail, tick) for tick in rail.ticks]
        step = step_for(along, rail.pitch) if rail.thinned else 1
        steps[rail.family] = max(step, steps.get(rail.family, 1))
    return steps


def _along(view: View, rail: Rail, tick: Tick) -> float:
    return view.spot(tick.at)[0 if rail.lengthwise else 1]


def _side_at(layout: Layout, rail: Rail) -> float:
    left, top, right, bottom = layout.drawn
    return {"left": left, "right": right, "top": top, "bottom": bottom}[rail.side]


def _number(layout: Layout, place: Place, tick: Tick, row: int = 0) -> Choice:
    rail, side = place.rail, _side_at(layout, place.rail)
    along = _along(layout.view, rail, tick)
    word = {
        "left": Word(tick.text, side - place.out, along + MIDDLE, "end"),
        "right": Word(tick.text, side + place.out, along + MIDDLE, "start"),
        "bottom": Word(tick.text, along, _row(layout, place) + LINE * row, "middle"),
        "top": Word(tick.text, along, _row(layout, place) - LINE * row, "middle"),
    }[rail.side]
    return Choice((word,), _lead(layout, rail, tick) if rail.led else ())


def _row(layout: Layout, place: Place) -> float:
    """Base line of a row below or above the drawing."""
    if place.rail.side == "bottom":
        return layout.drawn[3] + place.out + LINE - DESCENT * SIZE
    return layout.drawn[1] - place.out - DESCENT * SIZE


def _heading(layout: Layout, place: Place) -> Label:
    """Left of the first number of a row, or over a column."""
    rail, side = place.rail, _side_at(layout, place.rail)
    if rail.lengthwise:
        first = min(_number(layout, place, tick).words[0].box[0] for tick in rail.ticks)
        x = min(first, layout.drawn[0]) - 1.6
        word = Word(rail.heading, x, _row(layout, place), "end")
    elif rail.side == "left":
        return _over(layout, rail, side - place.out, "end")
    else:
        return _over(layout, rail, side + place.out, "start")
    return Label(_HEADING_RANK, (Choice((word,)),))


def _over(layout: Layout, rail: Rail, x: float, anchor: Anchor) -> Label:
    """The heading over a column; where rows stand there, beyond them or under the column."""
    _, top, _, bottom = layout.drawn
    rows = any(place.rail.side == "top" for place in layout.places)
    heights = (
        *(() if rows else (top - 3.4,)),
        top - layout.beyond["top"] - 1.2,
        bottom + LINE + 1.0,
        bottom + layout.beyond["bottom"] + LINE,
    )
    return Label(_HEADING_RANK, tuple(Choice((Word(rail.heading, x, y, anchor),)) for y in heights))


def _stub(layout: Layout, rail: Rail, tick: Tick) -> str:
    side, along = _side_at(layout, rail), _along(layout.view, rail, tick)
    start, end = (along, side + 0.6), (along, side + 2.4)
    if not rail.lengthwise:
        start, end = (side - 0.6, along), (side - 2.4, along)
    return line(start, end, f'stroke-width="{rail.stroke}"')


def _lead(layout: Layout, rail: Rail, tick: Tick) -> tuple[str, ...]:
    """A fine line from where the mark ends to its side, over paper outside the surface."""
    side, spot = _side_at(layout, rail), layout.view.spot(tick.at)
    end: Spot = (spot[0], side) if rail.lengthwise else (side, spot[1])
    if max(abs(end[0] - spot[0]), abs(end[1] - spot[1])) < _SHORT:
        return ()
    return (line(spot, end, _FINE),)
