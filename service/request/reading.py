"""Bytes to a job: strict JSON, the shape with all its faults at once, then the geometry."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import ValidationError

from service.errors import Basis, Fault, Finding, ShapeRefused, TradeRefused
from service.geometry.rings import around
from service.geometry.surface import Surface
from service.products.ground import ground_of
from service.products.layer import Task
from service.products.registry import all_kinds, defaults_of
from service.products.supplied import SearchSettings
from service.request.limits import within
from service.request.model import job_model
from service.request.nailers import fasteners_of, nailers_of
from service.request.references import reference_faults
from service.request.strict_json import loads
from service.request.surfaces import Measured
from service.schemas.stock import Stocked
from service.takeoff.job import Job, LayerJob
from service.units.ticks import METRIC

CIRCLE_COUNTS = 16
"""Corners that a round opening counts as: its ring is simple, however many edges it has."""

UNITS = ("in", "ft", "mm", "cm", "m")


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
    spec = _shaped(asked, faults)
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
    )
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
        faults=(*faults, *unsound),
    )


def unit_of(asked: object) -> str:
    """The unit that a request declares; inches where it declares none that there is."""
    unit = asked.get("unit") if isinstance(asked, dict) else None
    return unit if isinstance(unit, str) and unit in UNITS else "in"


def _shaped(asked: object, known: Sequence[Fault]) -> Any:
    """The request as validated; all its faults of shape are raised at once, the `known` besides."""
    try:
        return job_model().model_validate(asked, context={"unit": unit_of(asked)})
    except ValidationError as wrong:
        found = wrong.errors(include_url=False, include_context=False, include_input=False)
        faults = [
            Fault(str(one["type"]).replace("_", "-"), _sentence(one), _pointer(asked, one))
            for one in found[: ShapeRefused.most]
        ]
        raise ShapeRefused(*faults, *known, count=len(found) + len(known)) from None


_PLAIN = {
    "extra_forbidden": "this key is not known here: check its spelling",
    "missing": "this key is needed",
}


def _sentence(error: Mapping[str, Any]) -> str:
    """What is wrong, without any string that was sent: the tag of a union would be one."""
    if error["type"] == "union_tag_invalid":
        return f"this must be one of {error['msg'].rpartition('expected tags: ')[2]}"
    if error["type"] in ("too_short", "too_long"):
        bound = re.search(r"at (?:least|most) \d+", error["msg"])
        return f"this list must have {bound[0]} items" if bound else "this list has a wrong length"
    return _PLAIN.get(error["type"], str(error["msg"]))


def _pointer(asked: object, error: Mapping[str, Any]) -> str:
    """A JSON Pointer to the fault; names of union members that pydantic adds are left out."""
    places: Sequence[str | int] = error["loc"]
    absent = error["type"] == "missing"
    parts: list[str] = []
    at: Any = asked
    for k, place in enumerate(places):
        if _stands_in(at, place):
            at = at[place]
        elif not (absent and isinstance(at, dict) and k == len(places) - 1):
            continue
        parts.append(str(place)[:64].replace("~", "~0").replace("/", "~1"))
    return "".join(f"/{part}" for part in parts)


def _stands_in(at: object, place: str | int) -> bool:
    if isinstance(at, list):
        return isinstance(place, int) and place < len(at)
    return isinstance(at, dict) and place in at


def _surfaces(
    spec: Any,
) -> tuple[dict[int, Surface], list[Finding], list[Basis], list[Fault]]:
    """Every sound surface by its number, with what is said of its measure; the others' faults."""
    within("corners", sum(_corners(one) for one in spec.surfaces), "/surfaces")
    surfaces: dict[int, Surface] = {}
    findings: list[Finding] = []
    basis: list[Basis] = []
    faults: list[Fault] = []
    for k, one in enumerate(spec.surfaces):
        metric = spec.unit in METRIC
        measured = Measured(one, f"/surfaces/{k}", spec.supports, metric=metric)
        try:
            surfaces[k] = measured.surface()
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
    xs = [x for x, _ in surface.outline]
    ys = [y for _, y in surface.outline]
    reach = (max(xs) - min(xs)) + (max(ys) - min(ys))
    corners = len(surface.outline) + sum(len(o.drawn[0].outer) for o in surface.openings)
    for layer in layers:
        product = layer.task.product
        if not isinstance(product, Stocked):
            continue
        if layer.kind.along_edges:
            edges = surface.perimeter + sum(around(o.drawn[0].outer) for o in surface.openings)
            within("pieces", edges // min(one.length for one in product.rows), pointer)
            continue
        courses = reach // max(product.laid_width // 2, 1)
        within("courses", courses // 2, f"{pointer}/layers")
        within("corners x courses", corners * courses, pointer)
        shortest = min(one.length for one in product.rows)
        within("pieces", surface.net // (2 * product.laid_width * shortest), pointer)


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
