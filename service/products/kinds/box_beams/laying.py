"""Box beams on a surface: their sets, segments and parts, the bays, and what boards lie beside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.edges import Edge
from service.geometry.plane import difference, union
from service.geometry.regions import in_order
from service.geometry.rings import Polygon, Region, bounds, rectangle, twice_area
from service.layout.beam_lines import BeamLine
from service.products.goods.lumber.spec import LumberProduct
from service.products.ground import Offered
from service.products.kinds.box_beams.blanks import check_edges, check_skins
from service.products.kinds.box_beams.findings import say_what_was_laid
from service.products.kinds.box_beams.parts import cores_of, skins_of
from service.products.kinds.box_beams.records import (
    Beam,
    BoxBeams,
    LaidBoxBeams,
    LaidSet,
)
from service.products.kinds.box_beams.rulings import Task
from service.products.kinds.box_beams.segments import beams_of, segments_of, strip_of
from service.products.kinds.box_beams.sets import laid_sets
from service.products.kinds.box_beams.sheet_skins import jointed
from service.products.layer import Areas, LaidLayer
from service.products.remarks import Remarks
from service.units.ticks import INCH
from service.units.writing import both

FIRST_EDGE = 2000
"""Edges of a request have lesser numbers."""


def lay(task: Task, said: Remarks) -> LaidBoxBeams:
    """Lay the beams of one layer; raises TradeRefused where they find no room."""
    check_edges(task)
    sets = laid_sets(task)
    detail = _detail(task, sets, beams_of(task, sets))
    say_what_was_laid(task, said, detail)
    if task.standing is not None:
        detail = detail.without(task.standing.kept)
    detail = jointed(task, detail, said)
    faces = sum(part.face(part.low, part.high).twice_area for part in detail.skins)
    return LaidLayer(
        task=task,
        direction=sets[0].direction,
        frame=sets[0].frame,
        areas=Areas(installed=faces, region=faces),
        openings=(),
        courses=(),
        alternatives=(),
        detail=detail,
        offered=Offered(
            cuts=_under(task, sets, detail.beams),
            edges=tuple(_edges(task, sets)),
            hides=_covered(task, sets, detail.beams),
            closes=_closes(task),
        ),
    )


def _detail(task: Task, sets: tuple[LaidSet, ...], beams: tuple[Beam, ...]) -> BoxBeams:
    """All parts of the beams, and what is clear between them."""
    segments = tuple(segments_of(task, sets, beams, task.rules.crossings))
    skins = tuple(skins_of(task, beams, segments))
    check_skins(task, skins)
    return BoxBeams(
        sets=sets,
        beams=beams,
        segments=segments,
        skins=skins,
        cores=tuple(cores_of(task, sets, beams, tuple(segments_of(task, sets, beams, "butted")))),
        bays=_bays(task, sets, beams),
        core=None if task.layer.core is None else task.named(task.layer.core, LumberProduct),
        hidden=_hidden(task, sets, beams),
    )


def _bays(task: Task, sets: Sequence[LaidSet], beams: Sequence[Beam]) -> Region:
    """What is clear between the beams; refused where nothing is (5.9)."""
    bays = in_order(difference(task.surface.parts, _covered(task, sets, beams)))
    if not bays:
        raise TradeRefused(Fault("no-bay", "beams leave no bay of this surface", task.pointer,
                                 rule="5.9"))  # fmt: skip
    return bays


def _closes(task: Task) -> Cure | None:
    """How boards laid after beams could lie beside them; those over boards are the last (5.9)."""
    if task.rules.mode != "boards_over":
        return None
    return Cure(f"{task.pointer}/mode", "boards_to_beam")


def _covered(task: Task, sets: Sequence[LaidSet], beams: Sequence[Beam]) -> Region:
    """What lies under the skins of all beams."""
    return union([_band(task, sets[beam.of], beam.line) for beam in beams])


def _under(task: Task, sets: Sequence[LaidSet], beams: Sequence[Beam]) -> Region:
    """What boards end at: nothing where they run through over the beams (5.9)."""
    if task.rules.mode == "boards_over":
        return ()
    return union([_band(task, sets[beam.of], _end_line(task, sets, beam)) for beam in beams])


def _band(task: Task, own: LaidSet, line: BeamLine) -> Region:
    """The strip of a beam across the surface, and an inch beyond its walls.

    So what is left beside it ends at its faces and at the walls, with nothing between the two.
    """
    low, high, near, far = bounds(own.frame.region(task.surface.parts))
    near = near - INCH if line.wall == "low" else line.near
    far = far + INCH if line.wall == "high" else line.far
    ring = rectangle(low - INCH, near, high + INCH, far)
    return (Polygon(own.frame.ring_back(ring)),)


def _end_line(task: Task, sets: Sequence[LaidSet], beam: Beam) -> BeamLine:
    """Where boards end under a beam: `tuck` within its faces, or at its core."""
    if task.rules.mode == "between_blocking":
        return sets[beam.of].blocked(beam.line)
    tuck = tuck_of(task, sets)
    return beam.line.within(tuck, tuck)


def tuck_of(task: Task, sets: Sequence[LaidSet]) -> int:
    """How far boards reach under each face; raises TradeRefused for more than there is (5.9)."""
    sections = [own.section(line) for own in sets for line in own.lines]
    has_core = task.layer.core is not None or task.layer.core_width is not None
    most = min(
        (one.width if one.half else one.width // 2) - INCH // 8
        if not has_core
        else (one.width - one.core) // (1 if one.half else 2)
        for one in sections
    )
    tuck = task.rules.tuck(most)
    if tuck > most:
        at = f"{task.pointer}/rules/tuck"
        raise TradeRefused(
            Fault(
                "tuck-too-deep",
                f"boards cannot reach {both(tuck)} under a beam: {both(most)} is free there",
                at,
                cure=Cure(at, Ticks(most)),
                rule="5.9",
                measure=tuck,
                limit=most,
            )
        )
    return tuck


def _edges(task: Task, sets: Sequence[LaidSet]) -> Iterator[Edge]:
    """The edges of what boards end at: without a gap where skins cover them later (5.9)."""
    if task.rules.mode != "boards_to_beam":
        return
    tuck, number = tuck_of(task, sets), FIRST_EDGE
    for own in sets:
        far = max(own.frame.to(corner)[0] for corner in task.surface.outline)
        for line in own.lines:
            inner = line.within(tuck, tuck)
            for at, wall in ((inner.near, "low"), (inner.far, "high")):
                if line.wall != wall:
                    start, end = own.frame.back((0, at)), own.frame.back((far, at))
                    yield Edge(number, start, end, "beam", 0, task.pointer)
                    number += 1


def _hidden(task: Task, sets: Sequence[LaidSet], beams: Sequence[Beam]) -> dict[int, int]:
    """What of each beam's strip boards that end at beams would not cover, half square ticks (16.8).

    Where the boards do run through over them, and what crossings hide is the first beam's.
    """
    if task.rules.mode != "boards_over" or not task.ground.over:
        return {}
    tuck = tuck_of(task, sets)
    found: dict[int, int] = {}
    taken: Region = ()
    for beam in beams:
        own = sets[beam.of]
        strip = union(
            [(Polygon(own.frame.ring_back(one.outer)),)
             for one in strip_of(own.frame.region(task.surface.parts),
                                 beam.line.within(tuck, tuck))]
        )  # fmt: skip
        found[beam.number] = twice_area(difference(strip, taken))
        taken = union([taken, strip])
    return found
