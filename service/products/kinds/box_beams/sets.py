"""The sets of beams of a layer: which runs through, and where the lines of each lie (16.2)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.frame import Frame, frame_of
from service.layout.beam_lines import (
    BeamLine,
    Sizes,
    by_clear,
    clear_between,
    even,
    mirrored,
    on_centres,
)
from service.products.kinds.box_beams.records import LaidSet
from service.products.kinds.box_beams.rulings import Task
from service.products.kinds.box_beams.sections import sections_of
from service.products.kinds.box_beams.spec import BeamSet
from service.units.writing import both


def laid_sets(task: Task) -> tuple[LaidSet, ...]:
    """The sets of a layer, the one that runs through first; raises TradeRefused."""
    _check_square(task)
    found = [_laid(task, number, one) for number, one in enumerate(task.layer.sets)]
    if len(found) == 1:
        return tuple(found)
    first, second = sorted(found, key=partial(_rank, task))
    _check_depths(task, first, second)
    return first, replace(second, through=False)


def _laid(task: Task, number: int, asked: BeamSet) -> LaidSet:
    """One set, with its lines in a frame of its own."""
    surface, at = task.surface, f"{task.pointer}/sets/{number}"
    direction = surface.facing(Fraction(asked.direction))
    frame = frame_of(surface.outline, direction)
    full, half = sections_of(task, asked, at)
    extent = max(frame.to(corner)[1] for corner in surface.outline)
    walls = tuple(sorted(set(asked.walls or ())))
    sizes = Sizes(extent, full.width, walls, half.width)
    lines = _lines(task, asked, sizes, frame)
    _check_bays(asked, sizes, lines, at)
    if surface.turned_round(direction):
        lines = mirrored(sizes, lines)
    return LaidSet(number, direction, frame, sizes, lines, full, half, through=True)


def _lines(task: Task, asked: BeamSet, sizes: Sizes, frame: Frame) -> tuple[BeamLine, ...]:
    """Lines as the request measures them: evenly, on centres, or by clear bays."""
    if asked.count is not None:
        return even(sizes, asked.count)
    if asked.clear is not None:
        return by_clear(sizes, asked.clear)
    surface = task.surface
    return on_centres(sizes, [surface.true_station(frame.across, at) for at in asked.centres or ()])


def _check_square(task: Task) -> None:
    """Two sets cross squarely."""
    if len(task.layer.sets) < 2:
        return
    one, other = (Fraction(each.direction) for each in task.layer.sets)
    if (one - other) % 180 == 90:
        return
    at = f"{task.pointer}/sets/1/direction"
    turned = (one + 90) % 180
    raise TradeRefused(
        Fault(
            "beams-not-square",
            f"two sets of beams cross squarely: {float(turned):g} degrees lies square to the first",
            at,
            cure=Cure(at, float(turned)),
            rule="16.3",
        )
    )


def _check_bays(asked: BeamSet, sizes: Sizes, lines: tuple[BeamLine, ...], at: str) -> None:
    """Something is clear between any two beams, and beside the walls (5.9)."""
    least = min(clear_between(sizes, lines))
    if least > 0 and sizes.low < sizes.high:
        return
    way = next(key for key in ("count", "centres", "clear") if getattr(asked, key) is not None)
    raise TradeRefused(
        Fault(
            "no-bay",
            f"beams {both(sizes.width)} wide leave no bay between two of them, or at a wall, over "
            f"{both(sizes.extent)}",
            f"{at}/{way}",
            cure=_fewer(asked, sizes, at, way),
            rule="5.9",
            measure=max(0, least),
        )
    )


def _fewer(asked: BeamSet, sizes: Sizes, at: str, way: str) -> Cure:
    """As many beams as leave bays as wide as they are, evenly."""
    most = max(0, (sizes.high - sizes.low - sizes.width) // (2 * sizes.width))
    if way == "count":
        return Cure(f"{at}/count", min(most, (asked.count or 1) - 1))
    free = sizes.high - sizes.low
    middle = (free - sizes.width) // 2 if way == "clear" else sizes.low + free // 2
    return Cure(f"{at}/{way}", [Ticks(max(1, middle))])


def _rank(task: Task, one: LaidSet) -> tuple[object, ...]:
    """Sorts the set that runs through first (16.3).

    As it is said; else the deeper, the one that runs the longer way, the wider; of equals that of
    the lesser direction, so that the order of the list decides nothing.
    """
    said = task.layer.sets[one.asked].through
    length = max(one.frame.to(corner)[0] for corner in task.surface.outline)
    asked = {True: 0, None: 1, False: 2}[said]
    return asked, -one.full.drop, -length, -one.full.width, one.direction


def _check_depths(task: Task, first: LaidSet, second: LaidSet) -> None:
    """The shallower set always butts, and only equal depths can be mitred (16.3, 16.4)."""
    if first.full.drop < second.full.drop:
        at = f"{task.pointer}/sets/{first.asked}/through"
        other = Cure(f"{task.pointer}/sets/{second.asked}/through", value=True)
        raise TradeRefused(
            Fault(
                "shallower-through",
                f"beams {both(first.full.drop)} deep cannot run through others of "
                f"{both(second.full.drop)}: the shallower butt into the deeper",
                at,
                cure=Cure(at, value=False, also=(other,)),
                rule="16.3",
                measure=first.full.drop,
                limit=second.full.drop,
            )
        )
    if task.rules.crossings == "mitred" and first.full.drop != second.full.drop:
        at = f"{task.pointer}/crossings"
        raise TradeRefused(
            Fault(
                "mitred-unequal",
                f"bottoms {both(first.full.drop)} and {both(second.full.drop)} down meet in no "
                "mitre: let the shallower beams butt",
                at,
                cure=Cure(at, "butted"),
                rule="16.4",
                measure=first.full.drop - second.full.drop,
                limit=0,
            )
        )
