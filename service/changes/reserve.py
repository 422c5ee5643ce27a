"""Boards in reserve: those of the first order are there still, and none are bought again (10.2)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from service.changes.ordering import order_of
from service.products.layer import Task
from service.products.rulings import StockRulings
from service.takeoff.job import Job
from service.takeoff.pipeline import Takeoff

LEVEL = "first order"
"""Where the rule is said to be from, in the basis of the work."""

AnyOf = TypeVar("AnyOf", bound=Task[Any, Any, Any])  # a layer, or what stands behind a surface


@dataclass(frozen=True, slots=True)
class _Spared:
    """How many are bought in reserve of each length beyond those that the first order has."""

    spare: int


def reserve_of(before: Takeoff) -> Mapping[str, int]:
    """How many of each product the first order has in reserve, of the length with most."""
    found: dict[str, int] = {}
    for row in order_of(before):
        found[row.product] = max(found.get(row.product, 0), row.bought.spare)
    return found


def with_reserve(job: Job, reserve: Mapping[str, int]) -> Job:
    """A job whose spares are those that the `reserve` has not; culls are of what is bought anew."""
    layers = tuple(replace(one, task=_spared(one.task, reserve)) for one in job.layers)
    nailers = {surface: _spared(task, reserve) for surface, task in job.nailers.items()}
    return replace(job, layers=layers, nailers=nailers)


def _spared(task: AnyOf, reserve: Mapping[str, int]) -> AnyOf:
    there, rules = reserve.get(task.product.id, 0), task.rules
    if not (there and isinstance(rules, StockRulings)):
        return task
    left = _Spared(max(0, rules.spare - there))
    return replace(task, rules=rules.overruled(LEVEL, left))
