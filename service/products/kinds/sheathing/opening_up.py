"""Sheets that are up where a change lays them otherwise: what stays of them (21.4)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from service.geometry.offsets import grown
from service.geometry.plane import clip_to_boxes, difference, intersection, union, without_slivers
from service.geometry.rings import Polygon, Region, bounds, rectangle
from service.layout.cut_back import parts_that_stay
from service.layout.pieces_up import Opened, Seats, Up
from service.layout.runs import NOTHING
from service.products.kinds.sheathing.patching import (
    Patch,
    edges_on_blocks,
    is_on_blocks,
    kept_clear,
    opened_at,
    patch_of,
    stays_round,
)
from service.products.kinds.sheathing.records import LaidSheets, PlacedSheets, SheetPiece
from service.products.kinds.sheathing.strips import strips_of
from service.products.laths import that_stay
from service.products.standing import OpenedUp, Opening, Standing, Stay, is_reached
from service.units.ticks import INCH, down
from service.units.ticks import up as up_to


def open_up(placed: PlacedSheets, after: LaidSheets, opening: Opening) -> OpenedUp:
    """What stays of sheets that are up, once they are cut back as far as a change asks.

    A patch is as wide as its row, or as it takes with blocks behind its edges, and goes from
    bearing to bearing, clear of the corners of what is opened. A sheet that only loses wood, and is
    in no way of framing, is cut in place.
    """
    pieces = [one for one in placed.laid.detail.pieces if one.id in opening.up]
    rows = {one.id: _in_row(one, placed, after) for one in pieces}
    ups = [Up(one.id, row, one.low, one.high) for one in pieces if (row := rows[one.id])]
    shapes = {one.id: one.shape for one in pieces}
    lost = {up.name: _lost(up, shapes[up.name], after) for up in ups}
    changed = {
        name: union([gone, come])
        for name, (gone, come) in lost.items()
        if come or (gone and is_reached(gone, opening.framing, after.frame))
    }
    opened = {name: opened_at(one, after) for name, one in changed.items()}
    parts = parts_that_stay(ups, opened, {}, _seats(ups, opened, after))
    patches = {up.name: patch_of(up, changed[up.name], parts[up.name], after)
               for up in ups if up.name in parts}  # fmt: skip
    left = [
        (up, shape)
        for up in ups
        for shape in _shapes(shapes[up.name], lost[up.name][0], patches.get(up.name), after)
        if shape
    ]
    gap = after.detail.gap
    clear = [kept_clear(patch, shapes[name], gap) for name, patch in patches.items()]
    taken = union([*(_with_gaps(shape, after) for _, shape in left), *clear])
    complete = not _large(difference(_covered(after), taken))
    now = {one.task.product.id: one for one in strips_of(after)}
    strips = (
        stay
        for one in strips_of(placed.laid)
        for stay in that_stay(one, now.get(one.task.product.id), opening.up, taken)
    )
    sheets = (Stay(up.name, shape) for up, shape in left)
    edges = [line for up in ups if up.name in patches and is_on_blocks(after)
             for line in edges_on_blocks(patches[up.name], up, after)]  # fmt: skip
    area = after.frame.region_back(taken)
    standing = Standing(area, edges=tuple(edges), rims=frozenset(_rims(placed, after, area)))
    return OpenedUp(standing, (*sheets, *strips), complete)


def _rims(placed: PlacedSheets, after: LaidSheets, up_there: Region) -> Iterator[str]:
    """Openings that are new, moved or of another size, and those that a new sheet goes round."""
    was = {one.id: one.cut for one in placed.laid.task.surface.openings}
    surface = after.task.surface
    for one in surface.openings:
        wider = union(grown(part.outer, INCH) for part in one.cut)
        beside = intersection(wider, surface.parts)
        beside = without_slivers(difference(beside, union([one.cut, up_there])), INCH // 2)
        if was.get(one.id) != one.cut or beside:
            yield one.id


def _in_row(piece: SheetPiece, placed: PlacedSheets, after: LaidSheets) -> int | None:
    """The row that a sheet lies in after the change; None where its seams lie otherwise."""
    if placed.laid.frame != after.frame:
        return None
    was = placed.laid.detail.row(piece)
    same = (row for row in after.detail.laid.courses if (row.low, row.high) == (was.low, was.high))
    return next((row.number for row in same), None)


def _covered(after: LaidSheets) -> Region:
    """All that sheets are to cover, gaps between them included."""
    runs = union((run.polygon,) for run in after.detail.laid.runs)
    return difference(runs, after.detail.openings)


def _lost(up: Up, shape: Region, after: LaidSheets) -> tuple[Region, Region]:
    """What a sheet loses, and what comes in its place that was not there."""
    row = after.detail.laid.course(up.course)
    (wanted,) = clip_to_boxes(_covered(after), [(up.low, up.high, row.low, row.high)])
    return _large(difference(shape, wanted)), _large(difference(wanted, shape))


def _large(region: Region) -> Region:
    """What is more than snapping and gaps leave."""
    return without_slivers(region, 16 * NOTHING)


def _seats(ups: Sequence[Up], opened: Mapping[str, Opened], after: LaidSheets) -> Seats:
    """On members; where these run with the sheets on blocks beside what is opened, if asked for."""
    sheets, rules = after.detail, after.task.rules
    lines: dict[int, Sequence[int]] = {
        row.number: line.stations
        for row, line in zip(sheets.laid.courses, sheets.lines, strict=True)
    }
    if sheets.along_framing and is_on_blocks(after):
        for one in (one for one in ups if one.name in opened):
            at = opened[one.name]
            beside = (down(at.low - at.off, rules.cut_to), up_to(at.high + at.off, rules.cut_to))
            lines[one.course] = (*lines[one.course], *beside)
    return Seats(lambda row: lines[row], rules.panel_min_piece, 0, 0)


def _shapes(
    shape: Region, gone: Region, patch: Patch | None, after: LaidSheets
) -> Iterator[Region]:
    """What stays of a sheet: all but what is cut in place, or each part that a patch leaves."""
    if patch is None:
        yield difference(shape, gone) if gone else shape
        return
    left = stays_round(patch, shape, after.detail.gap)
    if patch.near is None and patch.far is None:
        yield from _before_and_behind(left, patch)
        return
    yield from ((part,) for part in left)


def _before_and_behind(left: Region, patch: Patch) -> Iterator[Region]:
    """What lies before a patch that is as wide as its row, then what lies behind it."""
    middle = patch.low if patch.low is not None else patch.high
    if middle is None:
        return
    yield tuple(part for part in left if part.box[1] <= middle)
    yield tuple(part for part in left if part.box[1] > middle)


def _with_gaps(shape: Region, after: LaidSheets) -> Region:
    """What a sheet that stays keeps from others: itself and a gap at either end."""
    low, high, near, far = bounds(shape)
    gap = after.detail.gap
    ends = [rectangle(low - gap, near, low, far), rectangle(high, near, high + gap, far)]
    return union([shape, *((Polygon(end),) for end in ends)])
