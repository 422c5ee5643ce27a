"""Box beams that are up where a change lays them otherwise: what stays of them (21.4)."""

from __future__ import annotations

from collections.abc import Iterator

from service.geometry.rings import Point
from service.products.kinds.box_beams.records import BoxBeams, LaidBoxBeams, Part, PlacedBoxBeams
from service.products.kinds.box_beams.recutting import recut
from service.products.rows import PieceRow
from service.products.standing import OpenedUp, Opening, Standing, kept_whole


def open_up(placed: PlacedBoxBeams, after: LaidBoxBeams, opening: Opening) -> OpenedUp:
    """A skin or a core stays if it lies, is ripped and ends as before.

    One that only became shorter is taken off, cut at the ends that moved and put back; any other
    is made anew. Joints of what is made keep off those of what stays (16.6).
    """
    before, to_be = placed.laid.detail, after.detail
    made = _parts_with_pieces(placed)
    was = {before.known_by(part): [row.id for row in rows] for part, rows in made.items()}
    now = {to_be.known_by(part) for part in _parts(to_be)}
    found = kept_whole(was, now, opening.up, after.task.pointer)
    cut = tuple(recut(placed, after, opening, made, found.standing.kept))
    stay = [part for part in made if before.known_by(part) in found.standing.kept]
    kept = found.standing.kept | {to_be.known_by(one.new) for one in cut}
    joints = (*_joints(placed, stay), *(at for one in cut for at in one.joints_at(to_be)))
    return OpenedUp(
        Standing(kept=kept, joints=joints),
        (*found.stays, *(stay for one in cut for stay in one.stays(after))),
        complete=now <= kept,
    )


def _parts(detail: BoxBeams) -> tuple[Part, ...]:
    """All parts that are made of something: cores only of a lumber that is named."""
    return *detail.skins, *(detail.cores if detail.core is not None else ())


def _parts_with_pieces(placed: PlacedBoxBeams) -> dict[Part, list[PieceRow]]:
    """The parts of which there are pieces, each with its own in their order."""
    pieces: dict[str, list[PieceRow]] = {}
    for row in placed.pieces:
        pieces.setdefault(row.run, []).append(row)
    at = placed.laid.task.at
    named = ((part, f"{at}.{part.label}") for part in _parts(placed.laid.detail))
    return {part: pieces[run] for part, run in named if run in pieces}


def _joints(placed: PlacedBoxBeams, stay: list[Part]) -> Iterator[Point]:
    """Where pieces of the parts that stay meet, on the middle of their beams."""
    detail = placed.laid.detail
    middles = {beam.number: beam.line.middle for beam in detail.beams}
    told = {(row.beam, row.segment, row.part): row.joints for row in placed.beam_parts}
    for part in stay:
        frame = detail.sets[part.of].frame
        for at in told[part.beam, part.segment, part.name]:
            yield frame.back((at, middles[part.beam]))
