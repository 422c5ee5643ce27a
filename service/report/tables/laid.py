"""Surfaces and layers as rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from service.geometry.members import numbered
from service.layout.bearings import bearings_of
from service.products.laid_rows import BesideRow, LayerRow, RegionRow, SurfaceRow
from service.products.layer import AnyLaid
from service.products.nouns import support_of
from service.takeoff.pipeline import Takeoff

_OF_UNIT = 12
"""Decimals of a unit vector: over the longest surface they stray by far less than a tick."""


def shown(laid: Iterable[AnyLaid]) -> dict[str, AnyLaid]:
    """The outermost layer of each surface by its id; trim only where nothing else is laid."""
    covering = {layer.task.surface.id: layer for layer in laid if not layer.along_edges}
    return {layer.task.surface.id: layer for layer in laid} | covering


def surfaces(takeoff: Takeoff) -> Iterator[SurfaceRow]:
    """One row a surface; installed and gaps are those of its outermost layer."""
    outermost = shown(takeoff.laid)
    whole = {surface.id: surface for surface in takeoff.job.surfaces}
    for name, layer in outermost.items():
        surface = whole[name]
        yield SurfaceRow(
            surface=surface.id,
            type=surface.type,
            support=support_of(surface.type, sloped=surface.slope is not None),
            gross=surface.gross,
            net=surface.net,
            installed=0 if layer.along_edges else layer.areas.installed,
            perimeter=surface.perimeter,
            outline=surface.outline,
            beside=tuple(
                BesideRow(start=edge.start, end=edge.end, beside=edge.beside)
                for edge in surface.known
                if edge.beside is not None
            ),
        )


def layers(takeoff: Takeoff) -> Iterator[LayerRow]:
    """One row a layer, in the request's order."""
    pieces, crossings = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    for piece in (row for one in takeoff.placed for row in one.pieces):
        pieces[piece.surface, piece.layer] += 1
        crossings[piece.surface, piece.layer] += piece.bearings
    for layer in takeoff.laid:
        frame, place = layer.frame, (layer.task.surface.id, layer.task.layer_id)
        yield LayerRow(
            surface=layer.task.surface.id,
            layer=layer.task.layer_id,
            kind=layer.task.layer.kind,
            product=layer.task.product.id,
            direction=round(float(layer.direction), 6),
            origin=frame.back((0, 0)),
            along=tuple(round(part, _OF_UNIT) for part in frame.along),
            across=tuple(round(part, _OF_UNIT) for part in frame.across),
            crosses=_crossed(layer),
            installed=layer.areas.installed,
            courses=len(layer.courses),
            pieces=pieces[place],
            crossings=crossings[place],
        )


def regions(takeoff: Takeoff) -> Iterator[RegionRow]:
    """One row for each connected part of what each layer may be laid on."""
    for layer in takeoff.laid:
        for number, part in enumerate(layer.task.ground.regions, 1):
            low, high, near, far = layer.frame.bounds((part,))
            yield RegionRow(
                surface=layer.task.surface.id,
                layer=layer.task.layer_id,
                region=number,
                area=part.twice_area,
                low=(low, near),
                high=(high, far),
            )


def _crossed(layer: AnyLaid) -> tuple[int, ...]:
    """Numbers of the members that a layer crosses.

    What bears on lines that a layer behind offers crosses those, in that layer's own order.
    """
    surface, lines = layer.task.surface, layer.task.ground.bearings
    numbers = {k: k + 1 for k in range(len(lines))}
    if lines is surface.members:
        numbers = {one.index: one.number for one in numbered(surface)}
    return tuple(numbers[one.member] for one in bearings_of(lines, layer.frame))
