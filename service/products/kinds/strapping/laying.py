"""Straps on a surface: where their lines lie, and how each is parted into pieces (14)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import atan2, degrees

from service.geometry.edges import Margins
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import (
    clip_to_boxes,
    difference,
    intersection,
    union,
    without_slivers,
)
from service.geometry.rings import Polygon, Region, bounds, rectangle
from service.geometry.strips import cut_across
from service.geometry.surface import Member
from service.geometry.wall_corners import beside_corners
from service.layout.bearings import BearingLine, bearings_of, line_of
from service.layout.runs import NOTHING
from service.layout.strap_lines import StrapLine, beside_edges, splices, strap_places, with_added
from service.products.ground import Offered
from service.products.kinds.strapping.findings import (
    nothing_left,
    refuse_along_members,
    refuse_too_near,
    refuse_without_members,
    say_what_was_laid,
    too_short,
)
from service.products.kinds.strapping.records import LaidStraps, Strap, Strapping
from service.products.kinds.strapping.rulings import Task
from service.products.laid_rows import CourseRow
from service.products.layer import Areas, LaidLayer
from service.products.remarks import Remarks


def lay(task: Task, said: Remarks) -> LaidStraps:
    """Lay the straps of one layer.

    Raises TradeRefused where they run with the members, or no stick reaches from one to the next.
    """
    refuse_without_members(task)
    direction = direction_of(task)
    frame = frame_of(task.surface.outline, direction)
    found = bearings_of(task.ground.bearings, frame)
    refuse_along_members(task, found)
    refuse_too_near(task, width_of(task))
    lines, straps = _laid(task, frame, _lines(task, frame, direction))
    if not lines:
        raise nothing_left(task)
    bearings = tuple(line_of(found, line.at) for line in lines)
    strapping = Strapping(frame, lines, bearings, straps)
    say_what_was_laid(task, strapping, said)
    covered = sum(one.shape.twice_area for one in straps)
    return LaidLayer(
        task=task,
        direction=direction,
        frame=frame,
        areas=Areas(covered, covered),
        openings=(),
        courses=tuple(_course(task, k, line) for k, line in enumerate(lines, 1)),
        alternatives=(),
        detail=strapping,
        offered=Offered(
            task.product.thickness,
            bearings=tuple(_bearing(frame, line, width_of(task)) for line in lines),
        ),
    )


def width_of(task: Task) -> int:
    """How wide a line is: one strap, or two side by side (14.2)."""
    return task.product.width * (2 if task.rules.doubled else 1)


def direction_of(task: Task) -> Fraction:
    """The straps' direction facing the finished side: as sent, or across the members (14.1)."""
    sent = task.layer.direction
    if sent is not None:
        asked = Fraction(sent) % 180
        task.rules.note_direction(asked)
        return task.surface.facing(asked)
    member = task.ground.bearings[0]
    across = Fraction(round(degrees(atan2(member.b, member.a)) * 10**6), 10**6) % 180
    task.rules.note_direction(across)
    return across


