"""Breaker boards: strips set in straight across a surface, which split every course (4.6).

Where a strip meets a wall aslant its end is cut along that, each end at one wall.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from math import atan2, cos, degrees, radians
from typing import TypeAlias

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.edges import Edge, sides_of
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import clip_to_boxes, intersection, union, without_needles
from service.geometry.rings import Polygon, bounds, rectangle
from service.geometry.strips import refined
from service.geometry.walls import STRAIGHT, Corner, Wall, mitre
from service.products.ground import Offered
from service.products.kinds.trim.ends import SHARPEST, Ends
from service.products.kinds.trim.records import TrimEnd
from service.products.kinds.trim.rulings import Task
from service.products.kinds.trim.section import section_of
from service.products.kinds.trim.set_in import FIRST_EDGE, inset, moved_edges
from service.products.trim_rows import Meets
from service.units.ticks import INCH, SIXTY_FOURTH, whole
from service.units.writing import both

_AT_A_WALL = Corner(90.0, chosen=False, edge=None)
Which: TypeAlias = Callable[[Iterable[int]], int]
"""`min` or `max`: one end of a strip or the other."""

_NEAR = 24
"""Inches up to which another place is looked for, for a strip that finds none where it is sent."""


def lines_across(task: Task) -> list[tuple[Wall, Ends]]:
    """The back edge of each strip, from wall to wall, with its ends; TradeRefused without room.

    An end keeps the strip's gap, square to it, from what it meets.
    """
    frame, found = frame_across(task), list[tuple[Wall, Ends]]()
    for number, at in enumerate(_stations(task, frame)):
        parts = _parts(task, frame, at)
        if not parts:
            raise _no_room(task, frame, number, at)
        found += [_line(task, frame, at, part) for part in parts]
    return found


def _line(task: Task, frame: Frame, at: int, part: Polygon) -> tuple[Wall, Ends]:
    """The back edge of a strip that lies on `part`, and how its ends are cut."""
    wide = section_of(task).width
    near = at - wide // 2
    (low, low_off), (high, high_off) = (_end(part, wide, which) for which in (min, max))
    low_open, high_open = (_is_open(task, frame, part, which) for which in (min, max))
    low += 0 if low_open else _off_a_wall(task, low_off)
    high -= 0 if high_open else _off_a_wall(task, high_off)
    ends = _cut(low_off, wide, is_open=low_open), _cut(high_off, wide, is_open=high_open)
    stations = low, high
    if not _rises_left(frame):
        ends, stations = ends[::-1], stations[::-1]
    line = frame.back((stations[0], near)), frame.back((stations[1], near))
    return Wall(line, (_AT_A_WALL, _AT_A_WALL), ()), ends


def _off_a_wall(task: Task, off: float) -> int:
    """How much shorter a strip is at a wall `off` degrees off square to it, for its gap."""
    return whole((task.layer.gap or 0) / cos(radians(off)))


def _is_open(task: Task, frame: Frame, part: Polygon, which: Which) -> bool:
    """Whether the `min` or `max` end of a strip overhangs an edge (3.17)."""
    edges = [edge.within(frame) for edge in moved_edges(task, frozenset(), 0)]
    end = which(u for u, _ in part.outer)
    return any(
        side.edge is not None
        and side.edge.what == "overhang"
        and end in (side.start[0], side.end[0])
        for side in sides_of(part.outer, edges)
    )


def frame_across(task: Task) -> Frame:
    """Stations along the strips and across them."""
    asked = task.layer.across
    assert asked is not None
    return frame_of(task.surface.outline, task.surface.facing(Fraction(asked.direction)))


def _rises_left(frame: Frame) -> bool:
    """Whether stations across rise to the left of the way along, where a strip lies."""
    (a, b), (c, d) = frame.along, frame.across
    return a * d > b * c


def _stations(task: Task, frame: Frame) -> list[int]:
    """The centre lines across, from the lowest one on."""
    asked, surface = task.layer.across, task.surface
    assert asked is not None
    found = [surface.true_station(frame.across, at) for at in asked.at]
    if surface.turned_round(surface.facing(Fraction(asked.direction))):
        extent = max(frame.to(corner)[1] for corner in surface.outline)
        found = [extent - at for at in found]
    return found


def _band(task: Task, frame: Frame, at: int, less: int = 0) -> tuple[int, int, int, int]:
    """The box of a strip over the whole surface, narrower by `less` on each side, in stations."""
    low, high, *_ = bounds(frame.region(task.surface.parts))
    near, wide = at - section_of(task).width // 2, section_of(task).width
    return low, high, near + less, near + wide - less


def _parts(task: Task, frame: Frame, at: int) -> Sequence[Polygon]:
    """The parts of the surface on which a strip lies; none where it finds no room there."""
    box = _band(task, frame, at)
    region = refined(frame.region(inset(task, frozenset(), 0)), list(box[2:]), axis=1)
    (parts,) = clip_to_boxes(region, [box])
    seen = [one for one in without_needles(parts) if one.box[1] - one.box[0] > SIXTY_FOURTH]
    clear = not any(
        without_needles(intersection(tuple(seen), frame.region(opening.cut)))
        for opening in task.surface.openings
    )
    return seen if clear and all(_is_strip(one, section_of(task).width) for one in seen) else ()


def _is_strip(part: Polygon, wide: int) -> bool:
    """Whether a part is as wide as a strip from end to end, and each of its ends lies on one wall.

    A wall so much aslant that no end is cut along it is none.
    """
    near, far = part.box[2:]
    whole_wide = far - near >= wide - SIXTY_FOURTH
    corners = all(min(v - near, far - v) <= SIXTY_FOURTH for _, v in part.outer)
    return (
        whole_wide
        and corners
        and not part.holes
        and all(abs(_end(part, wide, which)[1]) <= SHARPEST for which in (min, max))
    )


def _end(part: Polygon, wide: int, which: Which) -> tuple[int, float]:
    """Where the back edge of a strip meets a wall at its `min` or `max` end, and how aslant.

    In degrees off square to a thousandth, above 0 where the back edge is the longer one.
    """
    near, far = part.box[2:]
    back, front = (which(u for u, v in part.outer if abs(v - side) <= SIXTY_FOURTH)
                   for side in (near, far))  # fmt: skip
    out = front - back if which is min else back - front
    return back, round(degrees(atan2(out, wide)), 3)


def _cut(off: float, wide: int, *, is_open: bool) -> TrimEnd:
    """An end along a wall; one that is square but for a degree is cut square."""
    off = off if abs(off) >= STRAIGHT else 0.0
    adds = mitre(wide, off) if off < 0 else 0
    meets: Meets = "open end" if is_open else "wall"
    return TrimEnd(meets, "mitred" if off else "square", 90.0 + off, off, adds)


def _no_room(task: Task, frame: Frame, number: int, at: int) -> TradeRefused:
    """That a strip finds no room where it is sent; the cure is the nearest place that has it."""
    asked = task.layer.across
    assert asked is not None
    text = (
        f"a breaker {both(section_of(task).width)} wide with its centre line at "
        f"{both(asked.at[number])} does not run from one wall to another, each of its ends at one "
        "wall, through what is there, clear of openings: move it"
    )
    tries = (by * way * INCH for by in range(1, _NEAR + 1) for way in (1, -1))
    turned = task.surface.turned_round(task.surface.facing(Fraction(asked.direction)))
    near = next((by for by in tries if _parts(task, frame, at + (-by if turned else by))), None)
    place = None if near is None else asked.at[number] + near
    pointer = f"{task.pointer}/across/at/{number}"
    cure = Cure(pointer, Ticks(place)) if place is not None and place > 0 else None
    return TradeRefused(Fault("breaker-no-room", text, pointer, cure=cure, rule="4.6"))


def offered_across(task: Task) -> Offered:
    """What breakers take away of the surface, and both edges of each (4.6)."""
    frame, flange = frame_across(task), section_of(task).flange
    boxes = [_band(task, frame, at, flange) for at in _stations(task, frame)]
    cuts = union((Polygon(frame.ring_back(rectangle(a, c, b, d))),) for a, b, c, d in boxes)
    return Offered(cuts=cuts, edges=tuple(_edges(task, frame, boxes)), splits=True)


def _edges(task: Task, frame: Frame, boxes: Sequence[tuple[int, int, int, int]]) -> Iterator[Edge]:
    lines = [(low, high, side) for low, high, *sides in boxes for side in sides]
    free = FIRST_EDGE + len(task.surface.edges)
    for k, (low, high, side) in enumerate(lines):
        yield Edge(
            number=free + k,
            start=frame.back((low, side)),
            end=frame.back((high, side)),
            what="beam" if section_of(task).flange else "bare",
            gap=0 if section_of(task).flange else task.layer.gap,
            pointer=task.pointer,
        )
