"""A change order: two jobs, and what is at hand, as JSON that is read as the second one's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from pydantic import BaseModel, Field, create_model

from service.errors import Fault, ShapeRefused
from service.request.model import job_model
from service.request.shaped import shaped, unit_of
from service.schemas.change import ChangeBase

LISTS = ("leftovers", "delivered")


@cache
def _change_model(job: type[BaseModel]) -> type[BaseModel]:
    # The library types its keywords one by one; here they are the members' names.
    members: Any = {
        "before": (job, Field(description="The job as it was taken off first.")),
        "after": (job, Field(description="The job as it is to be, in the same unit.")),
    }
    return create_model(
        "Change",
        __base__=ChangeBase,
        __doc__="A job before and after a change, and what of it is there.",
        **members,
    )


def change_model() -> type[BaseModel]:
    """The published shape of a change order, over all registered kinds."""
    return _change_model(job_model())


class _Envelope(ChangeBase):
    """A change order whose two jobs are read by themselves."""

    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class ChangeAsked:
    """A change order as read: both jobs as JSON, still unread, and the rest.

    `stocked` is the second job with what is at hand as its own, `sources` the place of each row of
    that in the request by its place in the job. `left` is that with what is left over alone, what
    was delivered being bought again.
    """

    before: object
    after: object
    stocked: object
    left: object
    sources: Mapping[str, str]
    spec: Any


def change_asked(asked: object) -> ChangeAsked:
    """What a value of strict JSON asks to be changed. Raises ShapeRefused."""
    after = asked.get("after") if isinstance(asked, dict) else None
    spec = shaped(_Envelope, asked, unit=unit_of(after))
    assert isinstance(asked, dict)
    _check_alike(asked["before"], after)
    stocked, sources = _stocked(asked, LISTS)
    left, _ = _stocked(asked, LISTS[:1])
    return ChangeAsked(asked["before"], after, stocked, left, sources, spec)


def _check_alike(before: object, after: object) -> None:
    """Lengths and prices of both jobs are set against each other, so both are in one unit."""
    if not (isinstance(before, dict) and isinstance(after, dict)):
        return
    differ = [key for key in ("unit", "currency") if before.get(key) != after.get(key)]
    if differ:
        raise ShapeRefused(
            *(
                Fault(
                    "jobs-differ", f"both jobs must have the same `{key}` to be set against each "
                    "other", f"/after/{key}" if key in after else "/after",
                )
                for key in differ
            )
        )  # fmt: skip


def _stocked(asked: Mapping[str, Any], lists: Sequence[str]) -> tuple[Any, dict[str, str]]:
    """The second job with what is in the lists as `owned`, and where each row of that is from."""
    after = asked["after"]
    rows = [(f"/{name}/{k}", row) for name in lists for k, row in enumerate(asked.get(name) or ())]
    products = after.get("products") if isinstance(after, dict) else None
    if not rows or not isinstance(products, list):
        return after, {}
    numbers = {one["id"]: k for k, one in enumerate(products) if _has_id(one)}
    unknown = [at for at, row in rows if row["product"] not in numbers]
    if unknown:
        text = "no product of `after` has this id"
        raise ShapeRefused(*(Fault("no-such-product", text, f"{at}/product") for at in unknown))
    made, sources = [dict(one) if _has_id(one) else one for one in products], dict[str, str]()
    for at, row in rows:
        if row.get("width") is not None:
            continue
        k = numbers[row["product"]]
        _check_holds(made[k], row, at)
        made[k]["owned"], place = _with(made[k].get("owned"), row)
        sources[f"/products/{k}/owned{place}"] = at
    return {**after, "products": made}, sources


def _check_holds(product: Mapping[str, Any], row: Mapping[str, Any], at: str) -> None:
    """Refuse cans and tubes of which it is not said what they hold."""
    packs = product.get("packs")
    is_liquid = isinstance(packs, list) and any("holds" in one for one in packs if _is_map(one))
    if is_liquid and row.get("holds") is None:
        text = "say what a can or tube of it holds, as `1 gal`"
        raise ShapeRefused(Fault("missing", text, f"{at}/holds"))


def _is_map(value: object) -> bool:
    return isinstance(value, dict)


def _has_id(product: object) -> bool:
    return isinstance(product, dict) and isinstance(product.get("id"), str)


_KEPT = ("length", "count", "ends", "holds", "left")
"""What of a row stands in the product's own list too."""


def _with(owned: Any, row: Mapping[str, Any]) -> tuple[Any, str]:
    """What is owned of a product with a row more: a count where it has no length, or a list."""
    kept = {key: row[key] for key in _KEPT if row.get(key) is not None}
    if kept.keys() == {"count"}:
        return (owned if isinstance(owned, int) else 0) + row["count"], ""
    listed = owned if isinstance(owned, list) else []
    return [*listed, kept], f"/{len(listed)}"


def placed(faults: Sequence[Fault], sources: Mapping[str, str]) -> Iterator[Fault]:
    """Faults of the stocked job that lie in what is at hand, pointing to where that was sent."""
    for fault in faults:
        for place, at in sources.items():
            if f"{fault.pointer}/".startswith(f"{place}/"):
                yield Fault(fault.code, fault.detail, at + fault.pointer.removeprefix(place))