def _lines(task: Task, frame: Frame, direction: Fraction) -> tuple[StrapLine, ...]:
    """Lines over the whole surface, and further ones beside walls and openings without (14.2)."""
    rules, wide = task.rules, width_of(task)
    parts = parts_of(task)
    low, high, near, far = bounds(frame.region(parts))
    edge = max(rules.strap_edge, -(-wide // 2))
    if task.layer.first is None:
        places = strap_places(far - near, rules.strap_spacing, edge, equal=rules.equal)
    else:
        rules.note_first(task.layer.first)
        half, most = wide // 2, far - near - wide // 2
        sent = _as_sent(task, frame, near, far)
        places = sorted({min(max(at, half), most) for at in sent}) or [(far - near) // 2]
    if task.surface.turned_round(direction):
        places = [far - near - at for at in places]
    whole = [StrapLine(near + at, low, high) for at in places]
    cut = union(one.cut for one in task.surface.openings)
    wanted = beside_edges(frame.region(cut), -edge, wide)
    if task.layer.first is None:
        wanted += beside_edges(frame.region(parts), edge, wide)
    reaching = [
        (_to_members(frame, task, line), away) for line, away in wanted if near < line.at < far
    ]
    return tuple(sorted(with_added(whole, reaching, wide)))


def parts_of(task: Task) -> Region:
    """What straps lie on: in a corner of walls up to the straps of the other, or over its end.

    So both walls have a strap there, and what is laid on either bears (3.16).
    """
    surface = task.surface
    thick = task.ground.thick + task.product.thickness
    corners = beside_corners(surface.edges, thick)
    for edge, off in corners:
        task.rules.note_corner(edge.number, off)
    return Margins(0, corners).inset(surface.parts) if corners else surface.parts


def _as_sent(task: Task, frame: Frame, near: int, far: int) -> range:
    """Places of lines from the outline's lowest point on, over what they lie on (14.1)."""
    assert task.layer.first is not None
    _, _, lowest, _ = bounds(frame.region(task.surface.parts))
    step = task.rules.strap_spacing
    first = task.layer.first + lowest - near
    return range(first % step if first < 0 else first, far - near, step)


def _to_members(frame: Frame, task: Task, line: StrapLine) -> StrapLine:
    """A line that goes on to the members on both sides, where it can be fastened (14.2)."""
    stations = line_of(bearings_of(task.ground.bearings, frame), line.at).stations
    low = max((at for at in stations if at <= line.low), default=line.low)
    high = min((at for at in stations if at >= line.high), default=line.high)
    return StrapLine(line.at, low, high)


def _laid(
    task: Task, frame: Frame, wanted: Sequence[StrapLine]
) -> tuple[tuple[StrapLine, ...], tuple[Strap, ...]]:
    """The lines of which something lies on the surface, and all their pieces.

    Splices of lines that follow each other lie on different members (14.3).
    """
    region = frame.region(parts_of(task))
    cut = frame.region(union(one.cut for one in task.surface.openings))
    members = bearings_of(task.ground.bearings, frame)
    up = () if task.standing is None else frame.region(task.standing.area)
    lines: list[StrapLine] = []
    straps: list[Strap] = []
    taken: frozenset[int] = frozenset()
    for line in wanted:
        strips = list(_runs(task, region, cut, line))
        if not strips:
            continue
        lines.append(line)
        met = line_of(members, line.at)
        own: set[int] = set()
        for run, strip in enumerate(_not_up(strips, up), 1):
            cuts = _spliced(task, strip, met, taken | own)
            own |= set(cuts)
            straps += _pieces(task, len(lines), run, strip, cuts, met)
        taken = frozenset(own)
    return tuple(lines), tuple(straps)


def _runs(task: Task, region: Region, cut: Region, line: StrapLine) -> Iterator[Polygon]:
    """The parts of a line between walls and openings: none beside an opening, one of each strap."""
    wide, half = task.product.width, width_of(task) // 2
    for near in range(line.at - half, line.at - half + width_of(task) - 1, wide):
        box = line.low, line.high, near, near + wide
        (strips,) = clip_to_boxes(region, [box])
        holes = (one.box[:2] for one in intersection((Polygon(rectangle(*_corners(box))),), cut))
        shut = tuple(Polygon(rectangle(a, near, b, near + wide)) for a, b in holes)
        for strip in difference(strips, shut):
            low, high = strip.box[:2]
            if high - low >= wide:
                yield strip


def _not_up(strips: Sequence[Polygon], up: Region) -> Sequence[Polygon]:
    """What of the strips is still to be laid, from low to high."""
    return without_slivers(difference(tuple(strips), up), NOTHING) if up else strips


def _corners(box: tuple[int, int, int, int]) -> tuple[int, int, int, int]:
    low, high, near, far = box
    return low, near, high, far


def _spliced(
    task: Task, strip: Polygon, met: BearingLine, taken: frozenset[int]
) -> tuple[int, ...]:
    low, high = strip.box[:2]
    free = [one for one in task.product.stock if one.on_hand is None] or task.product.stock
    longest = max(one.length for one in free) - 2 * task.rules.end_trim
    found = splices(low, high, met.stations, longest, taken)
    if found is None:
        raise too_short(task, low, high, longest)
    return found


def _pieces(
    task: Task, number: int, run: int, strip: Polygon, cuts: Sequence[int], met: BearingLine
) -> Iterator[Strap]:
    places = {at: k for k, at in enumerate(met.stations)}
    for k, parts in enumerate(cut_across(strip, cuts), 1):
        (shape,) = parts
        low, high = shape.box[:2]
        yield Strap(
            id=f"{task.at}.{number}.{run}.{k}",
            line=number,
            run=run,
            shape=shape,
            crossed=met.touched(low, high, task.rules.min_touch),
            spliced=frozenset(places[at] for at in (low, high) if at in cuts),
        )


def _course(task: Task, number: int, line: StrapLine) -> CourseRow:
    wide = width_of(task)
    near = line.at - wide // 2
    return CourseRow(
        surface=task.surface.id,
        layer=task.layer_id,
        course=number,
        near=near,
        far=near + wide,
        width=wide,
        rip="none",
        tongue="none",
        note="two side by side" if task.rules.doubled else "",
    )


def _bearing(frame: Frame, line: StrapLine, wide: int) -> Member:
    """A line of straps as the bearing of what is laid on it."""
    (a, b), (x, y) = frame.across, frame.back((0, line.at))
    ends = (frame.back((u, line.at)) for u in (line.low, line.high))
    low, high = sorted(round(a * v - b * u) for u, v in ends)
    return Member(a, b, round(a * x + b * y), wide, (low, high))
