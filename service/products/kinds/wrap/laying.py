"""Wrap on a surface: which way it runs, its widths, strips and laps.

The way is the one that would take the least if nothing shared its rolls, until one is chosen for
all layers that share them; rolls are opened later.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import atan2, degrees
from typing import Literal

from service.errors import Fault, TradeRefused
from service.geometry.edges import Margins
from service.geometry.frame import Frame, frame_of
from service.geometry.holes import holes_of
from service.geometry.offsets import moved_out, shrunk
from service.geometry.plane import difference, union
from service.geometry.rings import Point, Polygon, Region, bounds, twice_area
from service.layout.runs import Course
from service.layout.widths import Width, seams_between, strips_over, widths_over
from service.products.goods.roll.needs import WayRun
from service.products.goods.roll.rolling import alone
from service.products.ground import Offered
from service.products.kinds.wrap.findings import (
    refuse_many,
    refuse_narrow,
    say_what_was_laid,
)
from service.products.kinds.wrap.records import Bay, LaidWrap, Wrap
from service.products.kinds.wrap.rulings import Task
from service.products.kinds.wrap.slope import rise_of
from service.products.laid_rows import AlternativeRow, CourseRow
from service.products.layer import Areas, LaidLayer
from service.products.opening_rows import opening_rows
from service.products.remarks import Remarks
from service.units.ticks import FOOT
from service.units.writing import both


def lay(task: Task, said: Remarks) -> LaidWrap:
    """Lay the wrap of one layer; raises TradeRefused where the roll is no wider than its lap."""
    refuse_narrow(task)
    task = _patching(task)
    if not task.ground.regions:
        raise TradeRefused(
            Fault(
                "nothing-left",
                "the openings leave nothing to wrap: check their sizes",
                task.pointer,
                rule="1.1",
            )
        )
    return _laid(task, said)


def settle(layer: LaidWrap, chosen: WayRun, said: Remarks) -> LaidWrap:
    """The layer in the way that was chosen for all layers of its roll (13.2, 19.2)."""
    return _laid(layer.task, said, chosen.number)


def _laid(task: Task, said: Remarks, chosen: int | None = None) -> LaidWrap:
    """The layer in the way that takes the least by itself, or in the one that is `chosen`."""
    directions = _directions(task)
    made = [_wrap(task, direction) for direction in directions]
    cost = [_cost(task, one) for one in made]
    order = sorted(range(len(made)), key=lambda k: (k != chosen, cost[k], k))
    best = order[0]
    tried = tuple(one.strips for one in made)
    wrap, direction = replace(made[best], tried=tried), directions[best]
    task.rules.note_direction(direction)
    say_what_was_laid(task, wrap, said)
    region = twice_area(difference(wrap.outline, wrap.open))
    return LaidLayer(
        task=task,
        direction=direction,
        frame=wrap.frame,
        areas=Areas(region, region),
        openings=opening_rows(
            task,
            wrap.frame,
            [
                (one.openings, wrap.frame.region(one.cut))
                for one in holes_of(task.surface.openings, 0)
            ],
            wrap.outline,
            tuple(
                Course(one.number, one.low, one.high, "none", one.starts_low) for one in wrap.widths
            ),
        ),
        courses=tuple(_row(task, width) for width in wrap.widths),
        alternatives=tuple(_alternatives(task, directions, made, order)),
        detail=wrap,
        offered=Offered(task.product.thickness or 0),
    )


def _patching(task: Task) -> Task:
    """The task on what is to be patched alone, where some of the wrap is up (13.7)."""
    if task.standing is None:
        return task
    surface = task.ground.surface
    rest = difference(surface.parts, task.standing.over)
    return replace(task, ground=replace(task.ground, surface=surface.less(rest)))


def _directions(task: Task) -> list[Fraction]:
    """Directions to try: the one sent; level on a slope or wall; otherwise along and across.

    Those are along and across the members, and along and across the longest side.
    """
    surface, bearings = task.surface, task.ground.bearings
    if task.layer.direction is not None:
        return [surface.facing(Fraction(task.layer.direction))]
    rise = rise_of(surface)
    if rise is not None:
        return [(_degrees(rise[1], rise[0]) + 90) % 180]
    ways = [(bearings[0].b, bearings[0].a)] if bearings else []
    a, b = max(pairwise((*surface.outline, surface.outline[0])), key=_apart)
    ways.append((b[1] - a[1], b[0] - a[0]))
    found = [_degrees(*way) for way in ways]
    return list(dict.fromkeys(turned for one in found for turned in (one, (one + 90) % 180)))


def _degrees(up: float, right: float) -> Fraction:
    """The direction of a line in degrees, 0 up to 180, to a millionth."""
    return Fraction(round(degrees(atan2(up, right)) * 10**6), 10**6) % 180


def _apart(side: tuple[Point, Point]) -> int:
    (a, b), (c, d) = side
    return (c - a) ** 2 + (d - b) ** 2


def _wrap(task: Task, direction: Fraction) -> Wrap:
    surface, rules = task.surface, task.rules
    frame = frame_of(surface.outline, direction)
    turn = 0 if task.standing is not None else rules.turn_down
    limit = rules.deduct_over
    cut = union(one.cut for one in surface.openings)
    large = union(
        one.cut for one in surface.openings if twice_area(one.drawn) > 2 * FOOT**2 * limit
    )
    bays = tuple(
        Bay(frame.region((part,)), frame.region(difference(_turned(task, part, turn), large)))
        for part in surface.parts
        if difference((part,), cut)
    )
    _, _, low, high = bounds(tuple(part for bay in bays for part in bay.cover))
    refuse_many(task, high - low)
    widths = widths_over(
        low, high, task.product.width, rules.wrap_lap, _starts_low(task, frame, direction)
    )
    strips = strips_over([bay.cover for bay in bays], widths)
    return Wrap(
        frame,
        bays,
        frame.region(cut),
        widths,
        strips,
        seams_between(widths, strips),
    )


def _turned(task: Task, part: Polygon, turn: int) -> Region:
    """A part with its turn-downs, and with what goes on round corners of walls (13.1, 3.16)."""
    laps = ((edge, task.rules.corner_lap(edge)) for edge in task.surface.edges)
    told = tuple((edge, -lap) for edge, lap in laps if lap is not None)
    if not told or task.standing is not None:
        return moved_out(part, turn)
    outer = Margins(-turn, told).inset((Polygon(part.outer),))
    return difference(outer, union(shrunk(hole[::-1], turn) for hole in part.holes))


def _starts_low(task: Task, frame: Frame, direction: Fraction) -> bool:
    """Whether width 1 lies on the low side: as sent, or the lower side of a slope (13.4)."""
    turned = task.surface.turned_round(direction)
    rise = rise_of(task.surface) or (0.0, 0.0)
    climb = rise[0] * frame.across[0] + rise[1] * frame.across[1]
    low = abs(climb) < 1e-9 or (climb < 0) == turned
    side: Literal["low", "high"] = "low" if low else "high"
    return (task.rules.start_side(side) == "low") != turned


def _row(task: Task, width: Width) -> CourseRow:
    near, far = (width.low, width.high) if width.starts_low else (width.high, width.low)
    return CourseRow(
        surface=task.surface.id,
        layer=task.layer_id,
        course=width.number,
        near=near,
        far=far,
        width=width.high - width.low,
        rip="none",
        tongue="none",
        note="" if width.number == 1 else f"laps run {width.number - 1}",
        lap=width.lap,
    )


def _cost(task: Task, wrap: Wrap) -> tuple[int, int, int, int]:
    """What a way of laying buys if nothing shares its rolls, then its laps, then its roll (13.2).

    Of two that buy the same the one with less to lap and tape is less work.
    """
    plan = alone(task, wrap.strips)
    laps = sum(seam.high - seam.low for seam in wrap.seams)
    if plan is None:
        return 1, 0, laps, wrap.length
    laps += (len(plan.pieces) - len(wrap.strips)) * task.product.width
    return 0, plan.cost, laps, wrap.length


def _alternatives(
    task: Task,
    directions: list[Fraction],
    made: list[Wrap],
    order: list[int],
) -> list[AlternativeRow]:
    return [
        AlternativeRow(
            surface=task.surface.id,
            layer=task.layer_id,
            rank=rank + 1,
            start=f"direction {float(directions[k]):g}",
            courses=len(made[k].widths),
            first=task.product.width,
            last=task.product.width,
            chosen=rank == 0,
            why=f"{both(made[k].length)} of roll",
        )
        for rank, k in enumerate(order)
    ]
