"""Bytes to a job: strict JSON, the shape with all its faults at once, then the geometry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from service.errors import Basis, Fault, Finding, LimitExceeded, TradeRefused
from service.geometry.rings import Polygon, Ring, around
from service.geometry.surface import Surface
from service.products.ground import ground_of
from service.products.layer import Task
from service.products.registry import all_kinds, defaults_of
from service.products.supplied import SearchSettings
from service.request.corners import thicknesses, unmet, with_met
from service.request.job_moisture import moisture_faults, moisture_of
from service.request.limits import within
from service.request.model import job_model
from service.request.nailers import fasteners_of, nailers_of
from service.request.references import reference_faults
from service.request.shaped import shaped
from service.request.slips import slips
from service.request.strict_json import loads
from service.request.surfaces import Measured
from service.schemas.stock import Stocked
from service.takeoff.job import Job, LayerJob
from service.takeoff.slips import Slip
from service.units.ticks import METRIC

CIRCLE_COUNTS = 16
"""Corners that a round opening counts as: its ring is simple, however many edges it has."""


def read(body: bytes) -> Job:
    """The job in `body`.

    Raises MalformedJson, ShapeRefused (all faults of shape, and of ids and names, at once) or
    LimitExceeded. Faults of geometry, ids and names are the job's own: `take_off` raises them
    together with those of the layers that can be laid all the same.
    """
    return job_of(loads(body))


def job_of(asked: object) -> Job:
    """The job that a value of strict JSON asks for. Raises as `read`, less MalformedJson."""
    faults = reference_faults(asked)
    spec: Any = shaped(job_model(), asked, faults)
    odd = tuple(slips(spec))
    with _slips_told(odd):
        return _job_of(spec, asked, faults, odd)


def _job_of(spec: Any, asked: object, faults: Sequence[Fault], odd: tuple[Slip, ...]) -> Job:
    products = {one.id: (one, f"/products/{k}") for k, one in enumerate(spec.products)}
    surfaces, findings, basis, unsound = _surfaces(spec)
    layers = _layers(spec, surfaces, products, [fault.pointer for fault in faults])
    for number, surface in surfaces.items():
        _cost_within(surface, [one for one in layers if one.task.surface is surface], number)
    settings = SearchSettings(
        spec.objective,
        spec.effort or "standard",
        spec.when_blocked == "relax",
        spec.method or "together",
        choices=bool(spec.choices),
        certificate=bool(spec.certificate),
    )
    damp = [] if spec.moisture is None else list(
        moisture_faults(spec.moisture, [one.id for one in spec.surfaces])
    )  # fmt: skip
    return Job(
        unit=spec.unit,
        currency=spec.currency,
        settings=settings,
        surfaces=tuple(surfaces.values()),
        layers=tuple(layers),
        products=products,
        findings=tuple(findings),
        basis=(*_job_basis(spec, settings), *basis),
        asked=asked if isinstance(asked, dict) else {},
        echo=bool(spec.echo),
        nailers=dict(nailers_of(spec, surfaces, products)),
        nailer_fasteners=dict(fasteners_of(spec, surfaces, products)),
        explain=bool(spec.explain),
        labour=spec.labour,
        faults=(*faults, *damp, *unsound),
        moisture=None if spec.moisture is None or damp else moisture_of(spec.moisture, spec),
        slips=odd,
    )


@contextmanager
def _slips_told(found: Sequence[Slip]) -> Iterator[None]:
    """Say of a limit that is exceeded which slip of a unit may have done it."""
    try:
        yield
    except LimitExceeded as refusal:
        raise LimitExceeded(*(one.fault for one in found), *refusal.faults) from None


def _surfaces(
    spec: Any,
) -> tuple[dict[int, Surface], list[Finding], list[Basis], list[Fault]]:
    """Every sound surface by its number, with what is said of its measure; the others' faults."""
    within("corners", sum(_corners(one) for one in spec.surfaces), "/surfaces")
    surfaces: dict[int, Surface] = {}
    findings: list[Finding] = []
    basis: list[Basis] = []
    faults: list[Fault] = []
    walls = thicknesses(spec)
    for k, one in enumerate(spec.surfaces):
        metric = spec.unit in METRIC
        measured = Measured(one, f"/surfaces/{k}", spec.supports, metric=metric)
        faults += unmet(one, f"/surfaces/{k}", walls)
        try:
            surfaces[k] = with_met(measured.surface(), one, walls)
        except TradeRefused as refusal:
            faults += refusal.faults
        findings += measured.findings
        basis += measured.basis
    return surfaces, findings, basis, faults


