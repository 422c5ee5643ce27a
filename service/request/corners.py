"""Corners of walls whose other wall is named: it is as thick as what is laid there (3.16)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from service.errors import Fault, meant
from service.geometry.surface import Surface
from service.products.registry import all_kinds


def thicknesses(spec: Any) -> dict[str, int]:
    """How thick each surface is with all that is laid flat on it, by its id (ticks)."""
    products = {one.id: one for one in spec.products}
    return {
        one.id: sum(_thickness(layer, products) for layer in one.layers) for one in spec.surfaces
    }


def _thickness(layer: Any, products: Mapping[str, Any]) -> int:
    if not all_kinds()[layer.kind].lies_flat:
        return 0
    return getattr(products.get(layer.product), "thickness", None) or 0


def unmet(one: Any, pointer: str, walls: Mapping[str, int]) -> Iterator[Fault]:
    """Edges of a surface that name another which there is not, or itself."""
    others = [name for name in walls if name != one.id]
    for k, edge in enumerate(one.edges or ()):
        if edge.meets is not None and edge.meets not in others:
            text = f"no other surface has the id {edge.meets}: {meant(edge.meets, others)}"
            yield Fault("no-such-surface", text, f"{pointer}/edges/{k}/meets", rule="3.16")


def with_met(surface: Surface, one: Any, walls: Mapping[str, int]) -> Surface:
    """The surface with the thickness of the walls that its edges name."""
    named = {edge.edge: walls.get(edge.meets) for edge in one.edges or () if edge.meets is not None}
    edges = tuple(
        replace(edge, thickness=named[edge.number]) if edge.number in named else edge
        for edge in surface.edges
    )
    return replace(surface, edges=edges) if named else surface
