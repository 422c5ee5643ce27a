"""Box beams, bays and parts reckoned anew from a request, with polygons of a geometry library.

For rooms with square corners whose beams run along x or y. Lengths are ticks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import Any

from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.independent.measure import INCH, square, ticks

Table = dict[str, Any]

PLAY, SPRING, STEP, CUT = INCH // 8, INCH // 32, INCH // 32, INCH // 16
NEAR = 4
"""Ticks that halves and rounding may put two stations apart."""


@dataclass(frozen=True)
class Line:
    """A beam of a set: from its near to its far face, and whether it is half a beam at a wall."""

    near: int
    far: int
    wall: str
    drop: int

    @property
    def width(self) -> int:
        return self.far - self.near


@dataclass(frozen=True)
class Grid:
    """A layer of beams: the room, from its low corner, and the lines of the sets, through first.

    `ways` are 0 for beams along x and 1 for those along y, set by set.
    """

    room: Polygon
    ways: tuple[int, ...]
    sets: tuple[tuple[Line, ...], ...]
    layer: Table
    thick: int

    def strip(self, of: int, line: Line, near: int = 0, far: int = 0) -> Polygon:
        """A beam right across the room, moved in at its faces but not off a wall."""
        low, high = (0 if line.wall == "low" else near), (0 if line.wall == "high" else far)
        a, b = line.near + low, line.far - high
        x, y = self.room.bounds[2:]
        return box(0, a, x, b) if self.ways[of] == 0 else box(a, 0, b, y)

    def slip(self, of: int, at: int) -> Polygon:
        """A strip right across the room, as wide as a skin is thick."""
        return self.strip(of, Line(at, at + self.thick, "", 0))

    def beams(self) -> Iterator[tuple[int, Line]]:
        for of, lines in enumerate(self.sets):
            for line in lines:
                yield of, line

    def covered(self, near: int = 0) -> BaseGeometry:
        """What lies under all beams."""
        strips = [self.strip(of, line, near, near) for of, line in self.beams()]
        return unary_union(strips).intersection(self.room)

    def core(self, line: Line) -> int:
        """What the skins leave of a beam, less the play."""
        if "core_width" in self.layer:
            return ticks(self.layer["core_width"], "in")
        skins = self.thick if line.wall else 2 * self.thick
        return line.width - skins - (PLAY // 2 if line.wall else PLAY)


def grid_of(request: Table) -> Grid:
    """The beams of the only surface of a request in inches."""
    (surface,) = request["surfaces"]
    (layer,) = [one for one in surface["layers"] if one["kind"] == "box_beams"]
    outline = [(ticks(x, "in"), ticks(y, "in")) for x, y in surface["outline"]]
    low = min(x for x, _ in outline), min(y for _, y in outline)
    room = Polygon([(x - low[0], y - low[1]) for x, y in outline])
    product = next(one for one in request["products"] if one["id"] == layer["product"])
    found = [_lines(layer, one, room) for one in layer["sets"]]
    order = sorted(range(len(found)), key=lambda k: _first(layer, k, room))
    ways = tuple(_way(layer["sets"][k]) for k in order)
    sets = tuple(found[k] for k in order)
    return Grid(room, ways, sets, layer, ticks(product["thickness"], "in"))


def _way(asked: Table) -> int:
    return 0 if asked["direction"] % 180 == 0 else 1


def _first(layer: Table, k: int, room: Polygon) -> tuple[int, float, int]:
    """The deeper set runs through, else the one of the longer way, else the one along x."""
    one = layer["sets"][k]
    return (-ticks(one.get("drop", layer["drop"]), "in"), -room.bounds[2 + _way(one)], _way(one))


def _lines(layer: Table, asked: Table, room: Polygon) -> tuple[Line, ...]:
    width = ticks(asked.get("width", layer["width"]), "in")
    drop = ticks(asked.get("drop", layer["drop"]), "in")
    extent = floor(room.bounds[3 - _way(asked)])
    walls = asked.get("walls", [])
    half = ticks(asked["wall_width"], "in") if walls else 0
    low, high = half if "low" in walls else 0, extent - (half if "high" in walls else 0)
    middles: list[Fraction] = []
    if "count" in asked:
        clear = Fraction(high - low - asked["count"] * width, asked["count"] + 1)
        middles = [low + clear * (k + 1) + width * k + Fraction(width, 2)
                   for k in range(asked["count"])]  # fmt: skip
    elif "centres" in asked:
        middles = [Fraction(ticks(at, "in")) for at in asked["centres"]]
    else:
        at = low
        for one in asked["clear"]:
            middles.append(at + ticks(one, "in") + Fraction(width, 2))
            at += ticks(one, "in") + width
    nears = [floor(at - Fraction(width, 2) + Fraction(1, 2)) for at in middles]
    lines = [Line(near, near + width, "", drop) for near in nears]
    lines += [Line(0, half, "low", drop)] * ("low" in walls)
    lines += [Line(high, extent, "high", drop)] * ("high" in walls)
    return tuple(sorted(lines, key=lambda one: one.near))


def parts_of(shape: BaseGeometry) -> list[Polygon]:
    """Its polygons, but for what rounding left."""
    return [one for one in getattr(shape, "geoms", [shape])
            if isinstance(one, Polygon) and one.area > NEAR * one.length]  # fmt: skip


def faults(request: Table, answer: Table) -> list[str]:
    """Everything in the tables of beams that is not so."""
    grid = grid_of(request)
    checks = (_bays, _areas, _beams, _parts, _joints, _boards)
    return [fault for check in checks for fault in check(grid, request, answer)]


def _bays(grid: Grid, _request: Table, answer: Table) -> Iterator[str]:
    """Bays are what beams leave of the room."""
    wanted = parts_of(grid.room.difference(grid.covered()))
    if len(wanted) != len(answer["bays"]):
        yield f"{len(answer['bays'])} bays are told, and {len(wanted)} are there"
        return
    per = square(answer["units"]["area"])
    own = sorted((round(one.area / per, 3), round(one.length / INCH, 2)) for one in wanted)
    told = sorted((round(row["area"], 3), round(row["perimeter"], 2)) for row in answer["bays"])
    for (area, around), (area_told, around_told) in zip(own, told, strict=True):
        if abs(area - area_told) > 0.002 or abs(around - around_told) > 0.02:
            yield f"a bay of {area_told}, {around_told} round, is {area}, {around} round"


def _areas(grid: Grid, _request: Table, answer: Table) -> Iterator[str]:
    """Bays and beams are the room (conservation)."""
    per = square(answer["units"]["area"])
    total = sum(row["area"] for row in answer["bays"]) + grid.covered().area / per
    if abs(total - grid.room.area / per) > 1e-4 * total:
        yield f"bays and beams are {total}, and the room is {grid.room.area / per}"


def _beams(grid: Grid, request: Table, answer: Table) -> Iterator[str]:
    """As many beams as are asked for, as long as they are clear, and the members they cross."""
    (surface,) = request["surfaces"]
    held = surface["supports"]
    mitred = grid.layer.get("crossings") == "mitred"
    told = [(row["length"], row["hits"]) for row in answer["beams"]]
    wanted = []
    for of, line in grid.beams():
        segments = segments_of(grid, of, line, mitred=mitred)
        clear = sum(one.high - one.low for one in segments)
        runs = parts_of(grid.strip(of, line).intersection(grid.room))
        across = held["direction"] % 180 == 90 * (1 - grid.ways[of])
        hits = sum(_hits(grid, held, run, grid.ways[of]) for run in runs) if across else 0
        wanted.append((round(clear / INCH, 4), hits))
    if [(round(length, 4), hits) for length, hits in told] != wanted:
        yield f"beams are {told}, and should be {wanted}"


def _hits(grid: Grid, held: Table, run: Polygon, way: int) -> int:
    """Members, 1-1/2 in thick, that a run lies on by half an inch."""
    extent, thick, spacing = grid.room.bounds[2 + way], 3 * INCH // 2, ticks(held["spacing"], "in")
    ends = [thick // 2, extent - thick // 2]
    inner = range(ticks(held["first"], "in"), floor(extent) + 1, spacing)
    centres = [*ends, *(at for at in inner if all(abs(at - end) >= thick for end in ends))]
    low, high = run.bounds[way], run.bounds[2 + way]
    return sum(min(high, at + thick / 2) - max(low, at - thick / 2) >= INCH // 2 for at in centres)


@dataclass(frozen=True)
class Segment:
    """What is clear between two ends, and the beams that they meet; None at a wall."""

    low: int
    high: int
    meets: tuple[Line | None, Line | None]
    crossed: tuple[bool, bool]
    shape: Polygon

    def along(self, strip: Polygon, way: int) -> int:
        """How long it is within a strip, from its furthest point to its other."""
        within = self.shape.intersection(strip)
        bounds = self.shape.bounds if within.is_empty else within.bounds
        return round(bounds[2 + way] - bounds[way])


def segments_of(grid: Grid, of: int, line: Line, *, mitred: bool) -> list[Segment]:
    """The lengths of a beam: cut at all through beams, or at full ones with mitred crossings."""
    way, others = grid.ways[of], [] if len(grid.sets) < 2 else list(grid.sets[1 - of])
    if of == 0:
        others = [one for one in others if mitred and not one.wall and not line.wall]
    own = grid.strip(of, line).intersection(grid.room)
    left = own.difference(unary_union([grid.strip(1 - of, one) for one in others]))
    found = []
    for part in sorted(parts_of(left), key=lambda one: one.bounds[way]):
        low, high = round(part.bounds[way]), round(part.bounds[2 + way])
        met = (next((one for one in others if one.far == low), None),
               next((one for one in others if one.near == high), None))  # fmt: skip
        cross = [mitred and one is not None and not one.wall and not line.wall for one in met]
        found.append(Segment(low, high, met, (cross[0], cross[1]), part))
    return found


Sized = tuple[str, int, int]
"""Name, length and width of a part."""


def expected_parts(grid: Grid) -> Counter[Sized]:
    """All sides, bottoms and cores."""
    mitred = grid.layer.get("crossings") == "mitred"
    found: Counter[Sized] = Counter()
    for of, line in grid.beams():
        side, bottom = widths(grid, line)
        for one in segments_of(grid, of, line, mitred=mitred):
            clear = one.high - one.low
            crossing = sum(met.width // 2 for met, cross in zip(one.meets, one.crossed, strict=True)
                           if met and cross)  # fmt: skip
            butts = any(
                met and not cross for met, cross in zip(one.meets, one.crossed, strict=True)
            )
            found["bottom", _cut(clear + crossing, butts=butts), bottom] += 1
            for name, wall, at in (
                ("near side", "low", line.near),
                ("far side", "high", line.far - grid.thick),
            ):
                if line.wall != wall:
                    own = one.along(grid.slip(of, at), grid.ways[of])
                    sides = _cut(own + grid.thick * sum(one.crossed), butts=butts)
                    found[name, sides, side] += 1
        for one in segments_of(grid, of, line, mitred=False):
            more = sum(_to_core(grid, met) for met in one.meets if met)
            found["core", (one.high - one.low + more) // CUT * CUT, grid.core(line)] += 1
    return found


def widths(grid: Grid, line: Line) -> tuple[int, int]:
    """What a side and the bottom are ripped to (16.1)."""
    skins = grid.thick if line.wall else 2 * grid.thick
    match grid.layer.get("corners", "sides_outside"):
        case "sides_outside":
            return line.drop, line.width - skins
        case "bottom_over":
            return line.drop - grid.thick, line.width
        case _:
            return line.drop, line.width


def _to_core(grid: Grid, met: Line) -> int:
    """From the face of a beam to its core."""
    free = met.width - grid.core(met)
    return free if met.wall else free // 2


def _cut(length: int, *, butts: bool) -> int:
    """Sprung in where it is long, to the nearest 1/32 in; from wall to wall down to it (16.3)."""
    if not butts:
        return length // STEP * STEP
    sprung = length + (SPRING if length >= 36 * INCH else 0)
    return floor(Fraction(sprung, STEP) + Fraction(1, 2)) * STEP


def _parts(grid: Grid, _request: Table, answer: Table) -> Iterator[str]:
    """Each part is as long and as wide as it must be."""
    told = sorted((row["part"], ticks(row["length"], "in"), ticks(row["width"], "in"))
                  for row in answer["beam_parts"])  # fmt: skip
    wanted = sorted(expected_parts(grid).elements())
    if len(told) != len(wanted):
        yield f"{len(told)} parts are told, and {len(wanted)} are there"
        return
    for one, other in zip(told, wanted, strict=True):
        if one[0] != other[0] or abs(one[1] - other[1]) > NEAR or abs(one[2] - other[2]) > NEAR:
            yield f"a part {one} should be {other}"


def _joints(grid: Grid, request: Table, answer: Table) -> Iterator[str]:
    """Pieces make up their parts, and joints of one beam lie apart and at no crossing (16.6)."""
    cuts = {row["id"]: row["length"] for row in answer["pieces"]}
    lines = list(grid.beams())
    relaxed = any(row["key"] == "part_stagger" for row in answer["relaxed"])
    joints: dict[int, list[tuple[str, float]]] = {}
    for row in answer["beam_parts"]:
        total = sum(cuts[name] for name in row["pieces"])
        if abs(total - row["length"]) > len(row["pieces"]) / 16:
            yield f"pieces of {row['part']} of beam {row['beam']} are {total}, not {row['length']}"
        joints.setdefault(row["beam"], []).extend((row["part"], at) for at in row["joints"])
        of, _ = lines[row["beam"] - 1]
        crossed = grid.sets[1 - of] if len(grid.sets) > 1 and row["part"] != "core" else ()
        yield from (f"a joint at {at} lies at a crossing" for at in row["joints"] for one in crossed
                    if one.near < ticks(at, "in") < one.far)  # fmt: skip
    for number, own in joints.items():
        near = [abs(a - b) for k, (part, a) in enumerate(own) for other, b in own[k + 1 :]
                if part != other]  # fmt: skip
        if near and min(near) < 24 - 1e-6 and not relaxed:
            yield f"joints of beam {number} are {min(near)} apart"


def _boards(grid: Grid, _request: Table, answer: Table) -> Iterator[str]:
    """What boards are laid on: all of the room, or bays with the tuck, or to the cores (5.9)."""
    per = square(answer["units"]["area"])
    mode = grid.layer.get("mode", "boards_to_beam")
    under: BaseGeometry = Polygon()
    if mode == "boards_to_beam":
        free = [grid.core(line) for _, line in grid.beams()]
        spare = [(line.width - core) // (1 if line.wall else 2)
                 for (_, line), core in zip(grid.beams(), free, strict=True)]  # fmt: skip
        under = grid.covered(min(3 * INCH // 4, *spare))
    elif mode == "between_blocking":
        strips = []
        for of, line in grid.beams():
            free_of = line.width - grid.core(line)
            near = free_of if line.wall else free_of // 2
            strips.append(grid.strip(of, line, near, free_of if line.wall else free_of - near))
        under = unary_union(strips).intersection(grid.room)
    wanted = grid.room.difference(under).area / per
    told = sum(row["area"] for row in answer["regions"] if row["layer"] == "boards")
    if abs(told - wanted) > 1e-4 * wanted:
        yield f"boards are laid on {told}, and {wanted} is there"
