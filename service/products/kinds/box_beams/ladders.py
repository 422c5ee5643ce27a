"""Blocks between members that a beam asks for (15.6)."""

from __future__ import annotations

from collections.abc import Iterator

from service.geometry.rings import Polygon
from service.layout.blocks import block_rows, tape_marks
from service.layout.framing import Framing, framing_of
from service.products.backing import Backer, blocks_under, merged
from service.products.kinds.box_beams.records import Beam, LaidBoxBeams, LaidSet
from service.units.ticks import INCH, SIXTY_FOURTH

END = 3 * INCH // 4
"""Half a block lies between its middle and the end of a beam."""

HAIR = 2 * SIXTY_FOURTH
"""Half of a stretch that lies in one bay."""


def blocks_of(layer: LaidBoxBeams, beam: Beam) -> tuple[Backer, ...]:
    """The blocks of one beam: a ladder where it runs between members, else at ends and crossings.

    None where it lies on a member, where something else carries it, or where it runs oblique to
    the members.
    """
    task = layer.task
    if task.ground.depth is not None or task.ground.backing is not None:
        return ()
    framing = framing_of(task.surface, task.ground.bearings)
    if framing is None:
        return ()
    own = layer.detail.sets[beam.of]
    found: list[Backer] = []
    for run in beam.runs:
        found += _blocks(layer, framing, own, beam, run)
    return merged(framing, found, task.rules.merge_blocks)


def _blocks(
    layer: LaidBoxBeams, framing: Framing, own: LaidSet, beam: Beam, run: Polygon
) -> Iterator[Backer]:
    """The blocks over one run of a beam, from wall to wall."""
    line, (low, high) = own.blocked(beam.line), run.box[:2]
    (a, b), (c, d) = (framing.frame.to(own.frame.back((at, line.near))) for at in (low, high))
    (e, f) = framing.frame.to(own.frame.back((low, line.far)))
    if abs(c - a) <= SIXTY_FOURTH:
        cleat = (min(a, e), max(a, e))
        if not any(first < cleat[1] and last > cleat[0] for first, last in framing.faces):
            for at in _ladder(layer, beam, low, high):
                _, v = framing.frame.to(own.frame.back((at, line.middle)))
                yield from blocks_under(framing, cleat, v, "beam")
    elif abs(d - b) <= SIXTY_FOURTH:
        for at in _ends_and_crossings(layer, beam, low, high):
            u, _ = framing.frame.to(own.frame.back((at, line.middle)))
            if not any(first - INCH <= u <= last + INCH for first, last in framing.faces):
                yield from blocks_under(framing, (u - HAIR, u + HAIR), (b + f) // 2, "beam")


def _crossings(layer: LaidBoxBeams, beam: Beam, low: int, high: int) -> list[tuple[int, int]]:
    if len(layer.detail.sets) < 2:
        return []
    others = layer.detail.sets[1 - beam.of].lines
    return [(one.near, one.far) for one in others if low < one.near and one.far < high]


def _ladder(layer: LaidBoxBeams, beam: Beam, low: int, high: int) -> list[int]:
    """Stations of blocks over a beam: at most so far apart, at ends, beside crossings."""
    rules = layer.task.rules
    rows = block_rows(
        high - low, rules.ladder_spacing, marks=tape_marks(rules.block_marks, rules.cut_to)
    )
    found = [low + at for at in rows]
    if len(found) == 1:
        return found
    for near, far in _crossings(layer, beam, low, high):
        found += [near - END, far + END]
    return sorted(found)


def _ends_and_crossings(layer: LaidBoxBeams, beam: Beam, low: int, high: int) -> list[int]:
    """Stations where a beam across the members needs more than the members."""
    middles = [(near + far) // 2 for near, far in _crossings(layer, beam, low, high)]
    return [low + END, *middles, high - END]
