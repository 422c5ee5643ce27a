"""What must stand along the edges of a surface: at walls, at hips and valleys, behind ends (15)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from service.geometry.edges import Margins, Side, lie_on_each_other, sides_of
from service.geometry.rings import Line, Point, twice_signed
from service.geometry.surface import Surface
from service.layout.framing import LEAST_BAY, Framing, Span, bays_meet
from service.products.backing import Backer, For, What, backer, straight
from service.units.ticks import SIXTY_FOURTH, whole

_TOUCH = 64 * SIXTY_FOURTH
"""Course ends an inch apart or less lie along one nailer."""


def walls_beside_members(
    framing: Framing, surface: Surface, margins: Margins, limit: int
) -> Iterator[Backer]:
    """A nailer along each wall that runs with the members and has none near enough (15.3).

    What is laid ends by its margin from the wall; a member under it whose face is no farther than
    `limit` from there is near enough. Beams and strips that are set in end it as walls do.
    """
    edges = [edge.within(framing.frame) for edge in margins.edges]
    for ring in (ring for polygon in framing.outline for ring in polygon.rings):
        turn = 1 if twice_signed(ring) > 0 else -1
        for side in sides_of(ring, edges):
            a, b, gap = side.start, side.end, margins.at(side.edge)
            if abs(a[0] - b[0]) <= SIXTY_FOURTH and abs(a[1] - b[1]) > gap:
                inside = -turn if b[1] > a[1] else turn
                away = framing.away(a[0] + inside * gap, inside)
                if away is None or away > limit:
                    yield backer(
                        framing, a, (a[0], b[1]), "nailer", _ended_by(framing, surface, side)
                    )


def _ended_by(framing: Framing, surface: Surface, side: Side) -> For:
    """What ends a layer at a side (u, v): a wall, or what lies on the surface."""
    line = framing.frame.back(side.start), framing.frame.back(side.end)
    outline = surface.outline
    walls = zip(outline, outline[1:] + outline[:1], strict=True)
    on_wall = any(lie_on_each_other(line, wall) for wall in walls)
    return "wall" if on_wall else "beam or strip"


def sides_around(surface: Surface) -> tuple[Side, ...]:
    """All sides of what of a surface is laid on, each with its edge where that is a mitre.

    A mitre is where the surface meets another one: a hip, a valley or a ridge.
    """
    mitres = [edge for edge in surface.edges if edge.what == "mitre"]
    return tuple(
        side for part in surface.parts for ring in part.rings for side in sides_of(ring, mitres)
    )


def side_at(sides: Sequence[Side], end: Line) -> int:
    """On which of the sides (by its place among them) a course end from point to point lies."""
    middle = ((end[0][0] + end[1][0]) // 2, (end[0][1] + end[1][1]) // 2)
    return min(range(len(sides)), key=lambda k: sides[k].off(middle))


def behind_ends(framing: Framing, sides: Sequence[Side], ends: Sequence[Line]) -> Iterator[Backer]:
    """What bears course `ends` along the sides on which they lie, between the members (18.2).

    A side that lies across the members has a block in each bay in which an end lies, one that runs
    more along them nailers as far as ends lie there, and a hip or valley one in each bay. None is
    as short as a member is thick: nobody could nail it.
    """
    on_side: dict[int, list[Span]] = defaultdict(list)
    for end in ends:
        k = side_at(sides, end)
        low, high = sorted(_along(point, sides[k]) for point in end)
        on_side[k].append((low, high))
    for k, spans in sorted(on_side.items()):
        yield from _behind(framing, sides[k], sorted(spans))


def _behind(framing: Framing, side: Side, spans: Sequence[Span]) -> Iterator[Backer]:
    (a, b), (c, d) = framing.frame.to(side.start), framing.frame.to(side.end)
    mitred, across = side.edge is not None, abs(c - a) > abs(d - b)
    what: What = "block" if across and not mitred else "nailer"
    purpose: For = "hip or valley" if mitred else "hanging ends"
    bays = list(framing.parted(side.start, side.end))
    found = [bay for bay in bays if any(bays_meet(bay, one) for one in spans)]
    if not (mitred or across):
        joined = _joined(spans)
        found = [(max(bay[0], one[0]), min(bay[1], one[1]))
                 for bay in found for one in joined if bays_meet(bay, one)]  # fmt: skip
    for low, high in (one for one in found if one[1] - one[0] > LEAST_BAY):
        yield straight(_at(side, low), _at(side, high), what, purpose)


def lies_on(framing: Framing, one: Backer, walls: Iterable[Backer]) -> bool:
    """Whether a line runs along a nailer of a wall that is there already."""
    first, last = framing.frame.to(one.start), framing.frame.to(one.end)
    ends = [sorted((framing.frame.to(wall.start), framing.frame.to(wall.end))) for wall in walls]
    return any(
        max(abs(first[0] - a[0]), abs(last[0] - a[0])) <= SIXTY_FOURTH
        and min(a[1], b[1]) - SIXTY_FOURTH <= min(first[1], last[1])
        and max(first[1], last[1]) <= max(a[1], b[1]) + SIXTY_FOURTH
        for a, b in ends
    )


def _joined(spans: Sequence[Span]) -> list[Span]:
    found = [spans[0]]
    for low, high in spans[1:]:
        last = found[-1]
        if low <= last[1] + _TOUCH:
            found[-1] = (last[0], max(last[1], high))
        else:
            found.append((low, high))
    return found


def _along(point: Point, side: Side) -> int:
    """How far along a side a point lies, within it."""
    long = side.size
    (ax, ay), (bx, by) = side.start, side.end
    at = ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / long
    return min(max(0, whole(at)), whole(long))


def _at(side: Side, along: int) -> Point:
    (ax, ay), (bx, by) = side.start, side.end
    share = along / side.size
    return ax + whole((bx - ax) * share), ay + whole((by - ay) * share)
