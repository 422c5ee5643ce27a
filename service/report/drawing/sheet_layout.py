"""One page in millimetres: what goes where, and at which scale the drawing fits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

from service.products.drawing import Paper, Point, Sheet
from service.report.drawing.ink import Spot
from service.report.drawing.labels import LINE, Box, width_of
from service.report.drawing.rail import BETWEEN, Rail, Side
from service.units.ticks import MM

EDGE: Final = 6.35
"""A border that desk printers can reach."""

STRIP: Final = 23.0
"""Height of the title strip."""

CLEAR: Final = 2.6
"""Paper between the drawing and its first rail: the ticks stand there."""

_SIDES: Final[tuple[Side, ...]] = ("left", "right", "bottom", "top")


@dataclass(frozen=True, slots=True)
class View:
    """Ticks to paper: the sheet's lowest corner is at `corner`, and 1 mm stands for `scale` mm."""

    low: Point
    corner: Spot
    scale: int

    def spot(self, point: Point) -> Spot:
        """The point of the page, y down."""
        size = MM * self.scale
        return (
            self.corner[0] + (point[0] - self.low[0]) / size,
            self.corner[1] - (point[1] - self.low[1]) / size,
        )

    def length(self, ticks: float) -> float:
        """Millimetres on paper."""
        return ticks / (MM * self.scale)


@dataclass(frozen=True, slots=True)
class Place:
    """A rail and how far out from the drawing it begins, mm."""

    rail: Rail
    out: float


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page has: the `paper` inside its border, and the title `strip` at its foot."""

    paper: Box
    strip: Box

    @property
    def wide(self) -> float:
        """From side to side inside the border."""
        return self.paper[2] - self.paper[0]

    @property
    def open(self) -> Box:
        """The paper above the strip."""
        return (*self.paper[:3], self.strip[1])


def frame(on: Paper, number: int) -> Frame:
    """The frame of page `number` (from 1) of a document whose pages stand one below the other."""
    top = (number - 1) * on.high
    paper = (EDGE, top + EDGE, on.wide - EDGE, top + on.high - EDGE)
    return Frame(paper, (paper[0], paper[3] - STRIP, paper[2], paper[3]))


@dataclass(frozen=True, slots=True)
class Layout:
    """A drawing on a page: `drawn` is the box of the surface on it.

    `beyond` is how far out each side's rails and loose labels reach; the measures of the
    outline go there.
    """

    drawn: Box
    view: View
    places: tuple[Place, ...]
    beyond: dict[Side, float]


@dataclass(frozen=True, slots=True)
class Around:
    """Paper by sides, mm: for `loose` labels that stand by their marks, and for `measures`."""

    loose: dict[Side, float]
    measures: dict[Side, float]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A sheet to be laid out, with its rails and the paper to keep beside them."""

    sheet: Sheet
    rails: tuple[Rail, ...]
    around: Around


def extent(sheet: Sheet) -> tuple[Point, Point]:
    """Lowest and highest corner of the outline."""
    xs = [x for ring in sheet.outline for x, _ in ring]
    ys = [y for ring in sheet.outline for _, y in ring]
    return (min(xs), min(ys)), (max(xs), max(ys))


def layouts(
    drawings: Sequence[Drawing], room: Box, level: bool, least: int = 1
) -> tuple[Layout, ...]:
    """Drawings at one scale, the largest plain one at which all fit into `room` (mm).

    It is 1 : `least` or smaller.
    They stand in order from the top down where `level`, from the left to the right otherwise.
    """
    outward = [_outward(one.rails) for one in drawings]
    beyond = [_beyond(one, reach) for one, (_, reach) in zip(drawings, outward, strict=True)]
    pairs = zip(drawings, beyond, strict=True)
    rooms = _rooms(room, len(drawings), level, _margins([_margin(*pair) for pair in pairs]))
    corners = [extent(one.sheet) for one in drawings]
    scale = max(least, *(_scale(*pair) for pair in zip(corners, rooms, strict=True)))
    widest = max(high[0] - low[0] for low, high in corners)
    found = []
    for corner, own, (places, _), far in zip(corners, rooms, outward, beyond, strict=True):
        view, drawn = _placed(corner, own, scale, widest)
        found.append(Layout(drawn, view, places, far))
    return tuple(found)


