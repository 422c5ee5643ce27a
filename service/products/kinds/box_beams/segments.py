"""Beams in the surface, and their segments between walls and crossings (16.3, 16.4)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Literal

from service.geometry.plane import clip_to_boxes, without_needles
from service.geometry.rings import Polygon, Region, bounds
from service.geometry.strips import refined
from service.layout.beam_lines import BeamLine
from service.layout.bearings import bearings_of, line_of
from service.products.kinds.box_beams.records import Beam, LaidSet, Meets, Segment
from service.products.kinds.box_beams.rulings import Task

Style = Literal["butted", "mitred"]


def strip_of(region: Region, line: BeamLine) -> Region:
    """What of a region lies under a beam from its near to its far face."""
    return pieces_of(region, line, ())


def pieces_of(region: Region, line: BeamLine, cuts: Sequence[BeamLine]) -> Region:
    """What of a region lies under a beam, less what beams across it take."""
    low, high, _, _ = bounds(region)
    edges = [low, *(at for one in sorted(cuts) for at in (one.near, one.far)), high]
    boxes = [
        (a, b, line.near, line.far)
        for a, b in list(pairwise(edges))[::2]
        if a < b and line.near < line.far
    ]
    fine = refined(region, [line.near, line.far], axis=1)
    fine = refined(fine, sorted({at for box in boxes for at in box[:2]}), axis=0)
    return without_needles(tuple(part for found in clip_to_boxes(fine, boxes) for part in found))


def beams_of(task: Task, sets: Sequence[LaidSet]) -> tuple[Beam, ...]:
    """Every beam from wall to wall, numbered set by set from the low side on."""
    found: list[Beam] = []
    least = task.rules.min_touch
    for of, own in enumerate(sets):
        region = own.frame.region(task.surface.parts)
        bearings = bearings_of(task.ground.bearings, own.frame)
        for line in own.lines:
            runs = tuple(sorted(strip_of(region, line), key=lambda one: one.box))
            members = line_of(bearings, line.middle)
            hits = sum(len(members.touched(*one.box[:2], least)) for one in runs)
            found.append(Beam(len(found) + 1, of, line, own.section(line), runs, members, hits))
    return tuple(found)


def segments_of(
    task: Task, sets: Sequence[LaidSet], beams: Sequence[Beam], style: Style
) -> Iterator[Segment]:
    """The lengths that each beam is made in.

    The through set runs from wall to wall and the other butts into all of its beams; where
    crossings are mitred full beams of both sets are cut where they cross, and half beams stay as
    they are.
    """
    for beam in beams:
        cuts = _cuts(sets, beam, style)
        region = sets[beam.of].frame.region(task.surface.parts)
        shapes = sorted(pieces_of(region, beam.line, cuts), key=lambda one: one.box)
        for number, shape in enumerate(shapes, 1):
            yield _segment(beam, number, shape, cuts, style)


def _cuts(sets: Sequence[LaidSet], beam: Beam, style: Style) -> list[BeamLine]:
    """The beams across it that a beam is cut at."""
    if len(sets) < 2:
        return []
    other = sets[1 - beam.of].lines
    if beam.of == 1:
        return list(other)
    crossed = style == "mitred" and beam.line.wall is None
    return [one for one in other if one.wall is None] if crossed else []


def _segment(
    beam: Beam, number: int, shape: Polygon, cuts: Sequence[BeamLine], style: Style
) -> Segment:
    low, high = shape.box[:2]
    met = [next((one for one in cuts if one.far == low), None),
           next((one for one in cuts if one.near == high), None)]  # fmt: skip
    first, last = (_meets(beam, one, style) for one in met)
    across = (0 if met[0] is None else met[0].width, 0 if met[1] is None else met[1].width)
    return Segment(beam.number, number, beam.line, shape, (first, last), across)


def _meets(beam: Beam, other: BeamLine | None, style: Style) -> Meets:
    if other is None:
        return "wall"
    return "mitred" if style == "mitred" and beam.line.wall is other.wall is None else "butted"
