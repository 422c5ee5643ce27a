"""Which way each layer of a product runs, chosen for all that share its rolls (13.2, 19.2).

Each layer comes in the way that takes the least by itself, and runs in another only where all
together cost less so. Few ways together are all tried; of many, those of one layer after another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from math import inf, prod

from service.cutting.effort import EFFORTS
from service.cutting.rolls import bare_least, roll_out
from service.products.goods.roll.needs import Need, WayRun
from service.products.goods.roll.rolling import MOST_WAYS, laps_of, lengths_of, rolls_of
from service.products.supplied import SearchSettings

Ways = tuple[int, ...]
"""The number of the way in which each layer runs."""


def joint(needs: Sequence[Need], settings: SearchSettings) -> tuple[WayRun | None, ...]:
    """The way of each layer that is to run in another than the one in which it came."""
    counts = [len(need.wanted.tried) for need in needs]
    if settings.trial or len(needs) < 2 or prod(counts) <= 1:
        return (None,) * len(needs)
    came = tuple(need.wanted.tried.index(need.wanted.strips) for need in needs)
    best, least = came, _cost(needs, came, settings, inf)
    for some in _steps(counts):
        for ways in some:
            other = tuple(own if way is None else way for way, own in zip(ways, best, strict=True))
            cost = least if other == best else _cost(needs, other, settings, least)
            if cost < least:
                best, least = other, cost
    return tuple(None if way == own else WayRun(way) for way, own in zip(best, came, strict=True))


def _steps(counts: Sequence[int]) -> Iterator[Iterator[tuple[int | None, ...]]]:
    """Ways to be tried, step by step; None where a layer keeps the best way so far."""
    if prod(counts) <= MOST_WAYS:
        yield product(*map(range, counts))
        return
    for number, count in enumerate(counts):
        if count > 1:
            yield (
                tuple(way if k == number else None for k in range(len(counts)))
                for way in range(count)
            )


def _cost(needs: Sequence[Need], ways: Ways, settings: SearchSettings, under: float) -> float:
    """What rolls cost if each layer runs so; infinite where they cannot cost less than `under`."""
    stocks, _ = rolls_of(needs[0].task, settings)
    laps = laps_of(needs[0].task)
    lengths = lengths_of(
        [
            (k, strip)
            for k, (need, way) in enumerate(zip(needs, ways, strict=True))
            for strip in need.wanted.tried[way]
        ]
    )
    if bare_least(lengths, stocks, laps) >= under:
        return inf
    plan = roll_out(lengths, stocks, laps, EFFORTS[settings.effort])
    return inf if plan is None else plan.cost
