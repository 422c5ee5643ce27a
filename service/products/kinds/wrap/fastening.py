"""Cap fasteners of wrap: rows on members, rows along laps, and round openings (13.6)."""

from __future__ import annotations

from fractions import Fraction
from math import atan2, degrees
from typing import TYPE_CHECKING, Any

from service.fastening.caps import along, around, on_line
from service.fastening.reach import Reach, face_reach
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import difference
from service.geometry.rings import Region, bounds, reaches
from service.geometry.rings import around as perimeter
from service.layout.bearings import bearings_of
from service.products.fasteners import holding_length, named_fastener
from service.products.kind import LaidLayer, Said, Supplied, Task
from service.products.rows import FastenerRow
from service.units.ticks import whole

if TYPE_CHECKING:
    from service.products.kinds.wrap.laying import Wrap


def fasten(supplied: Supplied, index: int, said: Said) -> tuple[FastenerRow, ...]:
    """The caps of one layer, by where they are."""
    layer = supplied.layers[index]
    task, wrap = layer.task, layer.detail
    rules = task.rules
    pitch, seam, end = rules.get("cap_spacing"), rules.get("cap_seam"), rules.get("end_distance")
    lines, counted = _on_members(layer, pitch, seam, end)
    counts = {
        "line": (lines, pitch, counted),
        "seam": (
            sum(along(one.high - one.low, seam, end) for one in wrap.seams),
            seam,
            "points along laps, one row for both widths",
        ),
        "opening": (
            sum(around(perimeter(one.drawn[0].outer), seam) for one in task.surface.openings),
            seam,
            "points round openings",
        ),
    }
    named = named_fastener(task, said)
    reach = _reach(task, named, said)
    return tuple(
        FastenerRow(
            task.surface.id, task.layer_id, None if named is None else named[0].id, where,
            "caps", "face", spacing, count, text, reach,
        )
        for where, (count, spacing, text) in counts.items()
        if count
    )  # fmt: skip


def _on_members(layer: LaidLayer, pitch: int, seam: int, end: int) -> tuple[int, str]:
    """Caps along members; along a grid's own rows where no member stands behind."""
    wrap: Wrap = layer.detail
    region = difference(wrap.outline, wrap.open)
    frame, stations, text = _lines(layer, region)
    turn = _angle(frame, wrap.frame)
    own = frame.region(_back(wrap.frame, region))
    total = 0
    for at in stations:
        for polygon in own:
            for low, high in reaches(polygon, at, 1):
                rows = _rows(wrap, frame, at, (low, high), seam, turn)
                total += on_line(high - low, pitch, end, rows)
    return total, text


def _lines(layer: LaidLayer, region: Region) -> tuple[Frame, list[int], str]:
    """A frame along the members and their stations across it; without any, rows of a grid."""
    task, wrap = layer.task, layer.detail
    members = task.surface.members
    if members:
        one = members[0]
        way = Fraction(round(degrees(atan2(one.a, -one.b)) * 10**6), 10**6)
        frame = frame_of(task.surface.outline, way)
        across = Frame(frame.across, frame.along, frame.base, frame.origin[::-1])
        _, _, low, high = bounds(frame.region(_back(wrap.frame, region)))
        stations = [b.base for b in bearings_of(members, across) if low < b.base < high]
        if stations:
            return frame, stations, "points along members, less those beside a lap's row"
    step = task.rules.get("cap_rows")
    frame = frame_of(task.surface.outline, layer.direction + 90)
    _, _, low, high = bounds(frame.region(_back(wrap.frame, region)))
    count = max(1, -(-(high - low) // step) - 1)
    stations = [low + (k + 1) * (high - low) // (count + 1) for k in range(count)]
    return frame, stations, "points of a grid, less those beside a lap's row"


def _back(frame: Frame, region: Region) -> Region:
    """A region of stations in the surface's own coordinates."""
    return tuple(
        type(polygon)(
            frame.ring_back(polygon.outer), tuple(frame.ring_back(hole) for hole in polygon.holes)
        )
        for polygon in region
    )


def _angle(lines: Frame, wrap: Frame) -> float:
    """How steeply members cross the laps: the sine of the angle between them."""
    x, y = lines.along
    return abs(x * wrap.across[0] + y * wrap.across[1])


def _rows(
    wrap: Wrap, frame: Frame, at: int, side: tuple[int, int], pitch: int, turn: float
) -> list[tuple[int, int]]:
    """Where rows along laps cross a line, from its low end, and how far they serve it."""
    low, high = side
    ends = [wrap.frame.to(frame.back((u, at))) for u in (low, high)]
    found = []
    for seam in wrap.seams:
        apart = ends[1][1] - ends[0][1]
        if turn < 1e-6:
            if abs(seam.at - ends[0][1]) < pitch // 2 and _meet(seam.low, seam.high, ends):
                found.append(((high - low) // 2, high - low))
            continue
        share = (seam.at - ends[0][1]) / apart
        place = whole(share * (high - low))
        u = ends[0][0] + share * (ends[1][0] - ends[0][0])
        if seam.low <= u <= seam.high:
            found.append((place, whole(pitch / 2 / turn)))
    return found


def _meet(low: int, high: int, ends: list[tuple[int, int]]) -> bool:
    us = sorted(u for u, _ in ends)
    return low < us[1] and us[0] < high


def _reach(task: Task, named: tuple[Any, str] | None, said: Said) -> Reach | None:
    """The shortest shank that holds in the panel behind, or in the framing through shim (13.6)."""
    if named is None:
        return None
    thickness = task.product.thickness or 0
    behind = task.between + (task.surface.shim if task.backing is None else 0)
    needed = task.rules.get("cap_hold")
    length = holding_length(task, named, (thickness, behind), None, needed, said)
    return face_reach(length, thickness, behind)
