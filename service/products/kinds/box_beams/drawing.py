"""The marks of beams and bays on their surface's page."""

from __future__ import annotations

from collections.abc import Iterator

from service.geometry.plane import difference, union
from service.geometry.rings import Polygon, Region, bounds
from service.products.drawing import (
    CentreLine,
    Detail,
    DrawnLayer,
    DrawnPiece,
    Mark,
    Ring,
    State,
    lie_of_course,
    station_text,
    width_text,
)
from service.products.kinds.box_beams.records import (
    Beam,
    LaidBoxBeams,
    PlacedBoxBeams,
    Section,
)
from service.units.ticks import SIXTY_FOURTH
from service.units.writing import tape_size


def draw(placed: PlacedBoxBeams, unit: str) -> DrawnLayer:
    """Each beam by its number, and each bay with its clear size."""
    layer = placed.laid
    marks: list[Mark] = [*_beams(layer, unit), *_bays(layer, unit), *_centres(layer, unit)]
    return DrawnLayer(
        layer=layer.task.layer_id,
        kind="box_beams",
        marks=tuple(marks),
        notes=_notes(layer, unit),
        details=tuple(_sections(layer, unit)),
    )


def _beams(layer: LaidBoxBeams, unit: str) -> Iterator[DrawnPiece]:
    """Beams as they lie in plan, through ones whole, others between them.

    Where some of the layer is up, those are new of which parts are made.
    """
    sets = layer.detail.sets
    made = {part.beam for part in (*layer.detail.skins, *layer.detail.cores)}
    is_up = layer.task.standing is not None
    taken: Region = ()
    for beam in layer.detail.beams:
        own = union([(Polygon(sets[beam.of].frame.ring_back(run.outer)),) for run in beam.runs])
        for part in difference(own, taken):
            wide = width_text(beam.section.width, unit)
            state: State = "new" if is_up and beam.number in made else "as_is"
            name = f"beam {beam.number}"
            yield DrawnPiece(part.rings, name, size=wide, state=state, line=beam.number)
        taken = union([taken, own])


def _centres(layer: LaidBoxBeams, unit: str) -> Iterator[CentreLine]:
    """The centre line of each beam that lies level or upright: `2: 4' 6"`."""
    outline = layer.task.surface.outline
    low = [min(corner[axis] for corner in outline) for axis in (0, 1)]
    for beam in layer.detail.beams:
        frame, middle = layer.detail.sets[beam.of].frame, beam.line.middle
        start, end = (frame.back((run, middle)) for run in _reach(beam))
        lie = lie_of_course(start, end)
        axis = 1 if lie == "level" else 0
        if abs(start[axis] - end[axis]) <= SIXTY_FOURTH:
            station = station_text(start[axis] - low[axis], unit)
            yield CentreLine(start, end, f"{beam.number}: {station}")


def _reach(beam: Beam) -> tuple[int, int]:
    """From where to where along its set a beam goes."""
    return min(run.box[0] for run in beam.runs), max(run.box[1] for run in beam.runs)


def _bays(layer: LaidBoxBeams, unit: str) -> Iterator[DrawnPiece]:
    """The clear size of each bay, along the through beams by across them."""
    for number, bay in enumerate(layer.detail.bays, 1):
        low, high, near, far = bounds(layer.frame.region((bay,)))
        clear = f"{width_text(high - low, unit)} x {width_text(far - near, unit)}"
        yield DrawnPiece(bay.rings, f"bay {number}", size=clear)


def _notes(layer: LaidBoxBeams, unit: str) -> tuple[str, ...]:
    task, detail = layer.task, layer.detail
    sections = {beam.section: None for beam in detail.beams}
    sizes = "; ".join(
        f"{tape_size(one.width, unit)} wide, {tape_size(one.drop, unit)} deep" for one in sections
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
    if len(first) == 1:
        return f"beam {first[0]} runs through"
    return f"beams {first[0]} to {first[-1]} run through" if first else "none runs through"


def _sections(layer: LaidBoxBeams, unit: str) -> Iterator[Detail]:
    """Each beam that differs, cut across, with what its skins and core measure."""
    numbers: dict[Section, list[int]] = {}
    for beam in layer.detail.beams:
        numbers.setdefault(beam.section, []).append(beam.number)
    for section, beams in numbers.items():
        told = f"{'Beam' if len(beams) == 1 else 'Beams'} {', '.join(map(str, beams))}"
        yield Detail(
            title="beam cut across",
            note="the ceiling above" if layer.task.surface.type in OVERHEAD else "its back above",
            outline=(_box(0, 0, section.width, section.drop),),
            marks=tuple(_cut_across(layer, section, unit)),
            notes=(
                f"{told}: {tape_size(section.width, unit)} wide, "
                f"{tape_size(section.drop, unit)} deep; "
                f"skins {tape_size(section.thickness, unit)}, "
                f"{layer.task.rules.corners.replace('_', ' ')} at the corners",
                f"Sides ripped to {tape_size(section.side, unit)}, bottom to "
                f"{tape_size(section.bottom, unit)}, core {tape_size(section.core, unit)} wide",
                *([f"The bottom is set up by {tape_size(section.set_up, unit)}"] if section.set_up
                  else []),
            ),
        )  # fmt: skip


OVERHEAD = ("ceiling", "soffit")


def _box(low: int, near: int, high: int, far: int) -> Ring:
    return (low, near), (high, near), (high, far), (low, far)


def _cut_across(layer: LaidBoxBeams, section: Section, unit: str) -> Iterator[DrawnPiece]:
    """Skins and core of one section, x across it and y up to what it hangs on.

    A half beam has its wall at the left.
    """
    wide, deep, thick = section.width, section.drop, section.thickness
    lumber = layer.detail.core
    first = 0 if section.half else thick
    high = deep - (min(deep - thick, lumber[0].thickness) if lumber else min(deep, 2 * thick))
    free = wide - thick - first - section.core
    core = first if section.half else first + free // 2
    yield _named("core", section.core, _box(core, high, core + section.core, deep), unit)
    for name, own, ring in _skins(layer.task.rules.corners, section, first):
        yield _named(name, own, ring, unit)


def _named(name: str, width: int, ring: Ring, unit: str) -> DrawnPiece:
    return DrawnPiece((ring,), name, size=width_text(width, unit))


def _skins(corners: str, section: Section, first: int) -> Iterator[tuple[str, int, Ring]]:
    """Bottom and sides: their names, what they are ripped to, and where they lie."""
    wide, deep, thick = section.width, section.drop, section.thickness
    side, bottom, up = section.side, section.bottom, section.set_up
    if corners == "mitred":
        low = 0 if section.half else thick
        yield "bottom", bottom, ((0, 0), (wide, 0), (wide - thick, thick), (low, thick))
        yield "side", side, ((wide, 0), (wide, deep), (wide - thick, deep), (wide - thick, thick))
        if not section.half:
            yield "side", side, ((0, 0), (thick, thick), (thick, deep), (0, deep))
        return
    over = corners == "bottom_over"
    low, high = (0, wide) if over else (first, wide - thick)
    yield "bottom", bottom, _box(low, up, high, up + thick)
    yield "side", side, _box(wide - thick, deep - side, wide, deep)
    if not section.half:
        yield "side", side, _box(0, deep - side, thick, deep)
