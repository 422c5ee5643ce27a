"""Box beams, bays and parts reckoned anew from a request, with polygons of a geometry library.

For rooms of any outline and beams of any direction, drawn facing the finished side. Lengths are
ticks; what slants is told to within a few of them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import floor
from typing import Any

from shapely.affinity import scale
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.independent.drawn import in_stations
from tests.independent.measure import INCH, square, ticks
from tests.independent.plane import Frame, Vector, frame_of, plan_outline, seen

Table = dict[str, Any]

PLAY, SPRING, STEP, CUT = INCH // 8, INCH // 32, INCH // 32, INCH // 16
NEAR = 4
"""Ticks that halves and rounding may put two stations apart."""
FAR = 10**9


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
    """A layer of beams: the room, and the lines of the sets, through first.

    `frames` tell along and across each set from the room's lowest point.
    """

    room: Polygon
    frames: tuple[Frame, ...]
    sets: tuple[tuple[Line, ...], ...]
    layer: Table
    thick: int

    @cached_property
    def slants(self) -> float:
        """How far snapping may move what is cut along a wall: a wall at few degrees, furthest."""
        turned = [abs(_turn(frame.along, a, b)) for frame in self.frames
                  for a, b in pairwise(self.room.exterior.coords)]  # fmt: skip
        steep = [one for one in turned if one > 1e-9]
        return NEAR * (2 + max((1 / one for one in steep), default=0))

    def strip(self, of: int, line: Line, near: int = 0, far: int = 0) -> Polygon:
        """A beam right across the room, moved in at its faces but not off a wall."""
        a = -FAR if line.wall == "low" else line.near + near
        b = FAR if line.wall == "high" else line.far - far
        corners = [(-FAR, a), (FAR, a), (FAR, b), (-FAR, b)]
        return Polygon([self.frames[of].back(corner) for corner in corners])

    def beams(self) -> Iterator[tuple[int, Line]]:
        for of, lines in enumerate(self.sets):
            for line in lines:
                yield of, line

    def clear(self, near: int = 0) -> BaseGeometry:
        """What beams leave of the room, or beams moved in at their faces."""
        strips = [self.strip(of, line, near, near) for of, line in self.beams()]
        return self.room.difference(unary_union(strips))

    def core(self, line: Line) -> int:
        """What the skins leave of a beam, less the play."""
        if "core_width" in self.layer:
            return ticks(self.layer["core_width"], "in")
        skins = self.thick if line.wall else 2 * self.thick
        return line.width - skins - (PLAY // 2 if line.wall else PLAY)

    def cored(self, of: int, line: Line) -> Polygon:
        """The strip that the core of a beam takes."""
        free = line.width - self.core(line)
        near = free if line.wall else free // 2
        return self.strip(of, line, near, free if line.wall else free - near)

    def span(self, of: int, shape: BaseGeometry) -> tuple[float, float]:
        """From where to where a shape reaches along the beams of a set."""
        low, _, high, _ = self.frames[of].moved_all(shape).bounds
        return low, high


def _turn(along: Vector, a: Vector, b: Vector) -> float:
    """The sine of the angle from a direction to an edge."""
    size = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    return (along[0] * (b[1] - a[1]) - along[1] * (b[0] - a[0])) / size


def grid_of(request: Table) -> Grid:
    """The beams of the only surface of a request in inches."""
    (surface,) = request["surfaces"]
    (layer,) = [one for one in surface["layers"] if one["kind"] == "box_beams"]
    room = Polygon(plan_outline(surface, "in"))
    product = next(one for one in request["products"] if one["id"] == layer["product"])
    frames = [frame_of(room, one["direction"]) for one in layer["sets"]]
    found = [_lines(layer, one, frame.moved(room).bounds[3])
             for one, frame in zip(layer["sets"], frames, strict=True)]  # fmt: skip
    order = sorted(range(len(found)), key=lambda k: _first(layer, k, frames[k].moved(room)))
    sets = tuple(found[k] for k in order)
    return Grid(
        room, tuple(frames[k] for k in order), sets, layer, ticks(product["thickness"], "in")
    )


def _first(layer: Table, k: int, room: Polygon) -> tuple[int, int, int, float]:
    """The deeper set runs through, else that of the longer way, the wider, of lesser direction."""
    one = layer["sets"][k]
    drop, width = (ticks(one.get(key, layer[key]), "in") for key in ("drop", "width"))
    return -drop, -round(room.bounds[2] / NEAR), -width, one["direction"]


def _lines(layer: Table, asked: Table, reach: float) -> tuple[Line, ...]:
    width = ticks(asked.get("width", layer["width"]), "in")
    drop = ticks(asked.get("drop", layer["drop"]), "in")
    extent = floor(reach + 0.5)
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


def parts_of(shape: BaseGeometry, least: float = NEAR) -> list[Polygon]:
    """Its polygons, but for what rounding left."""
    return [one for one in getattr(shape, "geoms", [shape])
            if isinstance(one, Polygon) and one.area > least * one.length]  # fmt: skip


def faults(request: Table, answer: Table) -> list[str]:
    """Everything in the tables of beams that is not so."""
    grid = grid_of(request)
    checks = (_bays, _areas, _beams, _parts, _ends, _joints, _boards)
    return [fault for check in checks for fault in check(grid, request, answer)]


def _bays(grid: Grid, _request: Table, answer: Table) -> Iterator[str]:
    """Bays are what beams leave of the room."""
    wanted = parts_of(grid.clear())
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
    under = unary_union([grid.strip(of, line) for of, line in grid.beams()])
    total = sum(row["area"] for row in answer["bays"])
    total += grid.room.intersection(under).area / per
    if abs(total - grid.room.area / per) > 1e-4 * total:
        yield f"bays and beams are {total}, and the room is {grid.room.area / per}"


def _beams(grid: Grid, request: Table, answer: Table) -> Iterator[str]:
    """As many beams as are asked for, as long as they are clear, and the members they cross."""
    (surface,) = request["surfaces"]
    mitred = grid.layer.get("crossings") == "mitred"
    beams = list(grid.beams())
    if len(answer["beams"]) != len(beams):
        yield f"{len(answer['beams'])} beams are told, and {len(beams)} are there"
        return
    for row, (of, line) in zip(answer["beams"], beams, strict=True):
        spans = [one.span for one in segments_of(grid, of, line, mitred=mitred)]
        clear = sum(high - low for low, high in spans)
        runs = parts_of(grid.strip(of, line).intersection(grid.room))
        hits = sum(_hits(grid, surface["supports"], of, line, run) for run in runs)
        if abs(ticks(row["length"], "in") - clear) > grid.slants * len(spans):
            yield f"beam {row['beam']} is {row['length']}, and should be {clear / INCH}"
        if row["hits"] != hits:
            yield f"beam {row['beam']} hits {row['hits']} members, and should {hits}"


def _hits(grid: Grid, held: Table, of: int, line: Line, run: Polygon) -> int:
    """Members, 1-1/2 in thick, on which the middle of a run lies by half an inch."""
    frame = frame_of(grid.room, held["direction"])
    extent, thick, spacing = frame.moved(grid.room).bounds[3], 3 * INCH // 2, held["spacing"]
    ends = [thick // 2, extent - thick // 2]
    inner = range(ticks(held["first"], "in"), floor(extent) + 1, ticks(spacing, "in"))
    centres = [*ends, *(at for at in inner if all(abs(at - end) >= thick for end in ends))]
    low, high = grid.span(of, run)
    own = grid.frames[of]
    middle = LineString([own.back((at, (line.near + line.far) / 2)) for at in (low, high)])
    if abs(_turn(own.along, (0, 0), frame.along)) < 1e-9:
        return 0
    strips = (
        Polygon([frame.back((u, at + side * thick / 2)) for u, side in
                 ((-FAR, -1), (FAR, -1), (FAR, 1), (-FAR, 1))])
        for at in centres
    )  # fmt: skip
    return sum(middle.intersection(one).length >= INCH / 2 - NEAR for one in strips)


@dataclass(frozen=True)
class Segment:
    """What is clear between two ends, and the beams that they meet; None at a wall."""

    grid: Grid
    of: int
    line: Line
    meets: tuple[Line | None, Line | None]
    crossed: tuple[bool, bool]
    shape: Polygon

    @cached_property
    def span(self) -> tuple[float, float]:
        """From its furthest point to its other."""
        return self.grid.span(self.of, self.shape)

    def along(self, near: int, far: int) -> float:
        """How far it reaches within a strip of its beam, from its furthest point to its other."""
        strip = self.grid.strip(self.of, Line(near, far, "", 0))
        within = self.shape.intersection(strip)
        low, high = self.grid.span(self.of, within) if within.area else self.span
        return high - low

    @property
    def butts(self) -> bool:
        """Whether it fits between a face and another, or a wall."""
        return any(met and not cross for met, cross in zip(self.meets, self.crossed, strict=True))


def segments_of(grid: Grid, of: int, line: Line, *, mitred: bool) -> list[Segment]:
    """The lengths of a beam: cut at all through beams, or at full ones with mitred crossings."""
    others = [] if len(grid.sets) < 2 else list(grid.sets[1 - of])
    if of == 0:
        others = [one for one in others if mitred and not one.wall and not line.wall]
    own = grid.strip(of, line).intersection(grid.room)
    left = own.difference(unary_union([grid.strip(1 - of, one) for one in others]))
    found = []
    for part in sorted(parts_of(left), key=lambda one: grid.span(of, one)):
        low, high = grid.span(of, part)
        met = (next((one for one in others if abs(one.far - low) <= NEAR), None),
               next((one for one in others if abs(one.near - high) <= NEAR), None))  # fmt: skip
        cross = [mitred and one is not None and not one.wall and not line.wall for one in met]
        found.append(Segment(grid, of, line, met, (cross[0], cross[1]), part))
    return found


@dataclass(frozen=True)
class Wanted:
    """A part: how long it is before it is cut to a mark, and how it is."""

    name: str
    width: int
    length: float
    butts: bool = False

    def cut(self, more: float) -> int:
        """As it is cut, had it been a little longer."""
        length = self.length + more
        if self.name == "core":
            return floor(length / CUT) * CUT
        if not self.butts:
            return floor(length / STEP) * STEP
        sprung = length + (SPRING if length >= 36 * INCH else 0)
        return floor(sprung / STEP + 0.5) * STEP


def expected_parts(grid: Grid) -> Iterator[Wanted]:
    """All sides, bottoms and cores."""
    mitred = grid.layer.get("crossings") == "mitred"
    for of, line in grid.beams():
        for one in segments_of(grid, of, line, mitred=mitred):
            yield from _skins(grid, line, one)
        for one in segments_of(grid, of, line, mitred=False):
            more = sum(_to_core(grid, met) for met in one.meets if met)
            free = line.width - grid.core(line)
            near = line.near + (0 if line.wall == "low" else free if line.wall else free // 2)
            yield Wanted("core", grid.core(line), one.along(near, near + grid.core(line)) + more)


def _skins(grid: Grid, line: Line, one: Segment) -> Iterator[Wanted]:
    """The sides and the bottom of a segment, each as far as it reaches where it lies."""
    side, bottom = widths(grid, line)
    crossing = sum(met.width // 2 for met, cross in zip(one.meets, one.crossed, strict=True)
                   if met and cross)  # fmt: skip
    yield Wanted("bottom", bottom, one.along(*_flat(grid, line)["bottom"]) + crossing, one.butts)
    backs = grid.thick * sum(one.crossed)
    if line.wall != "low":
        reach = one.along(line.near, line.near + grid.thick)
        yield Wanted("near side", side, reach + backs, one.butts)
    if line.wall != "high":
        reach = one.along(line.far - grid.thick, line.far)
        yield Wanted("far side", side, reach + backs, one.butts)


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


def _parts(grid: Grid, _request: Table, answer: Table) -> Iterator[str]:
    """Each part is as long as it must be, sprung and cut to its mark (16.3), and as wide."""
    told: dict[tuple[str, int], list[int]] = defaultdict(list)
    wanted: dict[tuple[str, int], list[Wanted]] = defaultdict(list)
    for row in answer["beam_parts"]:
        told[row["part"], round(row["width"] * 64)].append(ticks(row["length"], "in"))
    for one in expected_parts(grid):
        wanted[one.name, round(one.width / INCH * 64)].append(one)
    for key in told.keys() | wanted.keys():
        own = sorted(wanted[key], key=lambda one: one.cut(0))
        if len(told[key]) != len(own):
            yield f"{len(told[key])} of {key} are told, and {len(own)} are there"
            continue
        for length, one in zip(sorted(told[key]), own, strict=True):
            least, most = (one.cut(more) for more in (-grid.slants, grid.slants))
            if not least - NEAR <= length <= most + NEAR:
                yield f"{key} is {length / INCH}, and should be {one.length / INCH}, cut to a mark"


def _ends(grid: Grid, request: Table, answer: Table) -> Iterator[str]:
    """Bottoms and cores fill their strips of the room, cut along its walls but for a scribe.

    What lies in crossings is looked at by length alone (16.3, 16.4), as is a beam that a wall cuts
    into, or that no wall lies along, which is told at its full width.
    """
    if {row["code"] for row in answer["findings"]} & {"wall-in-beam", "no-wall-beside"}:
        return
    pieces = {row["id"]: row for row in answer["pieces"]}
    room = grid.frames[0].moved(grid.room)
    laid: dict[tuple[int, str], list[BaseGeometry]] = defaultdict(list)
    for row in answer["beam_parts"]:
        if not row["part"].endswith("side"):
            own = (in_stations(pieces[name]) for name in row["pieces"])
            laid[row["beam"], row["part"]] += [scale(one, INCH, INCH, origin=(0, 0)) for one in own]
    for number, (of, line) in enumerate(grid.beams(), 1):
        others = [grid.frames[0].moved(grid.strip(1 - of, one)) for one in grid.sets[1 - of]
                  ] if len(grid.sets) > 1 else []  # fmt: skip
        clear = room.difference(unary_union(others))
        for name, (near, far) in _flat(grid, line).items():
            strip = grid.frames[0].moved(grid.strip(of, Line(near, far, "", 0)))
            told = unary_union(laid[number, name]).difference(unary_union(others))
            wrong = told.symmetric_difference(strip.intersection(clear)).buffer(-INCH / 15)
            if laid[number, name] and not wrong.is_empty:
                yield f"{name} of beam {number} is off by {wrong.area / INCH**2} sq in at an end"


def _flat(grid: Grid, line: Line) -> dict[str, tuple[int, int]]:
    """Where across its beam the bottom and the core lie."""
    near, far = line.near, line.far
    if grid.layer.get("corners", "sides_outside") == "sides_outside":
        near += 0 if line.wall == "low" else grid.thick
        far -= 0 if line.wall == "high" else grid.thick
    free = line.width - grid.core(line)
    low = line.near + (0 if line.wall == "low" else free if line.wall else free // 2)
    return {"bottom": (near, far), "core": (low, low + grid.core(line))}


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


def _boards(grid: Grid, request: Table, answer: Table) -> Iterator[str]:
    """What boards are laid on: all of the room, or bays with the tuck, or to the cores (5.9).

    Openings take as much of them as they are cut; of beams nothing.
    """
    holes = unary_union(seen(request["surfaces"][0], "in").cut)
    per = square(answer["units"]["area"])
    mode = grid.layer.get("mode", "boards_to_beam")
    left: BaseGeometry = grid.room
    if mode == "boards_to_beam":
        free = [(line.width - grid.core(line)) // (1 if line.wall else 2)
                for _, line in grid.beams()]  # fmt: skip
        left = grid.clear(min(3 * INCH // 4, *free))
    elif mode == "between_blocking":
        left = grid.room.difference(
            unary_union([grid.cored(of, line) for of, line in grid.beams()])
        )
    wanted = left.difference(holes).area / per
    told = sum(row["area"] for row in answer["regions"] if row["layer"] == "boards")
    if abs(told - wanted) > 1e-4 * wanted:
        yield f"boards are laid on {told}, and {wanted} is there"
