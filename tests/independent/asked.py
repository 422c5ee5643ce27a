"""What a request asks for, resolved: rules with their defaults, products, members, stations.

The defaults are copied by hand from the trade rules (the table of defaults), not from the
service's own table.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import Any

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.independent.insets import Inset, Wall, inset
from tests.independent.measure import INCH, METRIC, TICKS, exact, ticks
from tests.independent.plane import (
    SHARP,
    Frame,
    Seen,
    Vector,
    dot,
    facing_direction,
    frame_of,
    normal_of,
    plan_outline,
    seen,
)

LENGTHS = {
    "min_rip": "1", "kerf": "1/8", "cut_to": "1/16", "keep_offcut": "24", "min_piece": "24",
    "end_bearing": "3/4", "stagger": "24", "repeat": "6", "joint_from_hole": "12",
    "joint_beside_hole": "6", "min_leg": "3/4", "min_run": "3", "min_touch": "1/2",
    "blind_up_to": "11/2", "bite_ring": "5/4", "bite_smooth": "3/2", "panel_spacing": "8",
    "end_distance": "3/2", "block_spacing": "16", "long_hole": "12", "joint_trim": "1/4",
    "wall_trim": "0",
}  # fmt: skip
OTHERS: dict[str, Any] = {
    "min_bearings": 3, "loss_hand": 5, "loss_collated": 10, "cull": 0, "spare": 0,
    "flat_pct": 10, "blind_angle": 45,
}  # fmt: skip

NEAR = INCH / 64

MARKS = (
    [INCH, INCH // 2, INCH // 4, INCH // 16],
    [10 * TICKS["mm"], 5 * TICKS["mm"], TICKS["mm"]],
)
"""Marks of a tape in inches and of one in centimetres, the coarsest first."""

STEEP = 0.45
"""Rise over run from which an edge no longer runs along the boards."""


@dataclass(frozen=True)
class Member:
    """A member behind the boards: its centre line where the stations say, and its half width."""

    slope: float
    at: float
    half: float

    def centre(self, v: float) -> float:
        """Station along the boards of the centre line, at `v` across them."""
        return self.at + self.slope * v


@dataclass(frozen=True)
class Layer:
    """One layer of boards of one surface, with all that it rests on."""

    surface: dict[str, Any]
    layer: dict[str, Any]
    product: dict[str, Any]
    unit: str
    own: dict[str, Any]
    products: tuple[dict[str, Any], ...] = ()
    turn: float = 0.0

    @property
    def key(self) -> tuple[str, str]:
        """Ids of the surface and the layer."""
        return self.surface["id"], self.layer.get("id", self.layer["kind"])

    def rule(self, name: str) -> int:
        """A length among the rules, in ticks."""
        if name in self.own:
            return ticks(self.own[name], self.unit)
        if name == "gap":
            return INCH // 2 if self.layer.get("edges", "covered") == "covered" else INCH // 8
        if name == "cut_to" and self.unit in METRIC:
            return TICKS["mm"]
        return int(Fraction(LENGTHS[name]) * INCH)

    def value(self, name: str) -> Fraction:
        """A count or a share among the rules."""
        return exact(self.own.get(name, OTHERS[name]))

    @cached_property
    def seen(self) -> Seen:
        """The surface in true size."""
        return seen(self.surface, self.unit)

    @cached_property
    def walls(self) -> list[Wall]:
        """How the boards meet each edge of the outline, in the order of its corners as sent."""
        covered = self.layer.get("edges", "covered") == "covered"
        found = [Wall(self.rule("gap"), covered) for _ in plan_outline(self.surface, self.unit)]
        for row in self.surface.get("edges", ()):
            found[row["edge"]] = self._wall(row, covered)
        return found

    def _wall(self, row: dict[str, Any], usual: bool) -> Wall:
        told = row.get("is")
        covered = told == "covered" or (told in (None, "mitre") and usual)
        gap = INCH // 2 if covered else INCH // 8
        gap = ticks(self.own["gap"], self.unit) if "gap" in self.own else gap
        gap = 0 if told == "tight" else gap
        gap = ticks(row["gap"], self.unit) if "gap" in row else gap
        return Wall(gap // 2 if told == "mitre" else gap, covered, told == "tight")

    def inset(self, less: int = 0) -> BaseGeometry:
        """The outline in by its gaps, each less so much but never under 0; not in stations."""
        if "edges" not in self.surface:
            by = max(0, self.rule("gap") - less)
            return self.seen.outline.buffer(-by, join_style="mitre", mitre_limit=SHARP)
        return self.by_walls(less).shape

    def by_walls(self, less: int = 0) -> Inset:
        """The same with the line along which each wall's gap ends."""
        corners = [at[:2] for at in self.seen.outline.exterior.coords[:-1]]
        found = inset(corners, [max(0, wall.gap - less) for wall in self.walls])
        assert found is not None, "an edge of the outline vanishes"
        return found

    def room(self, less: int = 0) -> BaseGeometry:
        """The part to be boarded: in by its gaps, less the openings as cut."""
        return self.inset(less).difference(unary_union(self.seen.cut))

    @cached_property
    def frame(self) -> Frame:
        """Stations along and across the boards."""
        along = facing_direction(self.surface, self.layer["direction"])
        hand = 1 if exact(along) % 180 < 90 else -1
        return frame_of(self.seen.outline, along, hand * self.turn)

    @cached_property
    def outline(self) -> Polygon:
        """The outline in stations."""
        return self.frame.moved(self.seen.outline)

    @property
    def overall(self) -> int:
        """Whole width of a board, ticks."""
        return ticks(self.product["overall"], self.unit)

    @property
    def coverage(self) -> int:
        """Width that shows, ticks."""
        for part in ("tongue", "lap"):
            if "coverage" not in self.product and part in self.product:
                return self.overall - ticks(self.product[part], self.unit)
        return ticks(self.product.get("coverage", self.product["overall"]), self.unit)

    @property
    def spacer(self) -> int:
        """Open joint between courses, ticks."""
        return ticks(self.layer.get("spacer", 0), self.unit)

    @property
    def start(self) -> str:
        """How the odd width is shared."""
        usual = "equal" if self.product["profile"] == "lapped" else "balanced"
        return str(self.layer.get("start", usual))

    @property
    def joints(self) -> str:
        """Where end joints may be."""
        if "joints" in self.layer and not self.on_rows:
            return str(self.layer["joints"])
        if self.on_rows:
            return "framing"
        along = self.across_members is False and "backing" in self.surface
        return "sheathing" if along or self.product.get("ends") == "end_matched" else "framing"

    @property
    def pattern(self) -> str:
        """How the boards are fastened."""
        if "pattern" in self.layer.get("fastening", {}):
            return str(self.layer["fastening"]["pattern"])
        if self.product["profile"] != "tongue_and_groove":
            return "lap" if self.product["profile"] == "lapped" else "face"
        return "blind" if self.coverage <= self.rule("blind_up_to") else "blind_face"

    @property
    def across_members(self) -> bool:
        """Whether the boards cross the members at all."""
        turned = exact(self.layer["direction"]) - exact(self.surface["supports"]["direction"])
        return turned % 180 != 0

    @property
    def on_rows(self) -> bool:
        """Whether rows of blocks are all that the boards bear on (15.2)."""
        behind = "backing" in self.surface
        return bool(self.layer.get("blocks")) and not (behind or self.across_members)

    @property
    def block_rows(self) -> list[float]:
        """Middles of the rows: half a block from both ends, as few bays as the spacing lets be.

        Between them equal whole inches or centimetres apart, parts of those where they must.
        """
        if self.turn:
            return replace(self, turn=0).block_rows  # square to the direction that was asked for
        left, _, right, _ = self.outline.bounds
        low, high = (0, 0) if self.layer.get("plates") else self._end_gaps
        first, last = left + max(3 * INCH / 4, low), right - max(3 * INCH / 4, high)
        spacing = self.rule("block_spacing")
        bays = max(1, math.ceil((last - first) / spacing))
        for mark in MARKS[self.unit in METRIC]:
            rows = _marked(first, last, bays, spacing, mark)
            if rows:
                return rows
        return [first + (last - first) * k / bays for k in range(bays + 1)]

    @property
    def _end_gaps(self) -> tuple[int, int]:
        """The widest gap at walls square to the boards, at the left and at the right."""
        corners = [at[:2] for at in self.outline.exterior.coords]
        found = [
            max(
                (wall.gap for wall, (one, other) in zip(self.walls, pairwise(corners), strict=True)
                 if abs(one[0] - end) < NEAR > abs(other[0] - end)),
                default=0,
            )
            for end in (self.outline.bounds[0], self.outline.bounds[2])
        ]  # fmt: skip
        return found[0], found[1]

    @property
    def square(self) -> bool:
        """Whether the boards cross the members, or the rows of blocks, at right angles."""
        if self.on_rows:
            return True
        turned = exact(self.layer["direction"]) - exact(self.surface["supports"]["direction"])
        return turned % 180 == 90

    @cached_property
    def members(self) -> list[Member]:
        """The members in stations, lowest first, or the rows; none when boards bear on no line."""
        if self.on_rows:
            return [self._row(at) for at in self.block_rows]
        if not self.across_members:
            return []
        lines = [self._member(position) for position in self.positions]
        return sorted(lines, key=lambda member: member.at)

    @property
    def positions(self) -> list[int]:
        """Centres of the members across them, from the outline's lowest point."""
        supports, unit = self.surface["supports"], self.unit
        if "at" in supports:
            return [ticks(position, unit) for position in supports["at"]]
        step = ticks(supports["spacing"], unit)
        first = ticks(supports.get("first", supports["spacing"]), unit)
        reach = int(self._reach)
        inner = list(range(first, reach + 1, step))
        if not supports.get("ends"):
            return inner
        ends = [self._thickness // 2, reach - self._thickness // 2]
        clear = [at for at in inner if all(abs(at - end) >= self._thickness for end in ends)]
        return [ends[0], *clear, ends[1]]

    @property
    def _thickness(self) -> int:
        return ticks(self.surface["supports"].get("thickness", "3/2 in"), self.unit)

    @property
    def _reach(self) -> float:
        across = normal_of(self.surface["supports"]["direction"])
        seats = [dot(corner, across) for corner in plan_outline(self.surface, self.unit)]
        return max(seats) - min(seats)

    def _member(self, position: int) -> Member:
        """The line n.p = low + position of the plan, carried over to stations."""
        plan = normal_of(self.surface["supports"]["direction"])
        corners = plan_outline(self.surface, self.unit)
        offset = min(dot(corner, plan) for corner in corners) + position
        return self._across(_carried(self.seen.matrix, plan), offset, self._thickness / 2)

    def _row(self, at: float) -> Member:
        """A row of blocks, over boards that a taper may turn."""
        straight = replace(self, turn=0).frame
        return self._across(straight.along, straight.low[0] + at, 3 * INCH / 4)

    def _across(self, turned: Vector, offset: float, half: float) -> Member:
        """The line n.p = offset in stations, with what lies `half` to both sides of it."""
        along, across = dot(turned, self.frame.along), dot(turned, self.frame.across)
        low = self.frame.low
        start = (offset - along * low[0] - across * low[1]) / along
        size = (turned[0] ** 2 + turned[1] ** 2) ** 0.5
        return Member(-across / along, start, half * size / abs(along))


def _marked(first: float, last: float, bays: int, spacing: int, mark: int) -> list[float]:
    """Rows at equal steps of so many marks; of all that keep the spacing, the best.

    The smaller step before the larger, hooked at the wall before end bays alike.
    """
    even = (last - first) / bays / mark
    found = []
    for steps in {math.floor(even), math.ceil(even)}:
        step, inner = steps * mark, steps * mark * (bays - 2)
        alike = (first + last - inner) / 2 / mark
        for hooked, start in ((True, step), (False, math.floor(alike + 0.5) * mark)):
            ends = [start - first, last - start - inner]
            if bays > 1 and step <= spacing and min(ends) >= step / 2 and max(ends) <= spacing:
                rows = [first, *(start + step * k for k in range(bays - 1)), last]
                found.append((step, not hooked, rows))
    return min(found)[2] if found else []


def _carried(matrix: tuple[Vector, Vector], normal: Vector) -> Vector:
    """The normal of a line after the plane was mapped: the inverse transpose."""
    (a, b), (c, d) = matrix
    size = a * d - b * c
    return (d * normal[0] - c * normal[1]) / size, (a * normal[1] - b * normal[0]) / size


def layers(request: dict[str, Any]) -> list[Layer]:
    """Every layer of boards of a request, in order."""
    products = {product["id"]: product for product in request["products"]}
    return [
        Layer(
            surface,
            layer,
            products[layer["product"]],
            request["unit"],
            {**request.get("rules", {}), **surface.get("rules", {}), **layer.get("rules", {})},
            tuple(request["products"]),
        )
        for surface in request["surfaces"]
        for layer in surface["layers"]
        if layer["kind"] == "boarding"
    ]


def laid(request: dict[str, Any], answer: dict[str, Any]) -> list[Layer]:
    """Every layer with its stations as laid: along the bisector where a taper is shared out."""
    tapered = {row["at"] for row in answer["findings"] if row["code"] == "taper"}
    return [
        replace(layer, turn=bisector(layer.outline)) if ".".join(layer.key) in tapered else layer
        for layer in layers(request)
    ]


def bisector(outline: Polygon) -> float:
    """Degrees, from u towards v, by which the boards turn to share a taper out.

    The lowest and the highest edge take half each of the taper, as it is measured square to the
    direction asked for.
    """
    along = [
        ((b + d) / 2, (d - b) / (c - a))
        for (a, b), (c, d) in pairwise(outline.exterior.coords)
        if abs(d - b) < STEEP * abs(c - a)
    ]
    return math.degrees(math.atan((min(along)[1] + max(along)[1]) / 2))


def rows(answer: dict[str, Any], table: str, layer: Layer) -> list[dict[str, Any]]:
    """The rows of one table that belong to one layer."""
    return [row for row in answer[table] if (row["surface"], row["layer"]) == layer.key]


def placed_polygon(piece: dict[str, Any], unit: str) -> Polygon:
    """The face of a placed piece in stations, ticks."""
    if piece["shape"]:
        rings = [[(ticks(u, unit), ticks(v, unit)) for u, v in ring] for ring in piece["shape"]]
        return Polygon(rings[0], rings[1:])
    low, high = ticks(piece["from"], unit), ticks(piece["to"], unit)
    sides = sorted((ticks(piece["near"], unit), ticks(piece["far"], unit)))
    return Polygon([(low, sides[0]), (high, sides[0]), (high, sides[1]), (low, sides[1])])
