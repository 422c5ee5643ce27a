"""Breaker boards: strips set in straight across a surface, which split every course (4.6)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from service.errors import Fault, TradeRefused
from service.geometry.edges import Edge
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import clip_to_boxes, intersection, union, without_needles
from service.geometry.rings import Polygon, bounds, rectangle
from service.geometry.strips import refined
from service.geometry.walls import Corner, Wall
from service.products.ground import Offered
from service.products.kinds.trim.rulings import Task
from service.products.kinds.trim.set_in import FIRST_EDGE
from service.units.ticks import SIXTY_FOURTH
from service.units.writing import both

_AT_A_WALL = Corner(90.0, chosen=False, edge=None)


def lines_across(task: Task) -> list[Wall]:
    """The back edge of each strip, from wall to wall; raises TradeRefused where one finds no room.

    An end keeps the strip's gap from what it meets.
    """
    frame, found = frame_across(task), list[Wall]()
    for number, at in enumerate(_stations(task, frame)):
        parts = _parts(task, frame, at)
        if not parts:
            raise _no_room(task, number)
        for part in parts:
            low, high = part.box[0] + (task.layer.gap or 0), part.box[1] - (task.layer.gap or 0)
            near = at - task.product.width // 2
            ends = (low, high) if _rises_left(frame) else (high, low)
            line = frame.back((ends[0], near)), frame.back((ends[1], near))
            found.append(Wall(line, (_AT_A_WALL, _AT_A_WALL), ()))
    return found


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
    near, wide = at - task.product.width // 2, task.product.width
    return low, high, near + less, near + wide - less


def _parts(task: Task, frame: Frame, at: int) -> Sequence[Polygon]:
    """The rectangles of the surface on which a strip lies; none where it does not find them."""
    box = _band(task, frame, at)
    region = refined(frame.region(task.surface.parts), list(box[2:]), axis=1)
    (parts,) = clip_to_boxes(region, [box])
    seen = [one for one in without_needles(parts) if one.box[1] - one.box[0] > SIXTY_FOURTH]
    wide = all(one.box[3] - one.box[2] >= task.product.width - SIXTY_FOURTH for one in seen)
    clear = not any(
        without_needles(intersection(tuple(seen), frame.region(opening.cut)))
        for opening in task.surface.openings
    )
    return seen if wide and clear and all(one.is_box for one in seen) else ()


def _no_room(task: Task, number: int) -> TradeRefused:
    asked = task.layer.across
    assert asked is not None
    text = (
        f"a breaker {both(task.product.width)} wide with its centre line at "
        f"{both(asked.at[number])} does not run square from wall to wall through what is "
        "there, clear of openings: move it"
    )
    pointer = f"{task.pointer}/across/at/{number}"
    return TradeRefused(Fault("breaker-no-room", text, pointer, rule="4.6"))


def offered_across(task: Task) -> Offered:
    """What breakers take away of the surface, and both edges of each (4.6)."""
    frame, flange = frame_across(task), task.product.flange or 0
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
            what="beam" if task.product.flange else "bare",
            gap=0 if task.product.flange else task.layer.gap,
            pointer=task.pointer,
        )
