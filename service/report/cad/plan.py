"""What a drawing for CAD holds: lines, outlines and words in true size, each on a named layer.

Points are in the unit of the plan. A surface stands in its own frame, moved to the right of those
before it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

from service.products.drawing import (
    IMPERIAL,
    Callout,
    CentreLine,
    Course,
    Dimension,
    DrawnLayer,
    DrawnPiece,
    Joint,
    Lap,
    Point,
    Ring,
    Sheet,
    Standing,
)
from service.products.drawing import Behind as BehindMark
from service.units.ticks import TICKS_PER_UNIT

Spot: TypeAlias = tuple[float, float]
"""x, y in the unit of the plan, y up."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed line."""

    layer: str
    spots: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """From one spot to another."""

    layer: str
    start: Spot
    end: Spot


@dataclass(frozen=True, slots=True)
class Words:
    """A text with its middle at a spot, so `high`."""

    layer: str
    text: str
    at: Spot
    high: float


Entity: TypeAlias = Outline | Line | Words


@dataclass(frozen=True, slots=True)
class Plan:
    """All that is drawn, in `unit`: in or mm."""

    unit: str
    entities: tuple[Entity, ...]


GAP: Final = {"in": 48.0, "mm": 1200.0}
"""Between surfaces."""

HIGH: Final = {"in": 3.0, "mm": 75.0}
"""Height of words that have room, and of titles twice as much."""

_SHARE: Final = 0.4
"""Of the narrower side of a piece that its label takes at the most."""


def plan(sheets: Sequence[Sheet]) -> Plan:
    """All surfaces of a takeoff in a row, in inches where its lengths are, else in millimetres."""
    unit = "in" if sheets[0].unit in IMPERIAL else "mm"
    entities: list[Entity] = []
    right = 0.0
    for sheet in sheets:
        xs = [x / TICKS_PER_UNIT[unit] for ring in sheet.outline for x, _ in ring]
        frame = _Frame(unit, (right - min(xs), 0.0) if entities else (0.0, 0.0))
        entities += _surface(sheet, frame)
        right = max(xs) + frame.moved[0] + GAP[unit]
    return Plan(unit, tuple(entities))


@dataclass(frozen=True, slots=True)
class _Frame:
    """Ticks of a surface to spots of the plan."""

    unit: str
    moved: Spot

    def spot(self, point: Point) -> Spot:
        size = TICKS_PER_UNIT[self.unit]
        return point[0] / size + self.moved[0], point[1] / size + self.moved[1]

    def spots(self, ring: Ring) -> tuple[Spot, ...]:
        return tuple(map(self.spot, ring))

    @property
    def high(self) -> float:
        return HIGH[self.unit]


def _surface(sheet: Sheet, frame: _Frame) -> Iterator[Entity]:
    """A surface: what it is, what it lies on, and its layers."""
    own = sheet.surface
    corners = [frame.spot(point) for ring in sheet.outline for point in ring]
    title = f"{own} ({sheet.title}), {sheet.view_note}"
    low, top = min(x for x, _ in corners), max(y for _, y in corners)
    wide = max(x for x, _ in corners) - low
    yield Words(f"{own}-title", title, (low + wide / 2, top + 4 * frame.high), 2 * frame.high)
    for ring in sheet.outline:
        yield Outline(f"{own}-outline", frame.spots(ring))
    for name, ring in sheet.openings:
        yield Outline(f"{own}-openings", frame.spots(ring))
        yield _label(f"{own}-openings-text", name, ring, frame)
    for member in sheet.members:
        yield Line(f"{own}-{sheet.support}s", frame.spot(member.start), frame.spot(member.end))
        if member.label:
            at = frame.spot(member.start)
            spot = (at[0], at[1] - 1.5 * frame.high)
            yield Words(f"{own}-{sheet.support}s-text", member.label, spot, frame.high / 2)
    for layer in (*((sheet.backing,) if sheet.backing else ()), *sheet.layers):
        yield from _layer(own, layer, frame)


def _layer(surface: str, layer: DrawnLayer, frame: _Frame) -> Iterator[Entity]:
    for mark in layer.marks:
        yield from _MARKS[type(mark)](mark, f"{surface}.{layer.layer}", frame)


def _piece(mark: DrawnPiece, own: str, frame: _Frame) -> Iterator[Entity]:
    state = {"as_is": "pieces", "new": "new-pieces", "gone": "gone-pieces"}[mark.state]
    for ring in mark.rings:
        yield Outline(f"{own}-{state}", frame.spots(ring))
    if mark.label:
        yield _label(f"{own}-{state}-text", mark.label, mark.rings[0], frame)


def _joint(mark: Joint, own: str, frame: _Frame) -> Iterator[Entity]:
    yield from _marked(mark.start, mark.end, mark.station_text, f"{own}-joints", frame)


def _lap(mark: Lap, own: str, frame: _Frame) -> Iterator[Entity]:
    yield from _marked(mark.start, mark.end, mark.text, f"{own}-laps", frame)


def _standing(mark: Standing, own: str, frame: _Frame) -> Iterator[Entity]:
    yield from _marked(mark.start, mark.end, mark.text, f"{own}-framing", frame)


def _centre(mark: CentreLine, own: str, frame: _Frame) -> Iterator[Entity]:
    yield from _marked(mark.start, mark.end, mark.station_text, f"{own}-centres", frame)


def _course(mark: Course, own: str, frame: _Frame) -> Iterator[Entity]:
    yield from _marked(mark.at, mark.end, str(mark.number), f"{own}-courses", frame)


def _dimension(mark: Dimension, own: str, frame: _Frame) -> Iterator[Entity]:
    yield from _marked(mark.start, mark.end, mark.text, f"{own}-measures", frame)


def _callout(mark: Callout, own: str, frame: _Frame) -> Iterator[Entity]:
    yield Words(f"{own}-cut-sizes-text", mark.text, frame.spot(mark.at), frame.high / 3)


def _behind(mark: BehindMark, own: str, frame: _Frame) -> Iterator[Entity]:
    """What lies behind has a layer of its own."""
    return iter(())


_MARKS: Final[Mapping[type, Callable[[Any, str, _Frame], Iterable[Entity]]]] = {
    DrawnPiece: _piece,
    Joint: _joint,
    Lap: _lap,
    Standing: _standing,
    CentreLine: _centre,
    Course: _course,
    Dimension: _dimension,
    Callout: _callout,
    BehindMark: _behind,
}
"""A mark's type -> what it puts on the plan."""


def _marked(start: Point, end: Point, text: str, layer: str, frame: _Frame) -> Iterator[Entity]:
    """A line, with its text at the middle."""
    first, last = frame.spot(start), frame.spot(end)
    yield Line(layer, first, last)
    if text:
        middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
        yield Words(f"{layer}-text", text, middle, frame.high / 2)


def _label(layer: str, text: str, ring: Ring, frame: _Frame) -> Words:
    """A text in the middle of a ring's box, no higher than it has room."""
    xs, ys = zip(*frame.spots(ring), strict=True)
    wide, deep = max(xs) - min(xs), max(ys) - min(ys)
    high = min(frame.high, _SHARE * min(wide, deep))
    return Words(layer, text, ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2), high)
