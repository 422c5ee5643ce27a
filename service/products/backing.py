"""What must stand behind a layer: nailers, headers and blocks, where the framing has nothing (15).

They are counted and never computed: whether they are enough is for the designer to say.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Literal, TypeAlias

from service.geometry.edges import Margins, sides_of
from service.geometry.rings import Point, Region, Ring, bounds, twice_signed
from service.layout.framing import Framing, Span, clusters
from service.units.ticks import SIXTY_FOURTH, whole

What: TypeAlias = Literal["nailer", "header", "block"]
For: TypeAlias = Literal["hanging ends", "wall", "opening", "joint", "row", "seam"]


@dataclass(frozen=True, slots=True, order=True)
class Backer:
    """One straight line of backing, from `start` to `end` in the surface's coordinates (ticks)."""

    start: Point
    end: Point
    length: int
    what: What
    purpose: For


@dataclass(frozen=True, slots=True)
class Limits:
    """How near a member must be to serve, and how near two blocks of one bay are one; ticks."""

    edge: int
    opening: int
    merge: int


def backer(framing: Framing, low: Point, high: Point, what: What, purpose: For) -> Backer:
    """A line from `low` to `high`, both (u, v), along the members or square to them."""
    start, end = framing.line(low, high)
    return Backer(start, end, abs(high[0] - low[0]) + abs(high[1] - low[1]), what, purpose)


def straight(start: Point, end: Point, what: What, purpose: For) -> Backer:
    """A line between any two points of the surface."""
    first, last = sorted((start, end))
    length = whole(hypot(last[0] - first[0], last[1] - first[1]))
    return Backer(first, last, length, what, purpose)


def walls_beside_members(framing: Framing, margins: Margins, limit: int) -> Iterator[Backer]:
    """A nailer along each wall that runs with the members and has none near enough (15.3).

    What is laid ends by its margin from the wall; a member under it whose face is no farther than
    `limit` from there is near enough.
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
                    yield backer(framing, a, (a[0], b[1]), "nailer", "wall")


def _sides(ring: Ring) -> Iterator[tuple[Point, Point]]:
    return iter(zip(ring, ring[1:] + ring[:1], strict=True))


def round_opening(framing: Framing, cut: Region, limit: int) -> Iterator[Backer]:
    """What stands on the four sides of an opening as it is cut, in (u, v) of the framing (15.4).

    Square to the members a block in its bay, or a header from one uncut member to the next where
    it crosses any (5.7); along them a nailer between those, unless a member is near enough. A side
    that lies on the outline is a wall's.
    """
    low, high, near, far = bounds(cut)
    left, right, bottom, top = bounds(framing.outline)
    across, crosses = framing.between((low, high)), framing.crossed_by((low, high))
    for v, edge in ((near, bottom), (far, top)):
        if abs(v - edge) > SIXTY_FOURTH:
            what: What = "header" if crosses else "block"
            yield backer(framing, (across[0], v), (across[1], v), what, "opening")
    for u, side, edge in ((low, -1, left), (high, 1, right)):
        away = framing.away(u, side)
        if abs(u - edge) > SIXTY_FOURTH and (away is None or away > limit):
            yield backer(framing, (u, near), (u, far), "nailer", "opening")


def blocks_under(framing: Framing, span: Span, at: int, purpose: For) -> Iterator[Backer]:
    """A block in each bay that a line at v crosses: as long as the clear bay (15.1, 15.5)."""
    for low, high in framing.bays_over(span):
        yield backer(framing, (low, at), (high, at), "block", purpose)


def merged(framing: Framing, found: Iterable[Backer], within: int) -> tuple[Backer, ...]:
    """With blocks of one bay that lie `within` of each other as one, midway (15.8)."""
    kept: list[Backer] = []
    blocks: dict[tuple[Span, For], list[int]] = defaultdict(list)
    for one in dict.fromkeys(found):
        if one.what != "block":
            kept.append(one)
            continue
        (a, v), (b, _) = framing.frame.to(one.start), framing.frame.to(one.end)
        blocks[(min(a, b), max(a, b)), one.purpose].append(v)
    for (span, purpose), places in blocks.items():
        for first, last in clusters(places, within):
            v = (first + last) // 2
            kept.append(backer(framing, (span[0], v), (span[1], v), "block", purpose))
    return tuple(sorted(kept))


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


def along_edges(parts: Region, ends: Sequence[tuple[Point, Point]]) -> Iterator[Backer]:
    """Nailers along the edges of a surface behind course `ends`, in their order along each edge.

    Ends that follow each other along one edge have one nailer.
    """
    edges = [side for part in parts for ring in part.rings for side in _sides(ring)]
    by_edge: dict[int, list[Span]] = defaultdict(list)
    for start, end in ends:
        middle = ((start[0] + end[0]) // 2, (start[1] + end[1]) // 2)
        k = min(range(len(edges)), key=lambda k: _off(middle, edges[k]))
        places = sorted(_along(point, edges[k]) for point in (start, end))
        by_edge[k].append((places[0], places[1]))
    for k, spans in sorted(by_edge.items()):
        for low, high in _joined(sorted(spans)):
            yield straight(_at(edges[k], low), _at(edges[k], high), "nailer", "hanging ends")


_TOUCH = 64 * SIXTY_FOURTH
"""Course ends an inch apart or less lie along one nailer."""


def _joined(spans: Sequence[Span]) -> list[Span]:
    found = [spans[0]]
    for low, high in spans[1:]:
        last = found[-1]
        if low <= last[1] + _TOUCH:
            found[-1] = (last[0], max(last[1], high))
        else:
            found.append((low, high))
    return found


def _along(point: Point, edge: tuple[Point, Point]) -> int:
    """How far along an edge a point lies, within it."""
    (ax, ay), (bx, by) = edge
    long = hypot(bx - ax, by - ay)
    at = ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / long
    return min(max(0, whole(at)), whole(long))


def _at(edge: tuple[Point, Point], along: int) -> Point:
    (ax, ay), (bx, by) = edge
    share = along / hypot(bx - ax, by - ay)
    return ax + whole((bx - ax) * share), ay + whole((by - ay) * share)


def _off(point: Point, edge: tuple[Point, Point]) -> float:
    x, y = _at(edge, _along(point, edge))
    return hypot(point[0] - x, point[1] - y)
