"""What is said of beams as they are laid."""

from __future__ import annotations

from service.errors import Finding
from service.geometry.plane import difference, intersection, union, without_needles
from service.geometry.rings import Polygon, Region
from service.products.kinds.box_beams.beside_walls import say_of_walls
from service.products.kinds.box_beams.records import BoxBeams
from service.products.kinds.box_beams.rulings import Task
from service.products.remarks import Remarks
from service.units.ticks import SIXTEENTH
from service.units.writing import both, counted


def say_what_was_laid(task: Task, said: Remarks, laid: BoxBeams) -> None:
    """Walls that beams do not follow, boards that lie hidden, openings, cores of another width."""
    say_of_walls(task, said, laid)
    _say_hidden(task, said, laid)
    _say_openings(task, said, laid)
    if laid.core is None:
        total = sum(part.length for part in laid.cores)
        said.find(
            Finding(
                "no-core",
                task.at,
                f"no lumber is named as `core`: {counted(len(laid.cores), 'cores')}, {both(total)} "
                "in all, are told and not ordered",
                rule="16.1",
                measure=total,
            )
        )
        return
    _say_core(task, said, laid)


def _say_hidden(task: Task, said: Remarks, laid: BoxBeams) -> None:
    """What of the boards lies over beams: a saving where boards end at them (16.8)."""
    if not any(laid.hidden.values()):
        return
    length = sum(one.box[1] - one.box[0] for beam in laid.beams for one in beam.runs)
    said.find(
        Finding(
            "boards-hidden",
            task.at,
            f"what was laid before runs through over {both(length)} of beams and is not seen there "
            "(`hidden` of `beams`): it is saved where it ends at them, `mode` boards_to_beam, with "
            "this layer put before it",
            rule="16.8",
            measure=length,
        )
    )


def _say_openings(task: Task, said: Remarks, laid: BoxBeams) -> None:
    """Openings under beams, and those that a beam only crosses (5.1)."""
    under = _covered(laid)
    for opening in task.surface.openings:
        met = without_needles(intersection(opening.drawn, under))
        if not met:
            continue
        if without_needles(difference(opening.drawn, under)):
            said.find(
                Finding(
                    "beam-crosses-opening",
                    task.at,
                    f"a beam crosses opening {opening.id}: move the one or the other; the beam is "
                    "taken off as if it ran through",
                    rule="5.1",
                )
            )
        else:
            said.find(
                Finding(
                    "opening-under-beam",
                    task.at,
                    f"opening {opening.id} lies wholly under a beam and changes no board",
                    rule="5.1",
                )
            )


def _covered(laid: BoxBeams) -> Region:
    return union(
        [
            (Polygon(laid.sets[beam.of].frame.ring_back(one.outer)),)
            for beam in laid.beams
            for one in beam.runs
        ]
    )


def _say_core(task: Task, said: Remarks, laid: BoxBeams) -> None:
    """A core of another width than is wanted is ripped or packed out."""
    assert laid.core is not None
    lumber, _ = laid.core
    for core in sorted({beam.section.core for beam in laid.beams}):
        if abs(lumber.width - core) <= SIXTEENTH:
            continue
        what = "rip it" if lumber.width > core else "pack it out"
        said.find(
            Finding(
                "core-other-width",
                task.at,
                f"{lumber.id} is {both(lumber.width)} wide, and a core of {both(core)} is wanted: "
                f"{what}, or give another `core_width`",
                rule="16.1",
                measure=lumber.width,
                limit=core,
            )
        )
