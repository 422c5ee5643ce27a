"""Cap fasteners of wrap: rows on members, rows along laps, and round openings (13.6)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from math import atan2, degrees, hypot

from service.fastening.caps import along, around, on_line
from service.fastening.reach import Need, Reach, Way, reach_of
from service.geometry.frame import Frame, frame_of
from service.geometry.offsets import moved_in
from service.geometry.openings import edge_of
from service.geometry.plane import difference, intersection, without_slivers
from service.geometry.rings import Region, bounds, reaches
from service.layout.bearings import bearings_of
from service.layout.widths import SideLap
from service.products.fastener_rows import Counted, through_the_face
from service.products.fasteners import NamedFastener, holding_length, named_fastener
from service.products.kinds.wrap.records import LaidWrap, PlacedWrap, Wrap
from service.products.kinds.wrap.rulings import Task
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.standing import Reopened
from service.units.ticks import INCH, whole


def fasten(placed: PlacedWrap, said: Remarks) -> tuple[FastenerRow, ...]:
    """The caps of one layer, by where they are."""
    return _rows(placed.laid.task, _counted(placed.laid), said)


def fasten_again(
    placed: PlacedWrap, after: PlacedWrap, opened: Reopened, said: Remarks
) -> tuple[FastenerRow, ...]:
    """The caps of wrap that is loosened over new work behind, and stays."""
    layer, wrap = after.laid, after.laid.detail
    whole_wrap = difference(wrap.outline, wrap.open)
    loose = without_slivers(intersection(whole_wrap, wrap.frame.region(opened.over)), INCH // 2)
    if not loose:
        return ()
    count, text = _on_members(layer, loose, layer.task.rules.cap_spacing, edges=False)
    pitch = layer.task.rules.cap_spacing
    return _rows(layer.task, [Counted("loosened", count, text, pitch)], said)


def _rows(task: Task, counts: Iterable[Counted], said: Remarks) -> tuple[FastenerRow, ...]:
    named = named_fastener(task, said)
    return through_the_face(task, "caps", named, _reach(task, named, said), counts)


def _counted(layer: LaidWrap) -> Iterator[Counted]:
    """Where caps stand, how many, how they were counted, and how far apart they are."""
    task, wrap = layer.task, layer.detail
    rules, surface = task.rules, task.surface
    pitch, seam = rules.cap_spacing, rules.cap_seam
    edges = rules.cap_edges
    if task.standing is not None:
        each = sum(-(-side // pitch) for side in _sides(surface.parts))
        yield Counted("edge", each, "a cap at each corner of a patch and along its edges", pitch)
        return
    count, text = _on_members(layer, difference(wrap.outline, wrap.open), pitch, edges)
    yield Counted("line", count, text, pitch)
    laps = (along(one.high - one.low, seam, rules.end_distance) for one in wrap.seams)
    yield Counted("seam", sum(laps), "points along laps, one row for both runs", seam)
    holes = (around(edge_of(one, surface.parts), seam) for one in surface.openings)
    yield Counted("opening", sum(holes), "points round openings", seam)
    if edges:
        edge = rules.cap_edge
        yield Counted("edge", around(surface.perimeter, edge), "points along the edges", edge)


def _sides(parts: Region) -> Iterator[int]:
    """How long each side of patches is, ticks."""
    for ring in (ring for part in parts for ring in part.rings):
        for (a, b), (c, d) in zip(ring, ring[1:] + ring[:1], strict=True):
            yield whole(hypot(c - a, d - b))


def _on_members(layer: LaidWrap, region: Region, pitch: int, edges: bool) -> tuple[int, str]:
    """Caps along members; along a grid's own rows where no member stands behind."""
    wrap: Wrap = layer.detail
    end = layer.task.rules.end_distance
    frame, stations, text = _lines(layer, region)
    turn = _angle(frame, wrap.frame)
    own = frame.region(_back(wrap.frame, region))
    inner = frame.region(moved_in(layer.task.surface.parts, pitch // 2)) if edges else None
    total = 0
    for at in stations:
        for polygon in own:
            for low, high in reaches(polygon, at, 1):
                spans = _beside_laps(wrap, frame, at, (low, high), pitch, turn)
                if inner is not None:
                    spans += _beside_edges(inner, at, low, high)
                total += on_line(high - low, pitch, end, spans)
    return total, f"points {text}, less those beside other rows"


def _lines(layer: LaidWrap, region: Region) -> tuple[Frame, list[int], str]:
    """A frame along the members and their stations across it; without any, rows of a grid."""
    task, wrap = layer.task, layer.detail
    members = task.ground.bearings
    if members:
        one = members[0]
        way = Fraction(round(degrees(atan2(one.a, -one.b)) * 10**6), 10**6)
        frame = frame_of(task.surface.outline, way)
        across = Frame(frame.across, frame.along, frame.base, frame.origin[::-1])
        _, _, low, high = bounds(frame.region(_back(wrap.frame, region)))
        stations = [b.base for b in bearings_of(members, across) if low < b.base < high]
        if stations:
            return frame, stations, "along members"
    step = task.rules.cap_rows
    frame = frame_of(task.surface.outline, layer.direction + 90)
    _, _, low, high = bounds(frame.region(_back(wrap.frame, region)))
    count = max(1, -(-(high - low) // step) - 1)
    stations = [low + (k + 1) * (high - low) // (count + 1) for k in range(count)]
    return frame, stations, "of a grid"


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


def _beside_laps(
    wrap: Wrap, frame: Frame, at: int, side: tuple[int, int], pitch: int, turn: float
) -> list[tuple[int, int]]:
    """Spans of a line, from its low end, within half a pitch of rows along laps."""
    start, stop = (wrap.frame.to(frame.back((u, at))) for u in side)
    length, apart = side[1] - side[0], stop[1] - start[1]
    found = []
    for seam in wrap.seams:
        if turn < 1e-6 or not apart:
            if abs(seam.at - start[1]) < pitch / 2:
                found.append(_alongside(seam, start[0], stop[0]))
            continue
        share = (seam.at - start[1]) / apart
        if seam.low <= start[0] + share * (stop[0] - start[0]) <= seam.high:
            place, reach = whole(share * length), whole(pitch / 2 / turn)
            found.append((place - reach, place + reach))
    return found


def _alongside(seam: SideLap, start: int, stop: int) -> tuple[int, int]:
    """The span of a line from `start` to `stop` that has a lap beside it, its ends included."""
    sign = 1 if stop > start else -1
    low, high = sorted((sign * (seam.low - start), sign * (seam.high - start)))
    return low - 1, high + 1


def _beside_edges(inner: Region, at: int, low: int, high: int) -> list[tuple[int, int]]:
    """Spans of a line, from its low end, that lie outside `inner`: beside the edges' own row."""
    kept = sorted(
        (max(a, low), min(b, high))
        for polygon in inner
        for a, b in reaches(polygon, at, 1)
        if a < high and b > low
    )
    sides = [-1, *(side - low for reach in kept for side in reach), high - low + 1]
    return list(zip(sides[::2], sides[1::2], strict=True))


def _reach(task: Task, named: NamedFastener | None, said: Remarks) -> Reach | None:
    """The shortest shank that holds in the panel behind, or in the framing through shim (13.6)."""
    if named is None:
        return None
    ground = task.ground
    way = Way(task.product.thickness or 0, ground.plies, carrier="wood", depth=ground.depth)
    # Where a panel carries the caps they are as long as if it were thick: no member is looked for.
    asked = way if ground.backing is None else replace(way, behind=ground.plies[:-1])
    need = Need(task.rules.cap_bite)
    return reach_of(holding_length(task, named, [asked], need, said), way)
