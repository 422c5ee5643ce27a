"""What is said of walls that a beam is not built for: aslant at an end, or along it (16.3)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import atan2, degrees
from typing import TypeAlias

from service.errors import Finding
from service.geometry.plane import clip_to_boxes
from service.geometry.rings import Polygon
from service.geometry.strips import refined
from service.products.kinds.box_beams.part_ends import SCRIBED
from service.products.kinds.box_beams.records import Beam, BoxBeams
from service.products.kinds.box_beams.rulings import Task
from service.products.remarks import Remarks
from service.units.ticks import SIXTY_FOURTH
from service.units.writing import both, listed

Span: TypeAlias = tuple[int, int]


def say_of_walls(task: Task, said: Remarks, laid: BoxBeams) -> None:
    """Half beams that no wall lies beside, beams that walls cut into, and ends that are aslant."""
    for beam in laid.beams:
        short = sum(_not_whole(run, beam) for run in beam.runs)
        if short:
            said.find(_beside(task, beam, short))
    aslant = {
        beam.number: angles
        for beam in laid.beams
        if (angles := sorted({angle for run in beam.runs for angle in _off_square(run, beam)}))
    }
    if aslant:
        said.find(_aslant(task, aslant))


def _beside(task: Task, beam: Beam, short: int) -> Finding:
    """A wall along the beam that is not where it should be, over `short` of its length."""
    length = sum(run.box[1] - run.box[0] for run in beam.runs)
    if beam.line.wall is None:
        code, text = "wall-in-beam", (
            f"a wall cuts into the width of beam {beam.number} over {both(short)} of its "
            f"{both(length)}: its parts are told at their full width, each as long as it reaches; "
            "move the beam until its side lies at the wall or clear of it"
        )  # fmt: skip
    else:
        code, text = "no-wall-beside", (
            f"half beam {beam.number} is taken off straight, {both(length)} long, and over "
            f"{both(short)} of that no wall runs along it, for it slants or steps there: let the "
            "set run along that wall (`direction`), or leave it out of `walls`"
        )  # fmt: skip
    return Finding(code, task.at, text, rule="16.3", measure=short)


def _aslant(task: Task, angles: dict[int, list[float]]) -> Finding:
    told = [
        f"beam {number} by {listed([f'{one:g}' for one in own])} degrees"
        for number, own in angles.items()
    ]
    return Finding(
        "beam-end-aslant",
        task.at,
        f"beams end at walls that are not square to them, {listed(told)}: bottoms and cores are "
        "cut at that angle there and sides through their thickness, all as long as their long "
        "points",
        rule="16.3",
    )


def _not_whole(run: Polygon, beam: Beam) -> int:
    """Over how much of a run its width is not all there, or its wall not beside it.

    Nothing where it only ends at walls that run more across it than along it.
    """
    low, high, *_ = run.box
    whole = list(_both(*(_along(run, at) for at in _faces(beam))))
    if len(whole) == 1:
        (start, end), wide = whole[0], beam.line.width
        if max(start - low, high - end) <= wide:
            return 0
    return high - low - sum(end - start for start, end in whole)


def _faces(beam: Beam) -> Span:
    """Where both faces of a beam are looked for: within what is scribed."""
    within = min(SCRIBED, beam.line.width // 4)
    return beam.line.near + within, beam.line.far - within


def _along(run: Polygon, at: int) -> list[Span]:
    """From where to where a run lies on a line along it."""
    low, high, near, far = run.box
    if run.is_box:
        return [(low, high)] if near <= at <= far else []
    band = (at, at + SIXTY_FOURTH)
    (found,) = clip_to_boxes(refined((run,), band, axis=1), [(low, high, *band)])
    return sorted(one.box[:2] for one in found)


def _both(one: Sequence[Span], other: Sequence[Span]) -> Iterator[Span]:
    """What two lists of spans have in common."""
    for a, b in one:
        for c, d in other:
            if max(a, c) < min(b, d):
                yield max(a, c), min(b, d)


def _off_square(run: Polygon, beam: Beam) -> Iterator[float]:
    """By how many degrees the walls that a run ends at are off square to it, more than is scribed.

    Walls that run more along the beam than across it are no ends.
    """
    ring = run.outer
    for (u0, v0), (u1, v1) in zip(ring, ring[1:] + ring[:1], strict=True):
        along, across = abs(u1 - u0), abs(v1 - v0)
        if along * beam.line.width > SCRIBED * across and along <= across + SIXTY_FOURTH:
            yield round(2 * degrees(atan2(along, across))) / 2
