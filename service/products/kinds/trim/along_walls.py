"""Where trim runs along walls: which of them, and how its pieces meet in their corners (17.1)."""

from __future__ import annotations

from service.errors import Fault, TradeRefused
from service.geometry.edges import Edge, Side, sides_of
from service.geometry.plane import difference, union
from service.geometry.rings import Region
from service.geometry.walls import Wall, walls_of
from service.products.kinds.trim.ends import (
    COPED_FROM,
    NONE_COPED,
    Ends,
    Standing,
    butted_along,
    ends_along,
    round_corner,
)
from service.products.kinds.trim.rulings import Task
from service.products.kinds.trim.section import section_of
from service.products.kinds.trim.set_in import room
from service.units.writing import both

UNTRIMMED = frozenset({
    "bare", "tight", "mitre", "inside_first", "inside_second", "outside_lapping",
    "outside_butting", "outside_mitred", "overhang",
})  # fmt: skip
"""Edges at which nothing is covered, and corners of walls, whose boards meet."""


def reach_of(task: Task) -> int:
    """How far trim along walls reaches over the surface; a board that butts is ripped (17.7)."""
    section = section_of(task)
    if task.layer.board is None:
        return section.reach
    wide = section.width - (section.thickness if task.layer.board == "butting" else 0)
    if wide <= 0:
        text = (
            f"a corner board {both(section.width)} wide has nothing left when its thickness, "
            f"{both(section.thickness)}, is ripped off it"
        )
        raise TradeRefused(
            Fault("board-narrow", text, f"{task.product_pointer}/width", rule="17.7")
        )
    return wide


def along_walls(task: Task, wide: int) -> list[Standing]:
    """Ring by ring, what is asked for of the walls round what is there to be laid on.

    An opening that reaches an edge is a notch of the outline, and trim runs round it (1.1).
    """
    rules, asked = task.rules, _asked(task)
    parts, edges = _beside(task)
    over, inside = float(rules.corner_over), rules.inside
    coped_from = COPED_FROM.get(inside, NONE_COPED)
    found: list[Standing] = []
    for ring in (ring for part in parts for ring in part.rings):
        sides = sides_of(ring, edges)
        walls = walls_of(sides, [_is_trimmed(side, asked) for side in sides])
        plain = (
            butted_along(walls, wide, over)
            if inside == "butted"
            else ends_along(walls, wide, over, coped_from)
        )
        ends = [_round_corners(task, *one) for one in zip(walls, plain, strict=True)]
        found += [
            (wall, own, None)
            for wall, own in zip(walls, ends, strict=True)
            if wall.length + own[0].adds + own[1].adds >= rules.cut_to  # less is no piece
        ]
    return found


def _round_corners(task: Task, wall: Wall, ends: Ends) -> Ends:
    """The ends of trim on a wall, where that turns a corner into the next one (3.16)."""
    if task.surface.type != "wall":
        return ends
    behind, thick = task.ground.thick, section_of(task).thickness
    first, last = (round_corner(end, corner, behind, thick)
                   for end, corner in zip(ends, wall.corners, strict=True))  # fmt: skip
    return first, last


def _beside(task: Task) -> tuple[Region, tuple[Edge, ...]]:
    """What trim runs round, and its edges: the surface, or what lies inside a strip set into it."""
    surface = task.surface
    if task.layer.from_edge is not None:
        return room(task, named_edges(task))
    notches = union(one.drawn for one in surface.openings if one.crosses_edge)
    return (difference(surface.clear, notches) if notches else surface.clear), surface.sides


def named_edges(task: Task) -> frozenset[int]:
    """The numbers of the edges along which a strip is set in."""
    return frozenset(task.layer.edges or ())


def _asked(task: Task) -> frozenset[int] | None:
    """The numbers of the edges that are asked for; None for all that are covered."""
    if task.layer.edges is None:
        return None
    there = {edge.number for edge in task.surface.sides}
    faults = [
        Fault(
            "no-such-edge",
            f"the outline has no edge {number}: its edges are 0 to {max(there)}",
            f"{task.pointer}/edges/{k}",
            rule="17.1",
        )
        for k, number in enumerate(task.layer.edges)
        if number not in there
    ]
    if faults:
        raise TradeRefused(*faults)
    return frozenset(task.layer.edges)


def _is_trimmed(side: Side, asked: frozenset[int] | None) -> bool:
    if asked is None:
        return side.edge is None or side.edge.what not in UNTRIMMED
    return side.edge is not None and side.edge.number in asked
