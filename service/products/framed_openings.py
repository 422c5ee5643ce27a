"""What frames an opening, and what carries the fixture in it (5.7, 15.4, 15.7)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from service.geometry.openings import Opening
from service.geometry.plane import intersection
from service.geometry.rings import Polygon, Region, Ring, bounds
from service.geometry.surface import Surface
from service.layout.framing import Framing
from service.products.backing import Backer, What, backer, blocks_under
from service.products.laid_rows import OpeningRow
from service.units.ticks import SIXTY_FOURTH


def cut_behind(surface: Surface, row: OpeningRow) -> tuple[Ring, ...]:
    """An opening as it is cut in what a layer lies on: casings leave it as it was (17.3)."""
    bare = next((one for one in surface.framed if one.id == row.opening), None)
    if bare is None:
        return row.cut
    return tuple(ring for part in intersection(bare.cut, surface.parts) for ring in part.rings)


def framed(
    framing: Framing, cuts: Iterable[tuple[tuple[Ring, ...], bool]], limit: int
) -> Iterator[Backer]:
    """What stands round openings as they are cut (x, y), each told whether the layer ends at it.

    One that crosses a member is framed in any case (5.7).
    """
    for rings, ends in sorted(set(cuts)):
        region = framing.frame.region(tuple(Polygon(ring) for ring in rings))
        low, high, _, _ = bounds(region)
        if ends or framing.crossed_by((low, high)):
            yield from _round(framing, region, limit)


def beside_casings(
    framing: Framing, cuts: Iterable[tuple[tuple[Ring, ...], tuple[Ring, ...]]], limit: int
) -> Iterator[Backer]:
    """Cleats for the ends of boards at casings, where no member stands near enough (18.2).

    Of each opening as it is cut behind and as boards leave it; they stand as high as the former.
    """
    left, right, *_ = bounds(framing.outline)
    for behind, cut in sorted(set(cuts)):
        low, high, *_ = framing.frame.bounds(tuple(map(Polygon, cut)))
        *_, near, far = framing.frame.bounds(tuple(map(Polygon, behind)))
        for u, side in ((low, -1), (high, 1)):
            away = framing.away(u, side)
            if left < u < right and (away is None or away > limit):
                for start, end in framing.within((u, near), (u, far)):
                    yield backer(framing, start, end, "cleat", "opening")


def _round(framing: Framing, cut: Region, limit: int) -> Iterator[Backer]:
    """What stands on the four sides of an opening as it is cut, in (u, v) of the framing (15.4).

    Square to the members a header from one uncut member to the next where it crosses any, with
    trimmers between the two along its sides (5.7); where it lies within a bay a block of that bay,
    with cleats between the two. A slot from wall to wall has none: no member is left beside it to
    carry a header, and for a vent strip below them none is cut. A side that has a member near
    enough needs none, one that lies on the outline is a wall's, and of one that reaches beyond it
    only what lies within counts.
    """
    low, high, near, far = bounds(cut)
    left, right, bottom, top = bounds(framing.outline)
    if low <= left + SIXTY_FOURTH and high >= right - SIXTY_FOURTH:
        return
    crosses = framing.crossed_by((low, high))
    over: What = "header" if crosses else "block"
    beside: What = "trimmer" if crosses else "cleat"
    for v, edge in ((near, bottom), (far, top)):
        if abs(v - edge) > SIXTY_FOURTH:
            for start, end in framing.within((low, v), (high, v)):
                a, b = framing.between((start[0], end[0]), v)
                yield backer(framing, (a, v), (b, v), over, "opening")
    for u, side, edge in ((low, -1, left), (high, 1, right)):
        away = framing.away(u, side)
        if abs(u - edge) > SIXTY_FOURTH and (away is None or away > limit):
            for start, end in framing.within((u, near), (u, far)):
                yield backer(framing, start, end, beside, "opening")


def carrying(framing: Framing, openings: Iterable[Opening]) -> Iterator[Backer]:
    """Two blocks beside each can light, in the bay in which it hangs (15.7).

    One that crosses a member hangs from its headers.
    """
    for opening in openings:
        if opening.fixture == "can_light":
            low, high, near, far = framing.frame.bounds(opening.cut)
            if not framing.crossed_by((low, high)):
                for v in (near, far):
                    yield from blocks_under(framing, (low, high), v, "fixture")
