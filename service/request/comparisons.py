"""From what is asked of a comparison to the job and its variations, patched."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from pydantic import BaseModel, create_model

from service.errors import Cure, Fault, ShapeRefused
from service.products import registry
from service.request.json_patch import Unfit, patched
from service.request.model import job_model, job_schema
from service.request.shaped import shaped, unit_of
from service.schemas.comparison import ComparisonBase, DeliveredBoards, Variation

AS_SENT: Final = "as_sent"
"""What the job itself is called among its variations."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """A job as sent, its variations as they would be sent by name, and what else is asked."""

    unit: str
    job: Any  # JSON as it was sent
    variations: tuple[tuple[str, Any], ...]
    ask: tuple[str, ...]
    delivered: tuple[DeliveredBoards, ...]


def comparison_model() -> type[BaseModel]:
    """The model of a whole request."""
    return _comparison_model(tuple(registry.names()))


@cache
def _comparison_model(names: tuple[str, ...]) -> type[BaseModel]:
    job: Any = job_model()
    return create_model(
        "ComparisonAsked",
        __base__=ComparisonBase,
        __doc__="A job, variations of it, and what else is asked of it.",
        job=(job, ...),
    )


def job_unit_of(asked: object) -> str:
    """The unit that the job of a comparison declares."""
    return unit_of(asked.get("job") if isinstance(asked, dict) else None)


def comparison_of(asked: object) -> Comparison:
    """The comparison that a value of strict JSON asks for; raises ShapeRefused."""
    unit = job_unit_of(asked)
    spec: Any = shaped(comparison_model(), asked, unit=unit)
    assert isinstance(asked, dict)
    job = asked["job"]
    variations: Sequence[Variation] = spec.variations or ()
    made: list[tuple[str, Any]] = []
    faults = [*_twice(variations), *_unknown(spec)]
    for k, one in enumerate(variations):
        try:
            made.append((one.id, patched(job, one.patch)))
        except Unfit as fault:
            faults.append(_unfit(one, k, fault))
    if faults:
        raise ShapeRefused(*faults)
    return Comparison(
        unit=unit,
        job=job,
        variations=tuple(made),
        ask=tuple(dict.fromkeys(spec.ask or ())),
        delivered=tuple(spec.delivered or ()),
    )


def _unfit(one: Variation, k: int, fault: Unfit) -> Fault:
    """An operation that cannot be done, by variation, number and place, with what would do."""
    at, operation = f"/variations/{k}/patch/{fault.number}", one.patch[fault.number]
    source = getattr(operation, "source", None)
    path = _shown(operation.path if fault.part != "from" or source is None else source)
    detail = f"variation {one.id}, operation {fault.number} ({operation.op} at {path}): {fault.why}"
    cure = Cure(f"{at}/op", "add") if fault.would_add else None
    detail += "; `add` puts in a member that is not there yet" if fault.would_add else ""
    if fault.parent:
        parent = _shown("/".join(operation.path.split("/")[: fault.parent + 1]))
        detail += f"; an `add` of an empty object at {parent} before it puts in its parent"
    return Fault(f"patch-{fault.part}", detail, f"{at}/{fault.part}", cure=cure)


def _shown(path: str) -> str:
    """A path as far as it is made of names that a job can have: nothing else is repeated."""
    if not path:
        return "the whole job"
    parts = path.split("/")[1:]
    return "".join(f"/{part if part.isdigit() or part in _names() else '...'}" for part in parts)


@cache
def _names() -> frozenset[str]:
    """Every name that a member of a job can have, and the end of a list."""
    schema = job_schema()
    shapes = [schema, *schema["$defs"].values()]
    return frozenset(name for shape in shapes for name in shape.get("properties", ())) | {"-"}


def _twice(variations: Sequence[Variation]) -> Iterator[Fault]:
    """Names that an earlier variation or the job itself has."""
    seen = {AS_SENT}
    for k, one in enumerate(variations):
        if one.id in seen:
            what = "the job itself is called" if one.id == AS_SENT else "two variations have the id"
            yield Fault("id-twice", f"{what} {one.id}", f"/variations/{k}/id")
        seen.add(one.id)


def _unknown(spec: Any) -> Iterator[Fault]:
    """Deliveries of products that are not there, of which nothing is laid, or told twice."""
    products = {one.id: one for one in spec.job.products}
    seen: set[str] = set()
    for k, one in enumerate(spec.delivered or ()):
        at = f"/delivered/{k}"
        product = products.get(one.product)
        if product is None:
            yield Fault("no-such-product", f"no product has the id {one.product}", f"{at}/product")
        elif not (hasattr(product, "stock") and hasattr(product, "owned")):
            text = f"{one.product} does not come in lengths of stock: nothing of it is tallied"
            yield Fault("wrong-form", text, f"{at}/product")
        elif one.ten_boards is not None and not hasattr(product, "coverage"):
            text = f"{one.product} is no board: only boards have a coverage"
            yield Fault("wrong-form", text, f"{at}/ten_boards")
        if one.product in seen:
            yield Fault("id-twice", f"{one.product} is told twice", f"{at}/product")
        seen.add(one.product)
    if "on_hand" in (spec.ask or ()) and not any(map(_is_there, spec.job.products)):
        text = (
            "nothing says what is there: give `on_hand` of a stock length, or `owned` of a product"
        )
        yield Fault("nothing-on-hand", text, f"/ask/{spec.ask.index('on_hand')}")


def _is_there(product: Any) -> bool:
    """Whether something says how much of a product there is."""
    rows = getattr(product, "stock", None) or ()
    owned = getattr(product, "owned", None)
    return bool(owned) or any(getattr(row, "on_hand", None) is not None for row in rows)
