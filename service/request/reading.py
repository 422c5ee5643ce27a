"""Bytes to a job: strict JSON, the shape with all its faults at once, then the geometry."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import ValidationError

from service.errors import Basis, Fault, Finding, ShapeRefused, TradeRefused
from service.geometry.surface import Surface
from service.products.kind import Kind, RuleBook, Settings, Task
from service.products.registry import all_kinds
from service.request.limits import within
from service.request.model import job_model
from service.request.strict_json import loads
from service.request.surfaces import Measured
from service.standards import loader
from service.takeoff.job import Job, LayerJob

CIRCLE_COUNTS = 16
"""Corners that a round opening counts as: its ring is simple, however many edges it has."""

UNITS = ("in", "ft", "mm", "cm", "m")


def read(body: bytes) -> Job:
    """The job in `body`.

    Raises MalformedJson, ShapeRefused (all faults of shape at once), LimitExceeded, or
    TradeRefused (all faults of geometry at once).
    """
    return job_of(loads(body))


def job_of(asked: object) -> Job:
    """The job that a value of strict JSON asks for. Raises as `read`, less MalformedJson."""
    spec = _shaped(asked)
    products = _products(spec)
    surfaces, findings, basis = _surfaces(spec)
    layers = _layers(spec, surfaces, products)
    for number, surface in enumerate(surfaces):
        _cost_within(surface, [one for one in layers if one.task.surface is surface], number)
    settings = Settings(
        spec.objective,
        spec.effort or "standard",
        spec.when_blocked == "relax",
        spec.method or "together",
    )
    return Job(
        spec.unit,
        spec.currency,
        settings,
        tuple(surfaces),
        tuple(layers),
        products,
        tuple(findings),
        (*_job_basis(spec, settings), *basis),
        asked if isinstance(asked, dict) else {},
        bool(spec.echo),
    )


def unit_of(asked: object) -> str:
    """The unit that a request declares; inches where it declares none that there is."""
    unit = asked.get("unit") if isinstance(asked, dict) else None
    return unit if isinstance(unit, str) and unit in UNITS else "in"


def _shaped(asked: object) -> Any:
    try:
        return job_model().model_validate(asked, context={"unit": unit_of(asked)})
    except ValidationError as wrong:
        found = wrong.errors(include_url=False, include_context=False, include_input=False)
        faults = [
            Fault(str(one["type"]).replace("_", "-"), _sentence(one), _pointer(asked, one))
            for one in found[: ShapeRefused.most]
        ]
        raise ShapeRefused(*faults, count=len(found)) from None


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


def _products(spec: Any) -> dict[str, tuple[Any, str]]:
    found: dict[str, tuple[Any, str]] = {}
    for k, product in enumerate(spec.products):
        if product.id in found:
            raise TradeRefused(
                Fault("id-twice", f"two products have the id {product.id}", f"/products/{k}/id")
            )
        found[product.id] = (product, f"/products/{k}")
    return found


def _surfaces(spec: Any) -> tuple[list[Surface], list[Finding], list[Basis]]:
    """Every surface; the faults of all are collected before any is raised."""
    _ids_differ(spec.surfaces, "/surfaces")
    within("corners", sum(_corners(one) for one in spec.surfaces), "/surfaces")
    surfaces: list[Surface] = []
    findings: list[Finding] = []
    basis: list[Basis] = []
    faults: list[Fault] = []
    for k, one in enumerate(spec.surfaces):
        measured = Measured(one, f"/surfaces/{k}")
        _ids_differ(one.openings or (), f"/surfaces/{k}/openings")
        try:
            surfaces.append(measured.surface())
        except TradeRefused as refusal:
            faults += refusal.faults
        findings += measured.findings
        basis += measured.basis
    if faults:
        raise TradeRefused(*faults)
    return surfaces, findings, basis


def _ids_differ(ones: Sequence[Any], pointer: str) -> None:
    seen: set[str] = set()
    for k, one in enumerate(ones):
        if one.id in seen:
            raise TradeRefused(
                Fault("id-twice", f"the id {one.id} is used twice", f"{pointer}/{k}/id")
            )
        seen.add(one.id)


def _corners(one: Any) -> int:
    count = len(one.outline or ()) or 4
    for opening in one.openings or ():
        count += CIRCLE_COUNTS if opening.circle is not None else len(opening.outline or ()) or 4
    return count


def _layers(
    spec: Any, surfaces: Sequence[Surface], products: Mapping[str, tuple[Any, str]]
) -> list[LayerJob]:
    kinds = all_kinds()
    made: list[LayerJob] = []
    faults: list[Fault] = []
    for s, (one, surface) in enumerate(zip(spec.surfaces, surfaces, strict=True)):
        names: set[str] = set()
        for k, layer in enumerate(one.layers):
            kind, pointer = kinds[layer.kind], f"/surfaces/{s}/layers/{k}"
            name = layer.id or layer.kind
            fault = _product_fault(layer, kind, products, pointer)
            if name in names:
                fault = Fault("id-twice", f"two layers have the id {name}", f"{pointer}/id")
            names.add(name)
            if fault is not None:
                faults.append(fault)
                continue
            levels = (("layer", layer.rules), ("surface", one.rules), ("job", spec.rules))
            book = RuleBook(f"{one.id}.{name}", levels, loader.read(kind.defaults_path))
            product, at = products[layer.product]
            relax = spec.when_blocked == "relax"
            task = Task(
                surface, layer, name, product, book, pointer, at, products, relax, spec.unit
            )
            made.append(LayerJob(kind, task))
    if faults:
        raise TradeRefused(*faults)
    return made


def _product_fault(
    layer: Any, kind: Kind, products: Mapping[str, tuple[Any, str]], pointer: str
) -> Fault | None:
    if layer.product not in products:
        return Fault(
            "no-such-product", f"no product has the id {layer.product}", f"{pointer}/product"
        )
    form = products[layer.product][0].form
    if form not in kind.forms:
        return Fault(
            "wrong-form",
            f"{kind.name} takes a product of the form {' or '.join(kind.forms)}, not {form}",
            f"{pointer}/product",
        )
    return None


def _cost_within(surface: Surface, layers: Sequence[LayerJob], number: int) -> None:
    """Refuse a surface whose work is over the limits, before any is done."""
    pointer = f"/surfaces/{number}"
    xs = [x for x, _ in surface.outline]
    ys = [y for _, y in surface.outline]
    reach = (max(xs) - min(xs)) + (max(ys) - min(ys))
    corners = len(surface.outline) + sum(len(o.drawn[0].outer) for o in surface.openings)
    for layer in layers:
        product = layer.task.product
        stock = getattr(product, "stock", None)
        if stock is None:
            continue
        width = getattr(product, "overall", None) or product.width
        courses = reach // max(width // 2, 1)
        within("courses", courses // 2, f"{pointer}/layers")
        within("corners x courses", corners * courses, pointer)
        shortest = min(one.length for one in stock)
        within("pieces", surface.net // (2 * width * shortest), pointer)


def _job_basis(spec: Any, settings: Settings) -> list[Basis]:
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
