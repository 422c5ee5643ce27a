"""Boarded rooms made by hand for the renderers' tests: sheets to draw, answers to print.

The strips are clipped with shapely and cut at members in turn; no code of the service lays them.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin
from typing import Any

from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from service.products.drawing import (
    Course,
    Dimension,
    DrawnLayer,
    DrawnPiece,
    Joint,
    Mark,
    Member,
    Point,
    Sheet,
    station_text,
    width_text,
)
from service.units.ticks import INCH


@dataclass(frozen=True)
class Room:
    """A room in inches: its outline, its openings by name, how the boards run."""

    outline: tuple[tuple[float, float], ...]
    openings: tuple[tuple[str, tuple[tuple[float, float], ...]], ...] = ()
    direction: float = 0.0
    coverage: float = 5.125
    spacing: float = 16.0
    unit: str = "in"
    name: str = "loft"
    stock: float = 144.0


RECTANGLE = Room(((0, 0), (192, 0), (192, 144), (0, 144)))
BENT = Room(
    ((0, 0), (240, 0), (240, 96), (150, 96), (150, 180), (0, 168)),
    (("hatch", ((60, 60), (90, 60), (90, 84), (60, 84))),),
    name="attic",
)
HALL = Room(((0, 0), (1200, 0), (1200, 720), (0, 720)), coverage=2.5625, name="hall")
SLANTED = Room(((0, 0), (190, 0), (176, 132), (-8, 126)), (("fan", ((80, 60), (92, 60), (92, 72),
               (80, 72))),), name="porch")  # fmt: skip
ANGLED = Room(RECTANGLE.outline, BENT.openings, direction=45.0, name="den")
UPRIGHT = Room(((0, 0), (160, 0), (160, 96), (0, 96)), direction=90.0, name="wall")
METRIC = Room(RECTANGLE.outline, BENT.openings, unit="mm", name="loft-m")
SOFFIT = Room(((0, 0), (480, 0), (480, 24), (0, 24)), name="eave")
TEE = Room(
    ((0, 48), (60, 48), (60, 0), (132, 0), (132, 48), (204, 48), (204, 120), (0, 120)), name="tee"
)
ODD = Room(
    ((0, 0), (720, 0), (720, 40), (600, 120), (500, 400), (300, 400), (260, 300), (0, 320)),
    (("skylight", ((300, 100), (380, 100), (380, 160), (300, 160))),),
    direction=30.0,
    name="odd",
)
ROOMS = (RECTANGLE, BENT, HALL, SLANTED, ANGLED, UPRIGHT, METRIC, SOFFIT, TEE, ODD)


def ticks(x: float, y: float) -> Point:
    return round(x * INCH), round(y * INCH)


def sheet_of(room: Room, title: str | None = None, notes: tuple[str, ...] = ()) -> Sheet:
    """A sheet with members square to the boards and every course laid."""
    outline = Polygon(room.outline)
    level = affinity.rotate(outline, -room.direction, origin=(0, 0))
    holes = [(name, tuple(ticks(*point) for point in ring)) for name, ring in room.openings]
    marks = _marks(room, level)
    layer = DrawnLayer("boards", "boarding", tuple(marks), notes)
    return Sheet(
        room.name,
        title or f"Boards on {room.name}",
        (tuple(ticks(*point) for point in room.outline),),
        tuple(holes),
        tuple(_members(room, level)),
        (layer,),
        "Seen from below, facing the finished side.",
        room.unit,
    )


def _turned(room: Room, u: float, v: float) -> Point:
    """A point of the boards' frame on the surface."""
    angle = radians(room.direction)
    return ticks(u * cos(angle) - v * sin(angle), u * sin(angle) + v * cos(angle))


def _members(room: Room, level: Polygon) -> list[Member]:
    left, low, right, high = level.bounds
    found = []
    for k in range(1, int((right - left) / room.spacing) + 1):
        u = left + k * room.spacing
        cut = LineString([(u, low - 1), (u, high + 1)]).intersection(level)
        if not cut.is_empty:
            _, v0, _, v1 = cut.bounds
            text = station_text(round(k * room.spacing * INCH), room.unit)
            found.append(Member(_turned(room, u, v0), _turned(room, u, v1), text))
    return found


def _marks(room: Room, level: Polygon) -> list[Mark]:
    net = level.buffer(-0.5, join_style="mitre")
    for _, ring in room.openings:
        net = net.difference(affinity.rotate(Polygon(ring), -room.direction, origin=(0, 0)))
    left, low, right, high = net.bounds
    marks: list[Mark] = []
    v, number, base = low, 0, level.bounds
    while v < high - 0.01:
        number += 1
        top = min(high, v + (room.coverage * 0.7 if number == 1 else room.coverage))
        runs = _parts(box(left, v, right, top).intersection(net))
        marks += _course(room, runs, number, v, top, base)
        v = top
    return marks


def _parts(shape: Any) -> list[Polygon]:
    found = getattr(shape, "geoms", [shape])
    return [part for part in found if isinstance(part, Polygon) and part.area > 0.1]


def _course(room: Room, runs: list[Polygon], number: int, v: float, top: float,
            base: tuple[float, ...]) -> list[Mark]:  # fmt: skip
    marks: list[Mark] = []
    for run in sorted(runs, key=lambda part: part.bounds[0]):
        start, _, end, _ = run.bounds
        cuts = _cuts(room, start, end, base[0], number)
        sides = [start, *cuts, end]
        for k, (a, b) in enumerate(pairwise(sides)):
            for part in _parts(run.intersection(box(a, v, b, top))):
                rings = [part.exterior, *part.interiors]
                marks.append(DrawnPiece(
                    tuple(tuple(_turned(room, *at) for at in ring.coords[:-1]) for ring in rings),
                    f"{number}.{k + 1}", number == 1 or top - v < room.coverage - 0.01,
                ))  # fmt: skip
        marks += [
            Joint(_turned(room, u, v), _turned(room, u, top),
                  station_text(round((u - base[0]) * INCH), room.unit))
            for u in cuts
        ]  # fmt: skip
    middle = (v + top) / 2
    ends = min(r.bounds[0] for r in runs), max(r.bounds[2] for r in runs)
    texts = [station_text(round((at - base[1]) * INCH), room.unit) for at in (v, top)]
    marks.append(Course(number, _turned(room, ends[0], middle), _turned(room, ends[1], middle),
                        *texts, width_text(round((top - v) * INCH), room.unit)))  # fmt: skip
    return marks


def _cuts(room: Room, start: float, end: float, origin: float, number: int) -> list[float]:
    """Joints at members, the first of each course moved on by two members in turn of three."""
    found: list[float] = []
    at = start
    while end - at > room.stock:
        reach = room.stock - (32 * (number % 3) if not found else 0)
        member = origin + (at + reach - origin) // room.spacing * room.spacing
        found.append(member)
        at = member
    return found


def with_dimension(sheet: Sheet, dimension: Dimension) -> Sheet:
    layer = sheet.layers[0]
    marked = DrawnLayer(layer.layer, layer.kind, (*layer.marks, dimension), layer.notes)
    return Sheet(sheet.surface, sheet.title, sheet.outline, sheet.openings, sheet.members,
                 (marked,), sheet.view_note, sheet.unit)  # fmt: skip
