"""Beams cut across: what each skin is ripped to, by how the corners are made (16.1)."""

from __future__ import annotations

from typing import Final, Literal, TypeAlias

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.products.kinds.box_beams.records import Bevel, Section
from service.products.kinds.box_beams.rulings import Task
from service.products.kinds.box_beams.spec import BeamSet
from service.units.ticks import INCH, SIXTEENTH, up
from service.units.writing import both

Corners: TypeAlias = Literal["sides_outside", "bottom_over", "mitred"]

LEAST_CORE: Final = INCH // 2
"""A core narrower than this holds no fastener."""


def sections_of(task: Task, asked: BeamSet, at: str) -> tuple[Section, Section]:
    """The sections of the beams of a set, and of its half beams along walls.

    Raises TradeRefused where the skins, or a core between them, find no room.
    """
    layer = task.layer
    width, drop = asked.width or layer.width, asked.drop or layer.drop
    half = asked.wall_width or width // 2
    where = f"{at}/width" if asked.width else f"{task.pointer}/width"
    full = _section(task, width, drop, where, half=False)
    if not asked.walls:
        return full, full
    where = f"{at}/wall_width" if asked.wall_width else where
    return full, _section(task, half, drop, where, half=True)


def _section(task: Task, width: int, drop: int, where: str, *, half: bool) -> Section:
    rules, thick = task.rules, task.product.thickness
    corners, skins = rules.corners, thick if half else 2 * thick
    side, bottom = _skins(corners, width, drop, skins, thick)
    play = rules.core_play // 2 if half else rules.core_play
    free = width - skins - play
    if free < LEAST_CORE or bottom <= 0:
        least = up(skins + play + 2 * LEAST_CORE, SIXTEENTH)
        raise TradeRefused(_too_small(task, "wide", width, least, where))
    if side <= 0 or drop <= thick:
        least = up(thick + INCH, SIXTEENTH)
        raise TradeRefused(_too_small(task, "deep", drop, least, f"{task.pointer}/drop"))
    core = free if task.layer.core_width is None else task.layer.core_width
    if core > width:
        raise TradeRefused(_core_too_wide(task, core, free))
    return Section(
        width=width,
        drop=drop,
        thickness=thick,
        side=side,
        bottom=bottom,
        core=core,
        half=half,
        bevels=_bevels(corners, half),
        set_up=_set_up(task, drop),
    )


def _skins(corners: Corners, width: int, drop: int, skins: int, thick: int) -> tuple[int, int]:
    """Width of a side, and of the bottom."""
    match corners:
        case "sides_outside":
            return drop, width - skins
        case "bottom_over":
            return drop - thick, width
        case "mitred":
            return drop, width


def _bevels(corners: Corners, half: bool) -> tuple[Bevel, Bevel]:
    """Edges of a side and of the bottom that are ripped at 45 degrees."""
    if corners != "mitred":
        return "none", "none"
    return "one edge", "one edge" if half else "both edges"


def _set_up(task: Task, drop: int) -> int:
    """How far the bottom is set up: only one between sides can be, and no deeper than they are."""
    reveal, at = task.rules.reveal, f"{task.pointer}/reveal"
    if reveal and task.rules.corners != "sides_outside":
        text = "a reveal is made with the bottom between the sides, `corners` sides_outside"
        raise TradeRefused(
            Fault("reveal-needs-sides", text, at, Cure(at, 0), "16.1", measure=reveal, limit=0)
        )
    most = drop - task.product.thickness
    if reveal > most:
        text = f"a reveal of {both(reveal)} leaves the bottom no room: {both(most)} is the most"
        raise TradeRefused(
            Fault("reveal-too-deep", text, at, Cure(at, Ticks(most)), "16.1", reveal, most)
        )
    return reveal


def _too_small(task: Task, what: str, size: int, least: int, where: str) -> Fault:
    thick = both(task.product.thickness)
    return Fault(
        "beam-too-small",
        f"a beam {both(size)} {what} has no room within skins of {thick}: {both(least)} has",
        where,
        cure=Cure(where, Ticks(least)),
        rule="16.1",
        measure=size,
        limit=least,
    )


def _core_too_wide(task: Task, core: int, free: int) -> Fault:
    at = f"{task.pointer}/core_width"
    text = f"a core of {both(core)} is wider than its beam: {both(free)} lie within the skins"
    return Fault("core-too-wide", text, at, Cure(at, Ticks(free)), "16.1", core, free)
