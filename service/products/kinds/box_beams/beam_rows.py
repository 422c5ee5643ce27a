"""The rows of beams, bays and parts as they are answered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.geometry.rings import around, bounds
from service.products.beam_rows import BayRow, BeamPartRow, BeamRow
from service.products.kinds.box_beams.ladders import blocks_of
from service.products.kinds.box_beams.records import Beam, LaidBoxBeams, Part
from service.products.rows import PieceRow


def beam_rows(layer: LaidBoxBeams) -> tuple[BeamRow, ...]:
    """Every beam from wall to wall."""
    return tuple(_beam(layer, beam) for beam in layer.detail.beams)


def _beam(layer: LaidBoxBeams, beam: Beam) -> BeamRow:
    own = layer.detail.sets[beam.of]
    mitred = layer.task.rules.crossings == "mitred" and len(layer.detail.sets) > 1
    lies = "through" if own.through else "butting"
    low = min((one.box[0] for one in beam.runs), default=0)
    high = max((one.box[1] for one in beam.runs), default=0)
    segments = [one for one in layer.detail.segments if one.beam == beam.number]
    middle = beam.line.middle
    return BeamRow(
        surface=layer.task.surface.id,
        layer=layer.task.layer_id,
        beam=beam.number,
        lies="mitred" if mitred and beam.line.wall is None else lies,  # type: ignore[arg-type]  # one of two
        wall=beam.line.wall or "none",
        direction=round(float(own.direction), 6),
        start=own.frame.back((low, middle)),
        end=own.frame.back((high, middle)),
        width=beam.section.width,
        drop=beam.section.drop,
        core=beam.section.core,
        segments=len(segments),
        length=sum(one.high - one.low for one in segments),
        hits=beam.hits,
        blocks=len(blocks_of(layer, beam)),
        hidden=layer.detail.hidden.get(beam.number, 0),
    )


def bay_rows(layer: LaidBoxBeams) -> tuple[BayRow, ...]:
    """Every bay, with what is clear in it along the through beams and across them."""
    found = []
    for number, bay in enumerate(layer.detail.bays, 1):
        low, high, near, far = bounds((bay,))
        u0, u1, v0, v1 = bounds(layer.frame.region((bay,)))
        found.append(
            BayRow(
                surface=layer.task.surface.id,
                layer=layer.task.layer_id,
                bay=number,
                low=(low, near),
                high=(high, far),
                along=u1 - u0,
                across=v1 - v0,
                area=bay.twice_area,
                perimeter=sum(around(ring) for ring in bay.rings),
                corners=sum(len(ring) for ring in bay.rings),
            )
        )
    return tuple(found)


def part_rows(
    layer: LaidBoxBeams, joints: Mapping[str, Sequence[int]], pieces: Sequence[PieceRow]
) -> tuple[BeamPartRow, ...]:
    """Every part of every segment, with its pieces."""
    parts = sorted(
        [*layer.detail.skins, *layer.detail.cores],
        key=lambda one: (one.beam, one.segment, _ORDER[one.name]),
    )
    made: dict[str, list[str]] = {}
    for piece in pieces:
        made.setdefault(piece.run, []).append(piece.id)
    return tuple(
        _part(layer, one, tuple(joints.get(one.label, ())),
              tuple(made.get(f"{layer.task.at}.{one.label}", ())))
        for one in parts
    )  # fmt: skip


_ORDER = {"near side": 0, "bottom": 1, "far side": 2, "core": 3}


def _part(
    layer: LaidBoxBeams, part: Part, joints: tuple[int, ...], pieces: tuple[str, ...]
) -> BeamPartRow:
    core = layer.detail.core
    product = layer.task.product.id if part.name != "core" else (core[0].id if core else None)
    ends = part.meets if part.name != "core" else _square(part)
    (section,) = (one.section for one in layer.detail.beams if one.number == part.beam)
    return BeamPartRow(
        surface=layer.task.surface.id,
        layer=layer.task.layer_id,
        beam=part.beam,
        segment=part.segment,
        part=part.name,
        product=product,
        length=part.length,
        width=part.width,
        shows=section.shows(part.name),
        bevels=part.bevels,
        ends=ends,
        joints=joints,
        pieces=pieces,
    )


def _square(part: Part) -> tuple[str, str]:
    """Cores butt wherever skins are mitred."""
    first, last = ("wall" if one == "wall" else "butted" for one in part.meets)
    return first, last
