"""Wrap that is up where a change opens it: it stays, and a patch laps it all round (13.7, 21.4)."""

from __future__ import annotations

from collections.abc import Iterator

from service.geometry.plane import difference, intersection, union
from service.geometry.rings import Polygon, Region, bounds, rectangle
from service.products.kinds.wrap.records import LaidWrap, PlacedWrap
from service.products.standing import OpenedUp, Opening, Standing, Stay, is_reached


def open_up(placed: PlacedWrap, after: LaidWrap, opening: Opening) -> OpenedUp:
    """Wrap that is up stays, and is patched where it is opened: the hole and a lap on all sides.

    An opening that only grows, and behind which no framing is set, is cut in place. Where wrap is
    up in part, what is not up is laid with the patches.
    """
    stays = tuple(Stay(piece.id) for piece in placed.detail if piece.id in opening.up)
    patches = union(_patches(placed, after, opening))
    rest = _not_up(placed, after, opening)
    over = intersection(after.frame.region_back(union([patches, rest])), after.task.surface.parts)
    return OpenedUp(Standing(over=over), stays, complete=not over)


def _patches(placed: PlacedWrap, after: LaidWrap, opening: Opening) -> Iterator[Region]:
    """The box of each hole that changes, old and new together, and the lap round it."""
    was = union(one.cut for one in placed.laid.task.surface.openings)
    now = union(one.cut for one in after.task.surface.openings)
    was, now = after.frame.region(was), after.frame.region(now)
    lap = after.task.rules.wrap_lap
    for hole in union([was, now]):
        closed = difference(intersection(was, (hole,)), now)
        opened = difference(intersection(now, (hole,)), was)
        if closed or (opened and is_reached(opened, opening.framing, after.frame)):
            low, high, near, far = bounds((hole,))
            yield (Polygon(rectangle(low - lap, near - lap, high + lap, far + lap)),)


def _not_up(placed: PlacedWrap, after: LaidWrap, opening: Opening) -> Region:
    """What no wrap is up on, as no piece of the first job covers it."""
    covered = union(piece.covers for piece in placed.detail if piece.id in opening.up)
    return difference(after.frame.region(after.task.surface.parts), covered)