def _corners(one: Any) -> int:
    count = len(one.outline or ()) or 4
    for opening in one.openings or ():
        count += CIRCLE_COUNTS if opening.circle is not None else len(opening.outline or ()) or 4
    return count


def _layers(
    spec: Any,
    surfaces: Mapping[int, Surface],
    products: Mapping[str, tuple[Any, str]],
    faulty: Sequence[str],
) -> list[LayerJob]:
    """The layers that can be laid: all of each surface, to the first at a place that is `faulty`.

    Those further out would not know what they lie on.
    """
    made: list[LayerJob] = []
    for s, surface in surfaces.items():
        one = spec.surfaces[s]
        if f"/surfaces/{s}/id" in faulty:
            continue
        for k, layer in enumerate(one.layers):
            pointer = f"/surfaces/{s}/layers/{k}"
            if {f"{pointer}/id", f"{pointer}/product"} & set(faulty):
                break
            kind, name = all_kinds()[layer.kind], layer.id or layer.kind
            levels = (("layer", layer.rules), ("surface", one.rules), ("job", spec.rules))
            rules = kind.rulings(
                f"{one.id}.{name}", layer, levels, defaults_of(kind), metric=spec.unit in METRIC
            )
            product, at = products[layer.product]
            task = Task(
                layer=layer,
                layer_id=name,
                product=product,
                rules=rules,
                pointer=pointer,
                product_pointer=at,
                products=products,
                relax=spec.when_blocked == "relax",
                ground=ground_of(surface),
                unit=spec.unit,
            )
            made.append(LayerJob(kind, task))
    return made


def _cost_within(surface: Surface, layers: Sequence[LayerJob], number: int) -> None:
    """Refuse a surface whose work is over the limits, before any is done."""
    pointer = f"/surfaces/{number}"
    rings = [surface.outline, *(one.drawn[0].outer for one in surface.openings)]
    reaches = list(map(_reach, rings))
    for layer in layers:
        product = layer.task.product
        if not isinstance(product, Stocked):
            continue
        if layer.kind.along_edges:
            edges = surface.perimeter + sum(around(o.drawn[0].outer) for o in surface.openings)
            within("pieces", edges // min(one.length for one in product.rows), pointer)
            continue
        beside = [reach // max(product.laid_width // 2, 1) for reach in reaches]
        within("courses", beside[0] // 2, f"{pointer}/layers")
        corners = sum(
            len(ring) * min(own + 2, beside[0]) for ring, own in zip(rings, beside, strict=True)
        )
        within("corners x courses", corners, pointer)
        shortest = min(one.length for one in product.rows)
        within("pieces", surface.net // (2 * product.laid_width * shortest), pointer)


def _reach(ring: Ring) -> int:
    """How far a ring reaches in whatever direction courses are counted, at most."""
    low, high, near, far = Polygon(ring).box
    return (high - low) + (far - near)


def _job_basis(spec: Any, settings: SearchSettings) -> list[Basis]:
    """What the job as a whole says, or what is usual."""
    values = {
        "effort": ("8.8", settings.effort, spec.effort),
        "method": ("8.10", settings.method, spec.method),
        "when_blocked": ("22.3", spec.when_blocked or "refuse", spec.when_blocked),
    }
    return [
        Basis("job", rule, key, value, "default" if sent is None else "job")
        for key, (rule, value, sent) in values.items()
    ]
