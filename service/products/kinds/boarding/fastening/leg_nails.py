"""Face fasteners of legs: at the sides of holes where they are narrow or no member bears (18.4)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from service.errors import Finding
from service.layout.runs import NOTHING, Cutout
from service.products.kinds.boarding.findings.borne_ends import is_counted
from service.products.kinds.boarding.findings.hanging_ends import faces_at
from service.products.kinds.boarding.findings.places_in_words import by_station
from service.products.kinds.boarding.records import BoardPiece, Boards, LaidBoards
from service.products.remarks import Remarks
from service.units.ticks import INCH
from service.units.writing import both, counted

NARROW_LEG = 2 * INCH
"""A leg under this splits off at the side of its hole unless it is fastened there."""


@dataclass(frozen=True, slots=True)
class LegNail:
    """A face fastener of a leg at one side of its hole: how far off a member, and if one bears it.

    `off` is measured along the boards; None where they run with the members.
    """

    cutout: Cutout
    at: int
    off: int | None
    borne: bool


def leg_nails(layer: LaidBoards, piece: BoardPiece) -> Iterator[LegNail]:
    """One at each side of a hole at which a leg is narrow, or off the members.

    A step of the outline has one side: its other is the end of the run. Boards that run with the
    members are fastened all along, so that only narrow legs have one more.
    """
    boards: Boards = layer.detail
    for cutout in piece.run.cutouts:
        for leg, middle in _legs(boards, cutout):
            for at in _sides(piece, cutout):
                off = _off(boards, at, middle)
                borne = off is None or off <= layer.task.rules.hanging_end
                if leg < NARROW_LEG or not borne:
                    yield LegNail(cutout, at, off, borne)


def say_unbacked(layer: LaidBoards, said: Remarks, nails: Iterable[LegNail]) -> None:
    """One finding for the legs of a layer that have neither framing nor anything else behind."""
    found = [one for one in nails if not one.borne and not _is_backed(layer, one.cutout)]
    if not found:
        return
    limit = layer.task.rules.hanging_end
    places = by_station([(one.at, one.cutout.course) for one in found])
    text = (
        f"what is left of a board beside a cut-out has no member within {both(limit)} and nothing "
        f"behind it at {counted(len(found), 'places')}: {places}; set a block behind each: its "
        "face nail is counted"
    )
    most = max(one.off or 0 for one in found)
    said.find(Finding("leg-unbacked", layer.task.at, text, rule="18.4", measure=most, limit=limit))


def _legs(boards: Boards, cutout: Cutout) -> Iterator[tuple[int, int]]:
    """The legs beside a hole, with the station of their middles across the boards."""
    course = boards.laid.course(cutout.course)
    below, above = cutout.legs
    if below:
        yield below, course.low + below // 2
    if above:
        yield above, course.high - above // 2


def _sides(piece: BoardPiece, cutout: Cutout) -> Iterator[int]:
    """The sides of a hole within a piece, but those that are ends of its run."""
    run, cut = piece.run, piece.cut
    if cutout.low > run.low + NOTHING and cut.low < cutout.low < cut.high:
        yield cutout.low
    if cutout.high < run.high - NOTHING and cut.low < cutout.high < cut.high:
        yield cutout.high


def _off(boards: Boards, at: int, across: int) -> int | None:
    """How far from there along the boards the nearest member lies; None where they cross none."""
    faces = faces_at(boards.bearings, across)
    return min((max(0, low - at, at - high) for low, high in faces), default=None)


def _is_backed(layer: LaidBoards, cutout: Cutout) -> bool:
    """Whether something else is behind: a panel, the frame of the opening, or the framer's own."""
    task = layer.task
    if task.ground.backing is not None or (task.rules.backing == "none" and _on_members(layer)):
        return True
    return is_counted(task) and _is_framed(layer.detail, cutout)


def _on_members(layer: LaidBoards) -> bool:
    return layer.task.ground.depth is None


def _is_framed(boards: Boards, cutout: Cutout) -> bool:
    """Whether backing frames the opening: boards end at it, or it crosses a member (5.7, 15.4)."""
    own = [one for one in boards.laid.cutouts if cutout.opening and one.opening == cutout.opening]
    return any(one.effect == "cut_in_two" or _crosses(boards, one) for one in own)


def _crosses(boards: Boards, cutout: Cutout) -> bool:
    middle = boards.laid.course(cutout.course).middle
    return any(
        cutout.low < (a + b) // 2 < cutout.high for a, b in faces_at(boards.bearings, middle)
    )
