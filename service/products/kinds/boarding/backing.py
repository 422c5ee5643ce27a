"""What must stand behind boards: where ends hang, round openings, under joints, in rows (15)."""

from __future__ import annotations

from collections.abc import Iterator

from service.errors import Fault, TradeRefused
from service.geometry.rings import Polygon, Region, bounds
from service.layout.blocks import block_rows
from service.layout.framing import Framing, framing_of
from service.products.backed_edges import (
    behind_ends,
    lies_on,
    sides_around,
    walls_beside_members,
)
from service.products.backing import Backer, backer, blocks_under, merged
from service.products.framed_openings import carrying, framed
from service.products.kinds.boarding.findings.borne_ends import is_counted
from service.products.kinds.boarding.laying.gaps import walls_of
from service.products.kinds.boarding.records import Boards, LaidBoards, PlacedBoards

MOST_BLOCKS = 20_000
"""Blocks behind one layer: more than a hall of 100 x 100 ft has in rows 16 in apart."""


def back(placed: PlacedBoards) -> tuple[Backer, ...]:
    """Nailers, headers and blocks behind a layer of boards; none unless they are counted."""
    layer = placed.laid
    task, rules = layer.task, layer.task.rules
    if rules.backing != "count" or task.ground.depth is not None:
        return ()
    framing = framing_of(task.surface, task.ground.bearings)
    if framing is None:
        return ()
    found = [*_joints(placed, framing), *_rows(layer, framing)]
    found += carrying(framing, task.surface.openings)
    if not any(one.carries for one in task.ground.over):  # a panel laid before asked for those
        found += _openings(layer, framing)
    if is_counted(task):
        margins = walls_of(task, layer.detail.board).margins
        walls = tuple(walls_beside_members(framing, task.surface, margins, rules.edge_nailer))
        found += [*walls, *(one for one in _hanging(placed, framing)
                            if not lies_on(framing, one, walls))]  # fmt: skip
    return merged(framing, found, rules.merge_blocks)


def _hanging(placed: PlacedBoards, framing: Framing) -> Iterator[Backer]:
    """Along edges that do not run with the members, behind the ends that hang there (18.2)."""
    ends = [one.line for one in placed.detail.borne if one.at in ("edge", "hip")]
    return behind_ends(framing, sides_around(placed.laid.task.surface), ends) if ends else iter(())


def _openings(layer: LaidBoards, framing: Framing) -> Iterator[Backer]:
    """Round each opening at which boards end, and that crosses members.

    One that only notches boards within a bay leaves them whole; over a panel none ends there.
    """
    boards, bare = layer.detail, is_counted(layer.task)
    ended = {
        name
        for one in boards.laid.cutouts
        if bare and one.effect == "cut_in_two"
        for name in boards.openings.get(one.opening, ())
    }
    cuts = ((row.cut, row.opening in ended) for row in layer.openings if row.courses)
    return framed(framing, cuts, layer.task.rules.opening_nailer)


def _joints(placed: PlacedBoards, framing: Framing) -> Iterator[Backer]:
    """A block behind each joint that lies between members (6.2)."""
    boards = placed.laid.detail
    for joint in placed.joints:
        if joint.on == "block":
            middle = boards.laid.course(joint.course).middle
            u, v = framing.frame.to(boards.frame.back((joint.at, middle)))
            for low, high in framing.bays_over((u, u), v):
                yield backer(framing, (low, v), (high, v), "block", "joint")


def _rows(layer: LaidBoards, framing: Framing) -> Iterator[Backer]:
    """Rows of blocks behind boards that run with the members, where those are asked for (15.2)."""
    boards, task = layer.detail, layer.task
    if not (boards.along_framing and task.layer.blocks):
        return
    region = _on_framing(boards, framing)
    _, _, near, far = bounds(region)
    rows = block_rows(boards.extent, task.rules.block_spacing)
    _check_number(layer, len(rows) * len(framing.faces))
    for row in rows:
        v = framing.frame.to(boards.frame.back((row, 0)))[1]
        for span in framing.across(region, min(max(v, near + 1), far - 1)):
            yield from blocks_under(framing, span, v, "row")


def _check_number(layer: LaidBoards, count: int) -> None:
    """Refuse more blocks than anybody would cut, before any is counted (15.2)."""
    if count > MOST_BLOCKS:
        text = f"rows this near to each other are {count} blocks; at most {MOST_BLOCKS} are counted"
        at = f"{layer.task.pointer}/rules/block_spacing"
        raise TradeRefused(Fault("blocks-too-many", text, at, rule="15.2"))


def _on_framing(boards: Boards, framing: Framing) -> Region:
    """The region that is boarded, in the frame of the members."""
    return framing.frame.region(
        tuple(
            Polygon(
                boards.frame.ring_back(one.outer),
                tuple(boards.frame.ring_back(hole) for hole in one.holes),
            )
            for one in boards.region
        )
    )
