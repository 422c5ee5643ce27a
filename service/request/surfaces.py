"""From the measure in a request to a surface in true size, facing the finished side."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from service.errors import Basis, Fault, Finding, Ticks, TradeRefused
from service.geometry.frame import axis_across, axis_along
from service.geometry.members import member_lines
from service.geometry.openings import Opening, opening_of
from service.geometry.outlines import SQUARE_WITHIN, from_sides, simple_ring
from service.geometry.rings import Point, Ring, circle, rectangle
from service.geometry.slope import Slope, mirrored, stretched
from service.geometry.surface import Surface
from service.layout.bearings import is_behind, on_grid, positions, with_ends
from service.request.edges import edges_of
from service.request.flatness import flatness_of
from service.request.limits import within
from service.request.surface_findings import said_of
from service.units.ticks import INCH, MM, nearest, whole
from service.units.writing import both

MEMBER_THICKNESS = 3 * INCH // 2
CUT_GAP = INCH // 8
CLOSEST, WIDEST = 3 * INCH, 60 * INCH
USUAL_LENGTHS = (96 * INCH, 2400 * MM, 2700 * MM)
"""Lengths of sheets that usual spacings divide: 12, 16, 19.2, 24 in; 400, 450, 600 mm (0.7)."""

MOST_NAMED = 5
"""Members beyond the surface that a finding names one by one."""

NEAR_ENOUGH = INCH // 8
"""How far from a member's centre a sheet's edge may end: tapes are read, 19.2 in is a mark."""


class Measured:
    """A surface as read, with what should be said of its measure."""

    def __init__(
        self, spec: Any, pointer: str, common: Any = None, *, metric: bool = False
    ) -> None:
        self.spec = spec
        self._metric = metric
        self.pointer = pointer
        self._supports = common if spec.supports is None else spec.supports
        of_job = spec.supports is None and common is not None
        self._supports_at = "/supports" if of_job else f"{pointer}/supports"
        self._sent_with = "job" if spec.supports is None else "surface"
        self.findings: list[Finding] = []
        self.basis: list[Basis] = []

    def surface(self) -> Surface:
        """The surface; raises TradeRefused where its measure cannot be."""
        surface = self._as_framed()
        flat = flatness_of(self.spec, surface, self.pointer, self._default, metric=self._metric)
        if flat is not None:
            told = self._sent_supports().shim is not None
            surface = replace(surface, flatness=flat, shim=surface.shim if told else flat.thickest)
        self.findings += said_of(surface)
        return surface

    def _as_framed(self) -> Surface:
        """The surface on its members as they were sent, however even they lie."""
        spec, supports = self.spec, self._sent_supports()
        corners, at = self._corners()
        plan = simple_ring(corners, at, "outline")
        slope = _slope(spec)
        true = _true_size(plan, slope, self.pointer, "outline")
        mirror = _width(true) if spec.view == "plan" else None
        outline = true if mirror is None else mirrored(true, mirror)
        level = self._sent_with
        thickness = self._default("thickness", "0.6", supports.thickness, MEMBER_THICKNESS, level)
        places = self._positions(plan, thickness)
        members = member_lines(plan, Fraction(supports.direction), places, thickness, slope, mirror)
        # By id, so that their order in the request changes nothing.
        numbered = sorted(enumerate(spec.openings or ()), key=lambda one: one[1].id)
        openings = tuple(self._opening(one, k, outline, slope, mirror) for k, one in numbered)
        edges = edges_of(spec, corners, slope, mirror, self.pointer)
        return Surface(
            id=spec.id,
            type=spec.type or "ceiling",
            outline=outline,
            openings=openings,
            members=members,
            backing=spec.backing.thickness if spec.backing else None,
            mirrored=mirror is not None,
            view_sent=spec.view is not None,
            pointer=self.pointer,
            slope=slope if slope is None or mirror is None else _mirrored(slope),
            shim=supports.shim or 0,
            ends_free=spec.supports is not None and supports.at is None and not supports.ends,
            edges=tuple(edge for edge in edges if edge.is_told),
            known=tuple(edge for edge in edges if edge.beside is not None),
            sides=edges,
            treated=spec.framing == "treated",
            near_salt=bool(spec.near_salt),
        )

    def _sent_supports(self) -> Any:
        """The members of the surface, or of the whole job; refused where neither has any."""
        if self._supports is None:
            raise TradeRefused(
                Fault(
                    "no-supports",
                    "nothing says what stands behind this surface: give it `supports`, or give "
                    "them to the whole job",
                    self._supports_at,
                    rule="0.6",
                )
            )
        return self._supports

    def _default(
        self, key: str, rule: str, sent: int | None, default: int, level: str = "surface"
    ) -> int:
        value = default if sent is None else sent
        source = "default" if sent is None else level
        self.basis.append(Basis(self.spec.id, rule, key, Ticks(value), source))
        return value

    def _corners(self) -> tuple[list[Point], str]:
        """The corners of the outline as sent, in plan, and where they were sent."""
        spec, at = self.spec, self.pointer
        if spec.rectangle is not None:
            return list(rectangle(0, 0, *spec.rectangle)), f"{at}/rectangle"
        if spec.outline is not None:
            return [tuple(point) for point in spec.outline], f"{at}/outline"
        corners, miss, off = from_sides(list(spec.sides), list(spec.diagonals), at)
        self._say_square(off)
        limit = max(INCH // 4, (spec.diagonals[-1]) // 500)
        if abs(miss) > limit:
            self.findings.append(
                Finding(
                    "diagonal-misfit",
                    spec.id,
                    f"the second diagonal misses by "
                    f"{both(abs(miss))}: measure sides and diagonals again",
                    rule="1.3",
                    measure=abs(miss),
                    limit=limit,
                )
            )
        return corners, at

    def _say_square(self, off: int) -> None:
        """Corners that diagonals put out of square by less than a saw can follow (1.3)."""
        if off:
            self.findings.append(
                Finding(
                    "taken-as-square",
                    self.spec.id,
                    f"the diagonals put a side out of square or out of parallel by under "
                    f"{both(SQUARE_WITHIN)} over its length, which no saw follows: it is taken as "
                    "square",
                    rule="1.3",
                    measure=off,
                    limit=SQUARE_WITHIN,
                )
            )

    def _positions(self, plan: Ring, thickness: int) -> list[int]:
        """Centres of the members behind the surface, from its outline's lowest point."""
        supports = self._supports
        direction = Fraction(supports.direction)
        extent, low = _extent(plan, direction), _from_origin(plan, direction, supports.origin)
        if supports.at is None:
            return self._spaced(extent, low, thickness)
        places = sorted({place - low for place in supports.at})
        if supports.origin is None:
            return self._within(places, extent, thickness)
        return [place for place in places if is_behind(place, extent, thickness)]

    def _spaced(self, extent: int, low: int, thickness: int) -> list[int]:
        """Members at a spacing; those of a grid with an origin go on to both sides of the first."""
        supports, at = self._supports, self._supports_at
        if not CLOSEST <= supports.spacing <= WIDEST:
            raise TradeRefused(
                Fault(
                    "spacing-odd",
                    f"member spacing must be from {both(CLOSEST)} to {both(WIDEST)}",
                    f"{at}/spacing",
                    rule="0.7",
                    measure=supports.spacing,
                )
            )
        self._say_spacing(supports.spacing)
        first = self._default("first", "0.6", supports.first, supports.spacing, self._sent_with)
        within("members", extent // supports.spacing + 3, at)
        if supports.origin is None:
            found = positions(extent, supports.spacing, first)
        else:
            found = on_grid(extent, supports.spacing, first - low, thickness)
        return with_ends(found, extent, thickness) if supports.ends else found

    def _within(self, places: list[int], extent: int, thickness: int) -> list[int]:
        """The members that lie behind the surface; a finding names those that do not."""
        beyond = [at for at in places if 2 * at >= 2 * extent + thickness]
        if beyond:
            named = ", ".join(both(at) for at in beyond[:MOST_NAMED])
            more = f" and {len(beyond) - MOST_NAMED} more" if len(beyond) > MOST_NAMED else ""
            self.findings.append(
                Finding(
                    "member-outside",
                    self.spec.id,
                    f"{len(beyond)} of {len(places)} members lie beyond the surface and carry "
                    f"nothing: at {named}{more}; across the members it reaches "
                    f"{both(extent)}",
                    rule="0.7",
                    measure=beyond[0],
                    limit=extent,
                )
            )
        return places[: len(places) - len(beyond)]

    def _say_spacing(self, spacing: int) -> None:
        """A spacing that divides no usual sheet is legal, and often a slip (0.7)."""
        if any(abs(nearest(size, spacing) - size) <= NEAR_ENOUGH for size in USUAL_LENGTHS):
            return
        self.findings.append(
            Finding(
                "spacing-unusual",
                self.spec.id,
                f"members {both(spacing)} on centre: 12, 16, 19.2 and 24 in, or 400, 450 and 600 "
                "mm are usual, and divide a sheet; measure again",
                rule="0.7",
                measure=spacing,
            )
        )

    def _opening(
        self, one: Any, k: int, outline: Ring, slope: Slope | None, mirror: int | None
    ) -> Opening:
        at = f"{self.pointer}/openings/{k}"
        ring = _true_size(_opening_ring(one, at), slope, at, "opening")
        if mirror is not None:
            ring = mirrored(ring, mirror)
        gap = self._default(f"{one.id}.cut_gap", "5.1", one.cut_gap, 0 if one.flange else CUT_GAP)
        out = (one.clearance or 0) + gap
        wider = None
        if one.circle is not None and slope is None:
            x, y, diameter = one.circle
            wider = circle(x, y, diameter + 2 * out)
            wider = wider if mirror is None else mirrored(wider, mirror)
        made = opening_of(one.id, ring, wider, out, one.flange or 0, outline, at)
        diameter = 0 if wider is None else one.circle[2]
        return replace(made, diameter=diameter, fixture=one.fixture, ring=one.ring, gap=gap)


def _slope(spec: Any) -> Slope | None:
    if spec.slope is None:
        return None
    return Slope(Fraction(spec.slope.rise) / Fraction(spec.slope.run), axis_along(spec.slope.up))


def _mirrored(slope: Slope) -> Slope:
    """A slope as seen from the other side."""
    x, y = slope.up
    return Slope(slope.ratio, (-x, y))


def _true_size(ring: Ring, slope: Slope | None, pointer: str, what: str) -> Ring:
    """A plan ring in true size; refused where its corners, on ticks again, cross an edge."""
    if slope is None:
        return ring
    return simple_ring(list(stretched(ring, slope)), pointer, what)


def _width(ring: Ring) -> int:
    """Least and greatest x together: what mirroring takes x from."""
    return min(x for x, _ in ring) + max(x for x, _ in ring)


def _extent(ring: Ring, direction: Fraction) -> int:
    normal = axis_across(direction % 180)
    across = [whole(x * normal[0] + y * normal[1]) for x, y in ring]
    return max(across) - min(across)


def _from_origin(ring: Ring, direction: Fraction, origin: Point | None) -> int:
    """Where the outline's lowest point lies, across the members, from the origin of positions."""
    if origin is None:
        return 0
    normal = axis_across(direction % 180)
    across = [whole(x * normal[0] + y * normal[1]) for x, y in (*ring, origin)]
    return min(across[:-1]) - across[-1]


def _opening_ring(one: Any, at: str) -> Ring:
    if one.rectangle is not None:
        x, y, length, width = one.rectangle
        return rectangle(x, y, x + length, y + width)
    if one.circle is not None:
        return circle(*one.circle)
    return simple_ring([tuple(p) for p in one.outline], f"{at}/outline", "opening")
