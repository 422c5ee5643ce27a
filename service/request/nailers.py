"""What nailers and blocks behind each surface are cut of, and what holds them (15)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.geometry.surface import Surface
from service.products.fasteners import NamedFastener
from service.products.goods.fastener.spec import FastenerProduct
from service.products.goods.lumber import FORM as LUMBER
from service.products.goods.lumber.rulings import LumberRulings
from service.products.goods.lumber.rulings import Task as Nailers
from service.products.goods.lumber.spec import LumberProduct
from service.products.ground import ground_of
from service.products.layer import Task
from service.standards import loader
from service.units.ticks import METRIC


@dataclass(frozen=True, slots=True)
class Behind:
    """What stands behind a surface, as a layer of it would be named."""

    kind: str = "backing"


def nailers_of(
    spec: Any, surfaces: Mapping[int, Surface], products: Mapping[str, tuple[Any, str]]
) -> Iterator[tuple[str, Nailers]]:
    """The lumber of each surface that names one, or of the whole job, with its rules."""
    for number, surface in surfaces.items():
        one = spec.surfaces[number]
        name = one.nailers or spec.nailers
        product, at = products.get(name, (None, ""))
        if not isinstance(product, LumberProduct):
            continue  # none is named, or a fault says what is wrong with the name
        levels = (("surface", one.rules), ("job", spec.rules))
        defaults = loader.read(LUMBER.defaults_path)
        behind = Behind()
        metric = spec.unit in METRIC
        yield (
            one.id,
            Task(
                layer=behind,
                layer_id=behind.kind,
                product=product,
                rules=LumberRulings(one.id, behind, levels, defaults, metric=metric),
                pointer=f"/surfaces/{number}",
                product_pointer=at,
                products=products,
                relax=spec.when_blocked == "relax",
                ground=ground_of(surface),
                unit=spec.unit,
            ),
        )


def fasteners_of(
    spec: Any, surfaces: Mapping[int, Surface], products: Mapping[str, tuple[Any, str]]
) -> Iterator[tuple[str, NamedFastener]]:
    """The fastener that holds backing, of each surface that names one, or of the whole job."""
    for number in surfaces:
        one = spec.surfaces[number]
        product, at = products.get(one.nailer_fastener or spec.nailer_fastener, (None, ""))
        if isinstance(product, FastenerProduct):
            yield one.id, (product, at)
