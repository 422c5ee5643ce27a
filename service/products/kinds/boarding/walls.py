"""How boards meet the walls around them: the gap, what covers it, and who cuts them there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.geometry.edges import Edge, Margins, Side, sides_of
from service.geometry.ends import NEARLY_ALONG
from service.geometry.frame import Frame
from service.geometry.rings import Line, Point, Polygon, Region
from service.layout.runs import SNAPPED
from service.units.ticks import SIXTY_FOURTH


@dataclass(frozen=True, slots=True)
class Wall:
    """How boards meet a wall: their `gap` (ticks), and whether something covers it.

    Under 0 boards reach beyond it by so much.

    Scribed boards are `cut_in_place`. A covered gap that nobody asked for `gives`: it takes a rip
    that is too small to saw (3.9). Boards that end there are laid `wild` by so much, and cut to a
    line when all are fastened (3.17). Along a corner of walls they have a `bevel` of so many
    degrees off square, long point at the face (3.16).
    """

    gap: int
    covered: bool
    cut_in_place: bool = False
    gives: bool = False
    wild: int = 0
    bevel: float = 0.0

    @property
    def takes_more(self) -> bool:
        """Whether a board cut a little long will do, so that it is rounded up (0.2)."""
        return self.covered or self.cut_in_place


@dataclass(frozen=True, slots=True)
class Walls:
    """The walls of a layer: `usual`, but for the edges of the outline that are `told`."""

    usual: Wall
    told: tuple[tuple[Edge, Wall], ...] = ()

    @property
    def margins(self) -> Margins:
        """The gap at each of them."""
        return Margins(self.usual.gap, tuple((edge, wall.gap) for edge, wall in self.told))

    def perimeter(self, parts: Region, frame: Frame, *, whole: bool = False) -> Perimeter:
        """The walls of the `parts` of a surface in stations; all alike, only as a `whole`."""
        if not self.told and not whole:
            return Perimeter(self.usual)
        walls = {edge.number: wall for edge, wall in self.told}
        edges = [edge.within(frame) for edge, _ in self.told]
        sides = [side for part in frame.region(parts) for ring in part.rings
                 for side in sides_of(ring, edges)]  # fmt: skip
        return Perimeter(
            self.usual,
            tuple((side, walls[side.edge.number] if side.edge else self.usual) for side in sides),
        )


@dataclass(frozen=True, slots=True)
class Perimeter:
    """The walls of a layer in stations; without `sides` all of them are the `usual` one."""

    usual: Wall
    sides: tuple[tuple[Side, Wall], ...] = ()

    @property
    def is_plain(self) -> bool:
        """Whether all of them are the usual one, wherever they lie."""
        return not self.sides

    def along(self, inner: int, *, high: bool) -> Sequence[Wall]:
        """The walls along the boards on the low or `high` side whose gap ends at station `inner`.

        To 1/64 in; the usual one where there is none.
        """
        found = [
            wall
            for side, wall in self.sides
            if _runs_along(side, high) and abs(_inner(side, wall, high) - inner) <= SIXTY_FOURTH
        ]
        return found or [self.usual]

    def at_end(self, shape: Polygon, *, high: bool) -> Wall:
        """The wall at which a run ends, at its furthest point; of two, what both are.

        Where the end lies in view at one of them it is in view.
        """
        if not self.sides:
            return self.usual
        met = [self.beside(line)[1] for line in _furthest(shape, high)]
        return Wall(
            min(wall.gap for wall in met),
            all(wall.covered for wall in met),
            any(wall.cut_in_place for wall in met),
            all(wall.gives for wall in met),
            max(wall.wild for wall in met),
            max(wall.bevel for wall in met),
        )

    def beside(self, line: Line) -> tuple[Side, Wall]:
        """The wall whose gap ends where the middle of a line lies."""
        (ax, ay), (bx, by) = line
        middle = (ax + bx) // 2, (ay + by) // 2
        return min(self.sides, key=lambda one: abs(one[0].off(middle) - abs(one[1].gap)))

    def bevel_along(self, line: Line) -> float:
        """The bevel of what ends on a line, where that is where a wall's gap ends; 0 elsewhere."""
        (ax, ay), (bx, by) = line
        side, wall = self.beside(line)
        off = side.off(((ax + bx) // 2, (ay + by) // 2)) - abs(wall.gap)
        return wall.bevel if abs(off) <= SNAPPED else 0.0

    def gives(self, line: Line) -> bool:
        """Whether a line lies where the gap of a wall ends, and that gap gives."""
        (ax, ay), (bx, by) = line
        side, wall = self.beside(line)
        off = side.off(((ax + bx) // 2, (ay + by) // 2)) - abs(wall.gap)
        return wall.gives and abs(off) <= SNAPPED


def _runs_along(side: Side, high: bool) -> bool:
    """Whether a side runs with the boards and has them on its low side, or else its high one."""
    along, across = side.end[0] - side.start[0], abs(side.end[1] - side.start[1])
    return across < NEARLY_ALONG * abs(along) and (along < 0) == high


def _inner(side: Side, wall: Wall, high: bool) -> int:
    """The furthest station across at which the gap of a side ends."""
    ends = side.start[1], side.end[1]
    return max(ends) - wall.gap if high else min(ends) + wall.gap


def _furthest(shape: Polygon, high: bool) -> Sequence[Line]:
    """The sides of a run that are cut across it and reach its furthest station.

    Where it ends in a point between its own edge and a wall along it, that point.
    """
    ring = shape.outer
    end = max(ring) if high else min(ring)
    cuts = [
        (a, b)
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
        if min(abs(a[0] - end[0]), abs(b[0] - end[0])) <= SNAPPED and _is_across(a, b)
    ]
    return cuts or [(end, end)]


def _is_across(a: Point, b: Point) -> bool:
    along, across = abs(b[0] - a[0]), abs(b[1] - a[1])
    return across > max(SNAPPED, NEARLY_ALONG * along)
