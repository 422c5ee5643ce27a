"""Box beams that are up where a change lays them otherwise: what stays of them (21.4)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from service.geometry.rings import Point
from service.products.kinds.box_beams.records import LaidBoxBeams, Part, PlacedBoxBeams
from service.products.standing import OpenedUp, Opening, kept_whole


def open_up(placed: PlacedBoxBeams, after: LaidBoxBeams, opening: Opening) -> OpenedUp:
    """A skin or a core stays if it lies, is ripped and ends as before; any other is made anew.

    Joints of what is made keep off those of what stays (16.6).
    """
    before, task = placed.laid.detail, placed.laid.task
    pieces: dict[str, list[str]] = {}
    for row in placed.pieces:
        pieces.setdefault(row.run, []).append(row.id)
    made = [
        (part, run)
        for part in (*before.skins, *before.cores)
        if (run := f"{task.at}.{part.label}") in pieces
    ]
    was = {before.known_by(part): pieces[run] for part, run in made}
    cores = after.detail.cores if after.detail.core is not None else ()
    now = {after.detail.known_by(part) for part in (*after.detail.skins, *cores)}
    found = kept_whole(was, now, opening.up, after.task.pointer)
    stay = [part for part, _ in made if before.known_by(part) in found.standing.kept]
    return replace(found, standing=replace(found.standing, joints=tuple(_joints(placed, stay))))


def _joints(placed: PlacedBoxBeams, stay: list[Part]) -> Iterator[Point]:
    """Where pieces of the parts that stay meet, on the middle of their beams."""
    detail = placed.laid.detail
    middles = {beam.number: beam.line.middle for beam in detail.beams}
    told = {(row.beam, row.segment, row.part): row.joints for row in placed.beam_parts}
    for part in stay:
        frame = detail.sets[part.of].frame
        for at in told[part.beam, part.segment, part.name]:
            yield frame.back((at, middles[part.beam]))
