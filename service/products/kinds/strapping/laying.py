"""Straps on a surface: where their lines lie, and which of them are two side by side (14)."""

from __future__ import annotations

from collections.abc import Container, Sequence
from fractions import Fraction
from math import atan2, degrees

from service.geometry.edges import Margins
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import union
from service.geometry.rings import Region, bounds
from service.geometry.surface import Member
from service.geometry.wall_corners import BevelledCorner, beside_corners, bevelled_corners
from service.layout.bearings import bearings_of, line_of
from service.layout.strap_lines import StrapLine, beside_edges, strap_places, with_added
from service.products.ground import Offered
from service.products.kinds.strapping.findings import (
    nothing_left,
    refuse_along_members,
    refuse_too_near,
    refuse_without_members,
    say_narrow,
)
from service.products.kinds.strapping.pieces import in_pieces
from service.products.kinds.strapping.records import LaidStraps, Strapping
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
    say_narrow(task, width_of(task), said)
    lines = _lines(task, frame, direction)
    return _laid(task, direction, frame, lines, pairs_known(task, len(lines)))


def bear(layer: LaidStraps, landed: Container[int]) -> LaidStraps:
    """The straps, once it is known on which lines pieces of what follows meet (14.2).

    `landed` are the places of these lines in what the layer offers. Each becomes two straps side by
    side where that was asked for, and where no change says which of them are already.
    """
    task, lines = layer.task, layer.detail.lines
    if task.rules.doubled != "joints" or task.standing is not None:
        return layer
    pairs = frozenset(k for k in range(1, len(lines) + 1) if k - 1 in landed)
    return _laid(task, layer.direction, layer.frame, lines, pairs) if pairs else layer


def pairs_known(task: Task, lines: int) -> Container[int]:
    """Which of so many lines are two straps before any joint of what follows is known."""
    if task.rules.doubled == "joints":
        return frozenset() if task.standing is None else task.standing.pairs
    return range(1, lines + 1) if task.rules.doubled else ()


def _laid(
    task: Task,
    direction: Fraction,
    frame: Frame,
    wanted: Sequence[StrapLine],
    pairs: Container[int],
) -> LaidStraps:
    """The layer with its lines in pieces; raises TradeRefused where nothing lies on the surface."""
    lines, straps = in_pieces(task, frame, frame.region(parts_of(task)), wanted, pairs)
    if not lines:
        raise nothing_left(task)
    found = bearings_of(task.ground.bearings, frame)
    bearings = tuple(line_of(found, line.at) for line in lines)
    doubled = frozenset(k for k in range(1, len(lines) + 1) if k in pairs)
    covered = sum(one.shape.twice_area for one in straps)
    return LaidLayer(
        task=task,
        direction=direction,
        frame=frame,
        areas=Areas(covered, covered),
        openings=(),
        courses=tuple(_course(task, k, line, k in doubled) for k, line in enumerate(lines, 1)),
        alternatives=(),
        detail=Strapping(frame, lines, bearings, straps, doubled, _corners(task, frame)),
        offered=Offered(
            task.product.thickness, bearings=tuple(_bearing(task, frame, line) for line in lines)
        ),
    )


def width_of(task: Task) -> int:
    """How wide a line can be: one strap, or two side by side (14.2)."""
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
    corners = beside_corners(surface.edges, _thick(task))
    for edge, off in corners:
        task.rules.note_corner(edge.number, off)
    return Margins(0, corners).inset(surface.parts) if corners else surface.parts


def _corners(task: Task, frame: Frame) -> tuple[BevelledCorner, ...]:
    """The corners at which straps are bevelled: both walls are strapped alike (3.16)."""
    return bevelled_corners(task.surface.edges, frame, _thick(task), alike=True)


def _thick(task: Task) -> int:
    """How far the straps' face lies off the wall."""
    return task.ground.thick + task.product.thickness


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


def _course(task: Task, number: int, line: StrapLine, doubled: bool) -> CourseRow:
    wide = task.product.width * (2 if doubled else 1)
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
        note="two side by side" if doubled else "",
    )


def _bearing(task: Task, frame: Frame, line: StrapLine) -> Member:
    """A line of straps as the bearing of what is laid on it.

    One that is doubled only where joints land on it is as wide as one strap to all else.
    """
    (a, b), (x, y) = frame.across, frame.back((0, line.at))
    ends = (frame.back((u, line.at)) for u in (line.low, line.high))
    low, high = sorted(round(a * v - b * u) for u, v in ends)
    seat = width_of(task)
    wide = task.product.width if task.rules.doubled == "joints" else seat
    return Member(a, b, round(a * x + b * y), wide, (low, high), seat)
