"""Frames round openings: of four pieces, or of three at an edge, as round a door (17.3)."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from service.errors import Fault, TradeRefused, meant
from service.geometry.edges import sides_of
from service.geometry.offsets import grown
from service.geometry.openings import Opening
from service.geometry.plane import difference, touches_edge, union
from service.geometry.rings import Polygon, Ring
from service.geometry.walls import STRAIGHT, Wall, walls_of
from service.products.kinds.trim.ends import NONE_COPED, Standing, butted, ends_along
from service.products.kinds.trim.findings import say_not_framed
from service.products.kinds.trim.rulings import Task
from service.products.kinds.trim.section import section_of
from service.products.remarks import Remarks

_ALL_ROUND, _AT_AN_EDGE = 4, 3
"""Pieces of a frame within the surface, and of one that ends at an edge (17.3)."""


def round_openings(task: Task, said: Remarks, wide: int) -> list[Standing]:
    """The frame of each opening, its back edge the reveal off the opening's own (17.3)."""
    found: list[Standing] = []
    for opening in _named(task):
        frames = list(_frames(task, opening))
        if not frames:
            say_not_framed(task, said, opening)
        for walls in frames:
            ends = (
                butted(walls, wide)
                if task.rules.frame == "butted"
                else ends_along(walls, wide, STRAIGHT, NONE_COPED)
            )
            found += [(wall, own, opening.id) for wall, own in zip(walls, ends, strict=True)]
    return found


def _frames(task: Task, opening: Opening) -> Iterator[Sequence[Wall]]:
    """The sides of each part of an opening that has a frame; nothing where one has none."""
    reveal = task.rules.reveal
    if opening.crosses_edge:
        walls = _at_an_edge(task, opening, reveal)
        if len(walls) == _AT_AN_EDGE:
            yield walls
        return
    found = [_all_round(polygon.outer, reveal) for polygon in opening.drawn]
    if all(len(walls) == _ALL_ROUND for walls in found):
        yield from found


def cased(task: Task, names: Collection[str]) -> Iterator[Opening]:
    """The openings that have a frame, with it: what is laid after ends at its outer edge.

    The open joint there is the `gap` of the layer, or where none was sent that of the opening,
    whose own clearance is kept. Of several frames round one the outermost counts.
    """
    surface, outer = task.surface, task.rules.reveal + section_of(task).width
    for bare, opening in zip(surface.bare_openings, surface.openings, strict=True):
        if opening.id not in names:
            continue
        rings = [one.outer for one in bare.drawn]
        joint = opening.gap if task.layer.gap is None else task.layer.gap
        drawn = union([*(grown(ring, outer) for ring in rings), opening.drawn])
        cut = union([*(grown(ring, outer + joint) for ring in rings), opening.cut])
        at_edge = touches_edge(drawn, (Polygon(surface.outline),))
        yield replace(opening, drawn=drawn, cut=cut, out=joint, flange=0, diameter=0,
                      crosses_edge=at_edge)  # fmt: skip


def _all_round(ring: Ring, reveal: int) -> tuple[Wall, ...]:
    """The sides of an opening as its frame sees them: it lies at their left."""
    (outer, *_) = grown(ring, reveal)
    sides = sides_of(outer.outer[::-1], ())
    return walls_of(sides, [True] * len(sides))


def _at_an_edge(task: Task, opening: Opening, reveal: int) -> tuple[Wall, ...]:
    """The sides within the outline of an opening that reaches it, one after another.

    None where they are not of one piece, as of an opening from one edge to another.
    """
    surface = task.surface
    notch = union(grown(one.outer, reveal) for one in opening.drawn)
    rings = [ring for part in difference((Polygon(surface.outline),), notch) for ring in part.rings]
    found: list[Wall] = []
    for ring in rings:
        sides = sides_of(ring, surface.sides)
        found += walls_of(sides, [side.edge is None for side in sides])
    first = [k for k, wall in enumerate(found) if not wall.corners[0].chosen]
    if len(first) != 1:
        return ()
    return (*found[first[0] :], *found[: first[0]])


def _named(task: Task) -> Iterator[Opening]:
    """The openings that are framed, by name; refused where one that is named is not there."""
    surface = task.surface
    there = {one.id: one for one in surface.bare_openings}
    names = task.layer.openings
    faults = [
        Fault(
            "no-such-opening",
            f"the surface has no opening {name} that this layer could frame: {meant(name, there)}",
            f"{task.pointer}/openings/{k}",
            rule="17.3",
        )
        for k, name in enumerate(names or ())
        if name not in there
    ]
    if names is None and not there:
        text = "the surface has no opening that this layer could frame"
        faults.append(Fault("no-such-opening", text, f"{task.pointer}/around", rule="17.3"))
    if faults:
        raise TradeRefused(*faults)
    return (one for name, one in there.items() if names is None or name in names)
