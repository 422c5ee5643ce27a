"""A job ready to be taken off: surfaces in true size, layers with their kinds, products."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.errors import Basis, Fault, Finding
from service.geometry.rings import Region
from service.geometry.surface import Surface
from service.products.backing_rows import BackingLine
from service.products.fasteners import NamedFastener
from service.products.goods.lumber.rulings import Task as Nailers
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced, AnyTask, Product
from service.products.supplied import SearchSettings
from service.schemas.labour import Labour
from service.takeoff.moisture.job_wood import JobWood
from service.takeoff.slips import Slip


@dataclass(frozen=True, slots=True)
class LayerJob:
    """One layer: its kind, its task, and which surface it lies on; whether all of it is up.

    Of what is up so many ends were cut in place.
    """

    kind: AnyKind
    task: AnyTask
    is_up: bool = False
    cut_ends: int = 0


@dataclass(frozen=True, slots=True)
class Ring:
    """What trims an opening: the product, and where the opening lies on which surface."""

    surface: str
    product: str
    around: Region


def rings_of(surface: Surface) -> list[Ring]:
    """The ring of each opening of a surface for which one is named (5.1)."""
    return [Ring(surface.id, one.ring, one.drawn) for one in surface.openings if one.ring]


@dataclass(frozen=True, slots=True)
class Framed:
    """What must stand behind a job of which some is up: what its whole layers ask for.

    `stands` are the lines that are there already, `rings` those that are up.
    """

    placed: tuple[AnyPlaced, ...]
    stands: frozenset[BackingLine]
    rings: frozenset[Ring]


@dataclass(frozen=True, slots=True)
class Job:
    """Everything that an answer rests on; the same job gives the same takeoff.

    `unit` is the request's unit, `asked` the request itself: cures are patches of it. `echo` says
    whether the caller wants it back.

    `nailers` are what backing is cut of, by surface, where a lumber was named, and
    `nailer_fasteners` what holds it, where a fastener was.

    `faults` are what is wrong with the request beside its shape; layers that they concern are left
    out, and no job that has any is answered. `framed` says what stands behind already, where some
    of the job is up. `explain` asks for the trace of each figure of the order, `labour`
    has the caller's rates for hours. `moisture` is the air that boards will live in and how moist
    they are, where it was sent; `slips` are measures that look like a slip of units.
    """

    unit: str
    currency: str | None
    settings: SearchSettings
    surfaces: tuple[Surface, ...]
    layers: tuple[LayerJob, ...]
    products: Mapping[str, tuple[Product, str]]
    findings: tuple[Finding, ...]
    basis: tuple[Basis, ...]
    asked: Mapping[str, Any]  # JSON as it was sent
    echo: bool
    nailers: Mapping[str, Nailers]
    nailer_fasteners: Mapping[str, NamedFastener]
    faults: tuple[Fault, ...] = ()
    framed: Framed | None = None
    explain: bool = False
    labour: Labour | None = None
    moisture: JobWood | None = None
    slips: tuple[Slip, ...] = ()
