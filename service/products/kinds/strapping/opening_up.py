"""Straps that are up where a change lays them otherwise: what stays of them (21.4)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from service.geometry.plane import difference, intersection, union, without_slivers
from service.geometry.rings import Polygon, Region, bounds, rectangle
from service.layout.cut_back import parts_that_stay
from service.layout.pieces_up import Opened, Seats, Up, joints_between
from service.layout.runs import NOTHING, SNAPPED
from service.products.kinds.strapping.records import LaidStraps, PlacedStraps, Strap
from service.products.standing import OpenedUp, Opening, Standing, Stay

Lane = tuple[int, int]
"""Where a strap lies across: its near and its far edge."""


def open_up(placed: PlacedStraps, after: LaidStraps, opening: Opening) -> OpenedUp:
    """What stays of straps that are up, once they are cut back as far as a change asks.

    A strap that only loses wood is cut in place. One that is to go on where it ended is cut back to
    a member, on which the new piece meets it, apart from the splices of the lines beside it.
    """
    lanes = _lanes(after) if placed.laid.frame == after.frame else {}
    own = [
        (one, *lanes[lane])
        for one in placed.laid.detail.straps
        if one.id in opening.up and (lane := _lane(one)) in lanes
    ]
    ups = [Up(one.id, line, one.low, one.high) for one, line, _ in own]
    wanted = {one.id: intersection((one.shape,), shape) for one, _, shape in own}
    opened = _unseated(own, wanted, after)
    parts = parts_that_stay(ups, opened, joints_between(ups, SNAPPED), _seats(after))
    left = [
        (one, line, part)
        for one, line, _ in own
        for part in _shapes(one, wanted[one.id], parts.get(one.id))
    ]
    held = [
        (one, part)
        for one, line, part in left
        if part.box == one.shape.box or _is_held(part, line, after)
    ]
    area = union((part,) for _, part in held)
    rest = difference(union(shape for _, shape in lanes.values()), area)
    return OpenedUp(
        Standing(after.frame.region_back(area), pairs=after.detail.pairs),
        tuple(Stay(one.id, (part,)) for one, part in held),
        complete=not without_slivers(rest, NOTHING) and bool(lanes),
    )


def _lane(one: Strap) -> Lane:
    return one.shape.box[2:]


def _lanes(after: LaidStraps) -> Mapping[Lane, tuple[int, Region]]:
    """The number of the line in each lane, and all that straps are to cover of it."""
    shapes: dict[Lane, tuple[int, list[Region]]] = {}
    for one in after.detail.straps:
        shapes.setdefault(_lane(one), (one.line, []))[1].append((one.shape,))
    return {lane: (line, union(own)) for lane, (line, own) in shapes.items()}


def _unseated(
    own: Sequence[tuple[Strap, int, Region]], wanted: Mapping[str, Region], after: LaidStraps
) -> dict[str, Opened]:
    """Straps that end where they are to go on now, and not on a member."""
    there = union(wanted.values())
    found = {}
    for one, line, shape in own:
        rest = without_slivers(difference(shape, there), NOTHING)
        sides = [at for part in rest for at in part.box[:2]]
        stations = after.detail.bearings[line - 1].stations
        ends = [
            at
            for part in wanted[one.id]
            for at in part.box[:2]
            if at not in stations and any(abs(at - side) <= SNAPPED for side in sides)
        ]
        if ends:
            found[one.id] = Opened(min(ends), max(ends), 0)
    return found


def _seats(after: LaidStraps) -> Seats:
    """On members, what stays bearing on two; lines beside each other not on the same one (14.3)."""
    lines = after.detail.bearings
    bays = [b - a for line in lines for a, b in pairwise(line.stations)]
    return Seats(lambda line: lines[line - 1].stations, max(bays, default=0), 1, 0)


def _shapes(
    one: Strap, wanted: Region, parts: Sequence[tuple[int, int]] | None
) -> Iterator[Polygon]:
    """What stays of a strap: all of it that is wanted, or that within the parts it is cut to."""
    *_, near, far = bounds((one.shape,))
    if parts is not None:
        boxes = [(Polygon(rectangle(low, near, high, far)),) for low, high in parts]
        wanted = intersection(wanted, union(boxes))
    yield from without_slivers(wanted, NOTHING)


def _is_held(part: Polygon, line: int, after: LaidStraps) -> bool:
    """Whether a member carries what is left of a strap."""
    low, high = part.box[:2]
    return bool(after.detail.bearings[line - 1].touched(low, high, after.task.rules.min_touch))
