"""The marks of beams and bays on their surface's page."""

from __future__ import annotations

from collections.abc import Iterator

from service.geometry.plane import difference, union
from service.geometry.rings import Polygon, Region, bounds
from service.products.drawing import Callout, DrawnLayer, DrawnPiece, Mark, Slice, width_text
from service.products.kinds.box_beams.records import Beam, LaidBoxBeams, PlacedBoxBeams
from service.units.writing import size


def draw(placed: PlacedBoxBeams, unit: str) -> DrawnLayer:
    """Each beam by its number, and each bay with its clear size."""
    layer = placed.laid
    marks: list[Mark] = [*_beams(layer, unit), *_bays(layer, unit)]
    cut = Slice("film", 0, layer.task.product.id)
    return DrawnLayer(layer.task.layer_id, "box_beams", tuple(marks), _notes(layer, unit), cut)


def _beams(layer: LaidBoxBeams, unit: str) -> Iterator[DrawnPiece]:
    """Beams as they lie in plan, through ones whole, others between them."""
    sets = layer.detail.sets
    taken: Region = ()
    for beam in layer.detail.beams:
        own = union([(Polygon(sets[beam.of].frame.ring_back(run.outer)),) for run in beam.runs])
        for part in difference(own, taken):
            wide = width_text(beam.section.width, unit)
            yield DrawnPiece(part.rings, f"beam {beam.number}", size=wide)
        taken = union([taken, own])


def _bays(layer: LaidBoxBeams, unit: str) -> Iterator[Callout]:
    """The clear size of each bay, along the through beams by across them."""
    for number, bay in enumerate(layer.detail.bays, 1):
        low, high, near, far = bounds((bay,))
        u0, u1, v0, v1 = bounds(layer.frame.region((bay,)))
        text = f"{width_text(u1 - u0, unit)} x {width_text(v1 - v0, unit)}"
        at = (low + high) // 2, (near + far) // 2
        yield Callout(at, bay.outer, f"bay {number}: {text}", f"bay {number}: {text}")


def _notes(layer: LaidBoxBeams, unit: str) -> tuple[str, ...]:
    task, detail = layer.task, layer.detail
    sections = {beam.section: None for beam in detail.beams}
    sizes = "; ".join(
        f"{size(one.width, unit)} wide, {size(one.drop, unit)} deep" for one in sections
    )
    return (
        f"Beams of {task.product.id}: {len(detail.beams)}, {sizes}; bays: {len(detail.bays)}, "
        "clear sizes with the skins on",
        f"Crossings {task.rules.crossings}; {_run_of(detail.beams)}",
        {
            "boards_over": "What was laid before runs through over the beams",
            "boards_to_beam": "Boards reach under the skins, which go on after them",
            "between_blocking": "Boards end at the faces of the cores with their gap",
        }[task.rules.mode],
    )


def _run_of(beams: tuple[Beam, ...]) -> str:
    """Which beams run through."""
    first = [beam.number for beam in beams if beam.of == 0]
    return f"beams {first[0]} to {first[-1]} run through" if first else "none runs through"
