"""The marks of a layer of trim on its surface's page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot

from service.geometry.rings import Point, Ring, bounds
from service.geometry.walls import Wall
from service.products.drawing import (
    Callout,
    DrawnLayer,
    DrawnPiece,
    Joint,
    Mark,
    lie_of_course,
    station_text,
)
from service.products.kinds.trim.records import PlacedTrim, Trim, TrimLength
from service.products.kinds.trim.section import angle_of_joints
from service.products.kinds.trim.set_in import beyond
from service.products.trim_rows import TrimRow
from service.schemas.venting import vent_area
from service.units.ticks import SIXTY_FOURTH, whole
from service.units.writing import counted

_LEVEL, _UPRIGHT = 6, 2
"""A size is written beside its strip, within one part in so many of the surface's shorter side."""


def draw(placed: PlacedTrim, unit: str) -> DrawnLayer:
    """Pieces as they show, each with its name and what it is cut to beside it, and the scarfs."""
    layer = placed.laid
    trim: Trim = layer.detail
    low, high, near, far = bounds(layer.task.surface.parts)
    short = min(high - low, far - near)
    lines = [line for one in trim.lengths for line in pairwise(one.wall.points)]
    marks: list[Mark] = []
    for one, own in zip(trim.lengths, placed.detail, strict=True):
        strips = one.strips(trim.wide, own.joints)
        ends = [0, *own.joints, one.line.length]
        for k, (strip, cut) in enumerate(zip(strips, own.cuts, strict=True)):
            marks.append(DrawnPiece((strip.ring,), ""))
            wall = one.wall.part(ends[k], ends[k + 1])
            rows = f"{one.number}.1.{k + 1}", station_text(cut, unit)
            marks.append(_size(wall, trim.wide, _room(wall, lines, trim.wide, short), rows))
        marks += _scarfs(trim, one, own.joints, unit)
    set_in = any(row.from_edge or row.across_at is not None for row in placed.trim_lengths)
    notes = _notes(placed, unit)
    return DrawnLayer(layer.task.layer_id, "trim", tuple(marks), notes, set_in=set_in)


def _room(wall: Wall, lines: Sequence[tuple[Point, Point]], wide: int, short: int) -> int:
    """How far from a wall its size may stand: not beyond the middle of what lies before it."""
    start, end = wall.points[0], wall.points[-1]
    level = lie_of_course(start, end) == "level"
    middle = (start[0] + end[0]) // 2, (start[1] + end[1]) // 2
    before = (_before(start, end, middle, line) for line in lines)
    reach = wide + short // (_LEVEL if level else _UPRIGHT)
    faced = min((at for at in before if at is not None), default=2 * reach)
    return min(faced // 2, reach)


def _before(start: Point, end: Point, middle: Point, line: tuple[Point, Point]) -> int | None:
    """How far before the middle of a wall another line lies; None where it does not."""
    (x, y), (ax, ay), (bx, by) = middle, *line
    size = hypot(end[0] - start[0], end[1] - start[1])
    along = (end[0] - start[0]) / size, (end[1] - start[1]) / size
    low, high = ((px - x) * along[0] + (py - y) * along[1] for px, py in line)
    if min(low, high) > 0 or max(low, high) < 0 or low == high:
        return None
    share = low / (low - high)
    right, up = ax + (bx - ax) * share - x, ay + (by - ay) * share - y
    off = along[0] * up - along[1] * right
    return whole(off) if off > SIXTY_FOURTH else None


def _size(wall: Wall, wide: int, reach: int, rows: tuple[str, str]) -> Callout:
    """Name and size of a piece, to be written beside its strip on the surface."""
    start, end = wall.points[0], wall.points[-1]
    inner = [_inside(start, end, at, by) for by in (wide, max(wide, reach)) for at in (start, end)]
    ring: Ring = (inner[0], inner[1], inner[3], inner[2])
    middle = ((inner[0][0] + inner[1][0]) // 2, (inner[0][1] + inner[1][1]) // 2)
    text = ": ".join(rows)
    return Callout(middle, ring, text, text, rows)


def _inside(start: Point, end: Point, at: Point, by: int) -> Point:
    """A point moved square to a wall into the surface."""
    (ax, ay), (bx, by_end) = start, end
    size = hypot(bx - ax, by_end - ay)
    return at[0] - whole((by_end - ay) * by / size), at[1] + whole((bx - ax) * by / size)


def _scarfs(trim: Trim, one: TrimLength, joints: Sequence[int], unit: str) -> Iterator[Joint]:
    """Each scarf across its strip, with its station in the drawing."""
    for at in joints:
        wall = one.wall.part(at, one.line.length)
        start = wall.points[0]
        end = _inside(start, wall.points[1], start, trim.wide)
        along, across = trim.frame.to(start)
        level = lie_of_course(start, wall.points[1]) == "level"
        yield Joint(start, end, station_text(along if level else across, unit))


def _across(placed: PlacedTrim, rows: Sequence[TrimRow], unit: str) -> str:
    """Where strips right across lie; of those that run aslant where each begins and ends.

    All strips of a layer run one way.
    """
    low, _, near, _ = bounds(placed.laid.task.surface.parts)
    straight = all(min(abs(a - b) for a, b in zip(row.start, row.end, strict=True)) <= SIXTY_FOURTH
                   for row in rows)  # fmt: skip
    if straight:
        marks = (station_text(row.across_at or 0, unit) for row in rows)
        upright = abs(rows[0].start[0] - rows[0].end[0]) <= SIXTY_FOURTH
        return f"{', '.join(marks)} {'in from the left' if upright else 'up from the bottom'}"
    ends = (
        " to ".join(
            f"{station_text(x - low, unit)} in and {station_text(y - near, unit)} up"
            for x, y in sorted((row.start, row.end))
        )
        for row in rows
    )
    return f"from {', and from '.join(ends)}"


def _notes(placed: PlacedTrim, unit: str) -> tuple[str, ...]:
    (total,) = placed.trim_totals
    corners = [
        counted(count, name)
        for count, name in (
            (total.inside_corners, "inside corners"),
            (total.outside_corners, "outside corners"),
            (total.segment_joints, "segment joints"),
            (total.scarfs, "scarfs" if angle_of_joints(placed.laid.task) else "joints"),
        )
        if count
    ]
    task = placed.laid.task
    back = f"{task.product.id}: {station_text(total.length, unit)} along its back edge"
    across = [row for row in placed.trim_lengths if row.across_at is not None]
    if across:
        back += f", which lies {_across(placed, across, unit)}"
    if task.layer.from_edge:
        back += f", which lies {station_text(task.layer.from_edge, unit)} from the edge"
    over = {beyond(task, edge) for one in placed.laid.detail.lengths for edge in one.wall.edges}
    if over - {0}:
        back += (
            f", {' and '.join(station_text(by, unit) for by in sorted(over - {0}))} past the rim"
        )
    return (
        back,
        *((f"net free vent area: {vent_area(total.free_area, unit)}",) if total.free_area else ()),
        *((", ".join(corners),) if corners else ()),
    )
