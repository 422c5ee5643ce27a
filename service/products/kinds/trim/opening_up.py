"""Trim that is up where a change lays it otherwise: what stays of it (21.4)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from service.geometry.rings import Point
from service.products.kinds.trim.records import LaidTrim, PlacedTrim, TrimEnd, TrimLength
from service.products.rows import PieceRow
from service.products.standing import OpenedUp, Opening, Stay, kept_whole


def open_up(placed: PlacedTrim, after: LaidTrim, opening: Opening) -> OpenedUp:
    """A length stays if it lies as before, from corner to corner, with both ends cut as before.

    One of a single piece whose wall became shorter is taken off, cut to its new length and put
    back. Any other is made anew: what is pulled off a wall is seldom fit to be hung elsewhere.
    """
    lengths = zip(placed.laid.detail.lengths, placed.trim_lengths, strict=True)
    was = {one.known_by: row.pieces for one, row in lengths}
    now = {one.known_by for one in after.detail.lengths}
    found = kept_whole(was, now, opening.up, after.task.pointer)
    cut = dict(_recut(placed, after, opening, was, found.standing.kept))
    kept = found.standing.kept | cut.keys()
    return replace(
        found,
        standing=replace(found.standing, kept=kept),
        stays=(*found.stays, *cut.values()),
        complete=now <= kept,
    )


def _recut(
    placed: PlacedTrim,
    after: LaidTrim,
    opening: Opening,
    was: Mapping[object, Sequence[str]],
    kept: frozenset[object],
) -> Iterator[tuple[object, Stay]]:
    """New lengths that are cut of what is up, each of another piece, by what they are known by."""
    free = [one for one in placed.laid.detail.lengths
            if one.known_by not in kept and len(was[one.known_by]) == 1
            and was[one.known_by][0] in opening.up]  # fmt: skip
    for new in after.detail.lengths:
        row = _single(new, after, opening)
        old = next((one for one in free if _is_cut_of(new, one, after.detail.wide)), None)
        if row is not None and old is not None and new.known_by not in kept:
            free.remove(old)
            cut = 2 - sum(map(_same, new.wall.points, old.wall.points, new.ends, old.ends))
            yield new.known_by, Stay(was[old.known_by][0], becomes=row, cut=cut)


def _single(one: TrimLength, after: LaidTrim, opening: Opening) -> PieceRow | None:
    """The piece of a length that is made of one."""
    own = [row for row in opening.to_be.values() if row.course == one.number]
    return own[0] if len(own) == 1 else None


def _is_cut_of(new: TrimLength, old: TrimLength, wide: int) -> bool:
    """Whether a length is to be had of another by cutting it shorter, where it hangs.

    A new end lies behind all of the old one, whichever way that was cut.
    """
    if len(new.wall.points) > 2 or len(old.wall.points) > 2:
        return False
    (a, b), (c, d) = new.wall.points, old.wall.points
    if not (_on_line(a, c, d) and _on_line(b, c, d)):
        return False
    low, high, whole = _along(a, c, d), _along(b, c, d), _along(d, c, d)
    return (
        low < high
        and (_same(a, c, new.ends[0], old.ends[0]) or low - new.ends[0].adds >= wide)
        and (_same(b, d, new.ends[1], old.ends[1]) or high + new.ends[1].adds <= whole - wide)
    )


def _same(a: Point, b: Point, new: TrimEnd, old: TrimEnd) -> bool:
    return a == b and new == old


def _on_line(point: Point, start: Point, end: Point) -> bool:
    """Whether a point lies on the line through two others, as exactly as points are."""
    (x, y), (a, b), (c, d) = point, start, end
    return abs((c - a) * (y - b) - (d - b) * (x - a)) <= abs(c - a) + abs(d - b)


def _along(point: Point, start: Point, end: Point) -> float:
    """How far a point lies from the start towards the end, ticks."""
    (x, y), (a, b), (c, d) = point, start, end
    long = float(((c - a) ** 2 + (d - b) ** 2) ** 0.5)
    return ((x - a) * (c - a) + (y - b) * (d - b)) / long