def margin_of(one: Drawing) -> dict[Side, float]:
    """Paper round one drawing for all that stands beside it, mm."""
    return _margin(one, _beyond(one, _outward(one.rails)[1]))


def _beyond(one: Drawing, reach: dict[Side, float]) -> dict[Side, float]:
    """How far out its rails and its loose labels reach."""
    return {side: reach[side] + one.around.loose.get(side, 0.0) for side in _SIDES}


def _margin(one: Drawing, beyond: dict[Side, float]) -> dict[Side, float]:
    """Paper round one drawing."""
    margin = {side: beyond[side] + one.around.measures.get(side, 0.0) + 1.5 for side in _SIDES}
    margin["left"] = max(margin["left"], _heading_room(one.rails))
    margin["top"] += LINE if any(not rail.lengthwise for rail in one.rails) else 0.0
    return margin


def _margins(margins: Sequence[dict[Side, float]]) -> dict[Side, float]:
    """What all drawings of a page keep clear, so that they stand in line."""
    return {side: max(margin[side] for margin in margins) for side in _SIDES}


def _rooms(room: Box, count: int, level: bool, margin: dict[Side, float]) -> list[Box]:
    """`room` in so many equal parts, each without its margins."""
    left, top, right, bottom = room
    wide, high = (right - left, (bottom - top) / count) if level else (
        (right - left) / count, bottom - top
    )  # fmt: skip
    corners = [(left, top + k * high) if level else (left + k * wide, top) for k in range(count)]
    return [
        (x + margin["left"], y + margin["top"], x + wide - margin["right"],
         y + high - margin["bottom"])
        for x, y in corners
    ]  # fmt: skip


def _outward(rails: tuple[Rail, ...]) -> tuple[tuple[Place, ...], dict[Side, float]]:
    """Stack the rails of each side outward."""
    reach: dict[Side, float] = dict.fromkeys(_SIDES, CLEAR)
    places = []
    for rail in rails:
        places.append(Place(rail, reach[rail.side]))
        reach[rail.side] += rail.depth
    return tuple(places), reach


def _heading_room(rails: tuple[Rail, ...]) -> float:
    """Paper at the left for the headings of rows, clear of a text centred on the first tick."""
    rows = [rail for rail in rails if rail.lengthwise]
    return max(
        (width_of(rail.heading) + width_of(rail.ticks[0].text) / 2 + 2 * BETWEEN for rail in rows),
        default=0.0,
    )


def _scale(corners: tuple[Point, Point], room: Box) -> int:
    """The largest plain scale at which the surface fits; the least there is without room."""
    (low, high), (left, top, right, bottom) = corners, room
    wide, deep = max(right - left, 1.0), max(bottom - top, 1.0)
    return plain_scale(max((high[0] - low[0]) / wide, (high[1] - low[1]) / deep) / MM)


def _placed(corners: tuple[Point, Point], room: Box, scale: int, widest: int) -> tuple[View, Box]:
    """The surface in the middle of the room; all begin where the `widest` one does."""
    low, high = corners
    size = MM * scale
    wide, deep = (high[0] - low[0]) / size, (high[1] - low[1]) / size
    left = room[0] + (room[2] - room[0] - widest / size) / 2
    bottom = room[3] - (room[3] - room[1] - deep) / 2
    return View(low, (left, bottom), scale), (left, bottom - deep, left + wide, bottom)


def plain_scale(least: float) -> int:
    """A whole scale number not under `least`: by ones to 100, then by fives, then by fifties."""
    step = 1 if least <= 100 else 5 if least <= 500 else 50
    return max(1, ceil(least / step - 1e-9) * step)
