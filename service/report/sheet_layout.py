"""One letter page in millimetres: what goes where, and at which scale the drawing fits."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from service.products.drawing import Point, Sheet
from service.report.ink import Spot
from service.report.labels import LINE, Box, width_of
from service.report.rails import BETWEEN, Rail, Side
from service.units.ticks import MM

WIDE: Final = 279.4
HIGH: Final = 215.9
EDGE: Final = 6.35
"""US letter, landscape, and a border that desk printers can reach."""

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
class Layout:
    """The parts of one page: `paper` inside its border, `drawn` the box of the surface on it.

    `beyond` is how far out each side's rails and loose labels reach; the measures of the
    outline go there.
    """

    paper: Box
    strip: Box
    drawn: Box
    view: View
    places: tuple[Place, ...]
    beyond: dict[Side, float]


@dataclass(frozen=True, slots=True)
class Around:
    """Paper by sides, mm: for `loose` labels that stand by their marks, and for `measures`."""

    loose: dict[Side, float]
    measures: dict[Side, float]


def extent(sheet: Sheet) -> tuple[Point, Point]:
    """Lowest and highest corner of the outline."""
    xs = [x for ring in sheet.outline for x, _ in ring]
    ys = [y for ring in sheet.outline for _, y in ring]
    return (min(xs), min(ys)), (max(xs), max(ys))


def page_layout(
    sheet: Sheet, rails: tuple[Rail, ...], around: Around, head: float, top: float
) -> Layout:
    """Lay out a page that begins at `top` (mm) of the document.

    `around` is paper to keep beside the rails, `head` the height of the notes.
    """
    paper = (EDGE, top + EDGE, WIDE - EDGE, top + HIGH - EDGE)
    strip = (paper[0], paper[3] - STRIP, paper[2], paper[3])
    places, reach = _outward(rails)
    beyond: dict[Side, float] = {s: reach[s] + around.loose.get(s, 0.0) for s in _SIDES}
    margin = {side: beyond[side] + around.measures.get(side, 0.0) + 1.5 for side in _SIDES}
    margin["left"] = max(margin["left"], _heading_room(rails))
    margin["top"] += LINE if any(not rail.lengthwise for rail in rails) else 0.0
    room = (
        paper[0] + margin["left"],
        paper[1] + head + margin["top"],
        paper[2] - margin["right"],
        strip[1] - margin["bottom"],
    )
    view, drawn = _fit(extent(sheet), room)
    return Layout(paper, strip, drawn, view, places, beyond)


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


def _fit(corners: tuple[Point, Point], room: Box) -> tuple[View, Box]:
    """The largest plain scale at which the surface fits, in the middle of the room."""
    low, high = corners
    wide, deep = high[0] - low[0], high[1] - low[1]
    scale = _plain(max(wide / (room[2] - room[0]), deep / (room[3] - room[1])) / MM)
    on_paper = wide / MM / scale, deep / MM / scale
    left = room[0] + (room[2] - room[0] - on_paper[0]) / 2
    bottom = room[3] - (room[3] - room[1] - on_paper[1]) / 2
    view = View(low, (left, bottom), scale)
    return view, (left, bottom - on_paper[1], left + on_paper[0], bottom)


def _plain(least: float) -> int:
    """A whole scale number not under `least`: by ones to 100, then by fives, then by fifties."""
    step = 1 if least <= 100 else 5 if least <= 500 else 50
    return max(1, ceil(least / step - 1e-9) * step)
