"""What must stand behind boards: where ends hang, round openings, under joints, in rows (15)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from service.geometry.frame import frame_of
from service.geometry.plane import difference, union
from service.layout.framing import Framing
from service.products.backed_edges import (
    behind_ends,
    lies_on,
    sides_around,
    walls_beside_members,
)
from service.products.backing import Backer, backer, merged
from service.products.framed_openings import beside_casings, carrying, cut_behind, framed
from service.products.kinds.boarding.findings.borne_ends import is_counted
from service.products.kinds.boarding.laying.direction import direction_of
from service.products.kinds.boarding.laying.gaps import walls_of
from service.products.kinds.boarding.legs import bare, leg_blocks, leg_nails
from service.products.kinds.boarding.records import LaidBoards, PlacedBoards


def back(placed: PlacedBoards) -> tuple[Backer, ...]:
    """Nailers, headers and blocks behind a layer of boards; none unless they are counted."""
    layer = placed.laid
    task, rules = layer.task, layer.task.rules
    if rules.backing != "count" or task.ground.depth is not None:
        return ()
    framing = task.ground.framed
    if framing is None:
        return ()
    found = [*_joints(placed, framing), *_rows(layer, framing), *_legs(placed)]
    found += carrying(framing, task.surface.bare_openings)
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
    surface, limit = layer.task.surface, layer.task.rules.opening_nailer
    rows = [(cut_behind(surface, row), row) for row in layer.openings if row.courses]
    yield from framed(framing, ((cut, row.opening in ended) for cut, row in rows), limit)
    cased = ((cut, row.cut) for cut, row in rows if cut != row.cut and row.opening in ended)
    yield from beside_casings(framing, cased, limit)


def _legs(placed: PlacedBoards) -> Iterable[Backer]:
    """A block behind each leg that has nothing else there (18.4)."""
    layer = placed.laid
    nails = (one for piece in placed.detail.all for one in leg_nails(layer, piece))
    alone = bare(layer, nails)
    return leg_blocks(layer, alone).values() if alone else ()


def _joints(placed: PlacedBoards, framing: Framing) -> Iterator[Backer]:
    """A block behind each joint that lies between members, and on no row of them (6.2)."""
    boards = placed.laid.detail
    for joint in placed.joints:
        if joint.on == "block" and joint.bearing is None:
            middle = boards.laid.course(joint.course).middle
            u, v = framing.frame.to(boards.frame.back((joint.at, middle)))
            for low, high in framing.bays_over((u, u), v):
                yield backer(framing, (low, v), (high, v), "block", "joint")


def _rows(layer: LaidBoards, framing: Framing) -> Iterator[Backer]:
    """A block in each clear bay of each row behind boards along the members (15.1, 15.2).

    Rows end at openings; where plates stand across the ends none is cut for those.
    """
    boards, task = layer.detail, layer.task
    if not boards.rows:
        return
    cut = union(one.cut for one in task.surface.openings)
    room = difference(framing.outline, framing.frame.region(cut))
    straight = frame_of(task.surface.outline, direction_of(task))
    for row in boards.rows[1:-1] if task.rules.plates else boards.rows:
        v = framing.frame.to(straight.back((row, 0)))[1]
        for span in framing.across(room, v):
            for low, high in framing.clear(span):
                yield backer(framing, (low, v), (high, v), "block", "row")
