"""Lines of straps across an area, and where each is spliced (14). All lengths are ticks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from service.geometry.rings import Region
from service.units.ticks import SIXTY_FOURTH


@dataclass(frozen=True, slots=True, order=True)
class StrapLine:
    """A line of straps centred on station `at`, from station `low` to `high` along it."""

    at: int
    low: int
    high: int


def strap_places(extent: int, spacing: int, edge: int, *, equal: bool) -> list[int]:
    """Centres over an extent: the first and the last `edge` from its ends, none over `spacing`.

    `equal` bays, or full ones and the last as short as it comes out; one under half the spacing
    shares with the bay before. Where the two outermost would lie on each other one stands in the
    middle. `edge` is half a strap at least, and the spacing two straps.
    """
    net = extent - 2 * edge
    if net < 2 * edge:
        return [extent // 2]
    bays = -(-net // spacing)
    if equal:
        return [edge + net * k // bays for k in range(bays + 1)]
    found = [*(edge + spacing * k for k in range(bays)), extent - edge]
    if bays > 1 and 2 * (found[-1] - found[-2]) < spacing:
        found[-2] = (found[-3] + found[-1]) // 2
    return found


Beside = tuple[StrapLine, int]
"""A line that is wanted flush with a side, and whether that lies below (1) or above (-1) it."""


def beside_edges(region: Region, edge: int, width: int) -> list[Beside]:
    """A line `edge` inside each side of a region that runs with the straps, or outside (14.2).

    Outside where `edge` is negative. Each is as long as its side; a side no longer than a strap is
    wide has none.
    """
    found = []
    for ring in (ring for polygon in region for ring in polygon.rings):
        for (u, v), (to, w) in zip(ring, ring[1:] + ring[:1], strict=True):
            if abs(v - w) <= SIXTY_FOURTH and abs(u - to) > width:
                # Outer rings turn left, holes turn right: the region lies on the left of both.
                off = edge if to > u else -edge
                line = StrapLine(v + off, min(u, to), max(u, to))
                found.append((line, 1 if off > 0 else -1))
    return found


def with_added(lines: Sequence[StrapLine], wanted: Sequence[Beside], width: int) -> list[StrapLine]:
    """The lines, and what of the `wanted` none of them stands for; no two lie on each other.

    One that would lie on a wanted line stands for it if it lies further from the side, and is
    joined with it where it is shorter. One that reaches over the side is left out for as long.
    """
    found = list(lines)
    for line, away in sorted(wanted):
        low, high, at = line.low, line.high, line.at
        met = [
            one for one in found
            if abs(one.at - at) < width and one.low < high and low < one.high
        ]  # fmt: skip
        clear = [one for one in met if (one.at - at) * away >= 0]
        if any(one.low <= low and one.high >= high for one in clear):
            continue
        found = [one for one in found if one not in met]
        for one in clear:
            low, high, at = min(low, one.low), max(high, one.high), one.at
        for one in (one for one in met if one not in clear):
            found += [StrapLine(one.at, one.low, low), StrapLine(one.at, high, one.high)]
        found.append(StrapLine(at, low, high))
    return [one for one in found if one.low < one.high]


def splices(
    low: int, high: int, members: Sequence[int], longest: int, taken: Collection[int]
) -> tuple[int, ...] | None:
    """Members on which a strap from `low` to `high` is spliced, as few as can be (14.3).

    No piece is over `longest`, and each bears on two members or more. None of `taken`, where the
    line before is spliced, is used unless there is no other way; then as few of them as can be.
    None where no sticks reach. Of equal ways the one with long pieces from the low end.
    """
    places = [low, *(at for at in members if low < at < high), high]
    last = len(places) - 1
    best: list[tuple[int, int, tuple[int, ...]] | None] = [(0, 0, ())] + [None] * last
    for k in range(1, last + 1):
        for start in range(k - 1, -1, -1):
            if places[k] - places[start] > longest:
                break
            before = best[start]
            if before is None or not _bears(start, k, last):
                continue
            cut = () if k == last else (places[k],)
            way = (before[0] + (places[k] in taken and k < last), before[1] + 1, before[2] + cut)
            known = best[k]
            if known is None or _rank(way) < _rank(known):
                best[k] = way
    found = best[last]
    return None if found is None else found[2]


def _bears(start: int, end: int, last: int) -> bool:
    """Whether a piece between two places touches two members: an end at a wall touches none."""
    inside = end - start - 1
    return inside + (start > 0) + (end < last) >= 2 or (start == 0 and end == last)


def _rank(way: tuple[int, int, tuple[int, ...]]) -> tuple[int, int, tuple[int, ...]]:
    clashes, pieces, cuts = way
    return clashes, pieces, tuple(-at for at in cuts)
