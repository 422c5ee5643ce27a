"""Trim on a surface: all its lengths, and what it leaves of the surface to what comes after it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from service.geometry.frame import frame_of
from service.products.gaps import Cover
from service.products.ground import Offered
from service.products.kinds.trim.across import lines_across, offered_across
from service.products.kinds.trim.along_walls import along_walls, named_edges, reach_of
from service.products.kinds.trim.ends import Standing
from service.products.kinds.trim.findings import say_over_layers, say_what_was_laid
from service.products.kinds.trim.frames import round_openings
from service.products.kinds.trim.lengths import length_of
from service.products.kinds.trim.let_in import offered_let_in
from service.products.kinds.trim.records import LaidTrim, Trim, TrimLength
from service.products.kinds.trim.rulings import Task
from service.products.kinds.trim.section import check_section, section_of
from service.products.kinds.trim.set_in import check_room, check_slot, is_set_in, offered
from service.products.layer import Areas, LaidLayer
from service.products.remarks import Remarks


def lay(task: Task, said: Remarks) -> LaidTrim:
    """Every length of a layer, each with its ends and its joints.

    Raises TradeRefused where an edge or an opening that is named is not there to be trimmed.
    """
    check_section(task)
    wide = section_of(task).width if _is_flat(task) else reach_of(task)
    lengths = tuple(
        length_of(task, number, *one)
        for number, one in enumerate(_standing(task, said, wide), start=1)
    )
    trim = _trim(task, lengths, wide)
    say_what_was_laid(task, said, trim)
    if is_set_in(task):
        _check_set_in(task, said, lengths, wide)
    covered = sum(strip.twice_area for one in trim.lengths for strip in one.strips(wide))
    return LaidLayer(
        task=task,
        direction=Fraction(0),
        frame=trim.frame,
        areas=Areas(covered, covered),
        openings=(),
        courses=(),
        alternatives=(),
        detail=trim,
        offered=_offered(task, lengths, wide),
        along_edges=True,
        covers=() if _is_flat(task) else tuple(_covers(lengths, wide)),
    )


def _is_flat(task: Task) -> bool:
    """Whether it lies flat on the surface, as a frame and a strip do, and in no corner with it."""
    return task.layer.around == "openings" or is_set_in(task)


def _standing(task: Task, said: Remarks, wide: int) -> list[Standing]:
    """Every length with its ends, wherever the layer's trim runs."""
    if task.layer.around == "openings":
        return round_openings(task, said, wide)
    if task.layer.across is None:
        return along_walls(task, wide)
    return [(wall, ends, None) for wall, ends in lines_across(task)]


def _trim(task: Task, lengths: tuple[TrimLength, ...], wide: int) -> Trim:
    """The lengths of a layer, those that are up already apart."""
    kept = task.standing.kept if task.standing is not None else frozenset()
    framed = task.layer.around == "openings"
    return Trim(
        frame=frame_of(task.surface.outline, Fraction(0)),
        lengths=tuple(one for one in lengths if one.known_by not in kept),
        up=tuple(one for one in lengths if one.known_by in kept),
        wide=wide,
        start_is_left=framed or task.surface.type not in ("floor", "deck"),
    )


def _check_set_in(task: Task, said: Remarks, lengths: Sequence[TrimLength], wide: int) -> None:
    """Refuse a strip set in that finds no room, and say what was laid behind it already."""
    check_slot(task)
    if task.layer.across is None:
        check_room(task, [strip for one in lengths for strip in one.strips(wide)])
    say_over_layers(task, said)


def _offered(task: Task, lengths: Sequence[TrimLength], wide: int) -> Offered:
    """What trim takes away of the surface for what is laid after it; most trim nothing."""
    if task.layer.across is not None:
        return offered_across(task)
    if task.layer.from_edge is not None:
        return offered(task, named_edges(task))
    return offered_let_in(task, lengths, wide)


def _covers(lengths: Sequence[TrimLength], wide: int) -> Iterator[Cover]:
    """The sides of the walls along which trim runs."""
    for one in lengths:
        yield from (Cover(line, wide) for line in pairwise(one.wall.points))
