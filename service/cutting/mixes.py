"""Mixes of whole goods, sheets or rolls: the cheapest that is worth enough, the best for a cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import reduce
from math import gcd
from typing import Any

import numpy as np
from numpy.typing import NDArray

from service.units.ticks import ceiling

MOST_COSTS = 200_000
"""Costs that are tried at most; beyond, goods are taken to be divisible."""

MOST_SUM = 1 << 62
"""Sums that may be larger are not held in 64 bits."""

_NO_MIX = -MOST_SUM
"""What a cost is worth that no mix has: less than nothing, whatever is added."""


@dataclass(frozen=True, slots=True)
class Good:
    """One thing that can be bought: what it costs, is worth, and how many there are.

    A `supply` of None is without limit.
    """

    cost: int
    worth: int
    supply: int | None = None


class _Reckoned:
    """What mixes of some goods are worth at each cost that was asked for so far."""

    def __init__(self, goods: Sequence[Good], step: int) -> None:
        self._goods, self._step = goods, step
        self.worths: NDArray[Any] = np.zeros(0, dtype=np.int64)
        self.most = self.worths

    def up_to(self, top: int) -> _Reckoned:
        """This, with costs up to `top` steps; a little beyond, for the next one lies near."""
        if len(self.worths) <= top:
            self.worths = _worths(self._goods, self._step, top + top // 4)
            self.most = np.maximum.accumulate(self.worths)
        return self


class Shelf:
    """Goods of which whole ones are bought; what mixes of them are worth is reckoned once.

    `reckoned` is shared by shelves whose goods are worth the same but for a factor.
    """

    def __init__(
        self,
        goods: Sequence[Good],
        reckoned: dict[tuple[Good, ...], _Reckoned] | None = None,
    ) -> None:
        self._paid, self._free = _paid(goods), _free(goods)
        self._step = _step(self._paid) if self._paid else 1
        self._unit = gcd(*(good.worth for good in self._paid)) or 1
        known = {} if reckoned is None else reckoned
        alike = tuple(replace(good, worth=good.worth // self._unit) for good in self._paid)
        self._reckoned = known.setdefault(alike, _Reckoned(alike, self._step))

    def least_mix(self, wanted: int, least: int = 0) -> int:
        """The least cost of whole goods that are together worth `wanted`, and cost `least` or more.

        Exact up to `MOST_COSTS`. Where all there is does not reach, what all of it costs.
        """
        paid, step = self._paid, self._step
        if self._free is None or wanted <= self._free or not paid:
            return 0
        wanted -= self._free
        low = max(ceiling(_divided(paid, wanted) / step), -(-least // step))
        # The goods taken whole, and one more where a part was wanted, are such a mix.
        top = low + max(good.cost for good in paid) // step
        if top > MOST_COSTS:
            return low * step
        worths = self._reckoned.up_to(top).worths[low : top + 1]
        reached = np.flatnonzero(worths >= -(-wanted // self._unit))
        return (low + int(reached[0]) if len(reached) else low) * step

    def least_mixes(self, wanted: Sequence[int]) -> list[int | None]:
        """The least cost of whole goods for each of several worths; None where there is none.

        None for all where costs are too many to be tried.
        """
        paid, free, step = self._paid, self._free, self._step
        if free is None or not paid:
            return [0 if free is None or one <= free else None for one in wanted]
        top = self.least_mix(max(wanted)) // step + max(good.cost for good in paid) // step
        if top > MOST_COSTS:
            return [None] * len(wanted)
        most = self._reckoned.up_to(top).most[: top + 1]
        needed = [-(-max(0, one - free) // self._unit) for one in wanted]
        found = np.searchsorted(most, np.array(needed, dtype=most.dtype))
        return [int(at) * step if at <= top else None for at in found]

    def most_worth(self, cost: int) -> int | None:
        """The most that whole goods are worth which cost no more than `cost`; None without limit.

        Exact up to `MOST_COSTS`; beyond, no less than that.
        """
        paid, free = self._paid, self._free
        if free is None or not paid:
            return free
        top = cost // self._step
        if top > MOST_COSTS:
            return free + ceiling(max(Fraction(good.worth * cost, good.cost) for good in paid))
        return free + self._unit * int(self._reckoned.up_to(top).most[top])


def least_mix(goods: Sequence[Good], wanted: int, least: int = 0) -> int:
    """The least cost of whole goods that are together worth `wanted`, and cost `least` or more."""
    return Shelf(goods).least_mix(wanted, least)


def mixes(goods: Sequence[Good], wanted: int, under: int) -> Iterator[tuple[int, ...]]:
    """Mixes of whole goods worth `wanted`, cheapest first, that cost less than `under`.

    A mix is how many of each are in it; all that is free is. At each cost there is the one that is
    worth most. None where there is no end of what is free, or where there are too many costs.
    """
    paid, free = _paid(goods), _free(goods)
    if free is None or not paid:
        return
    step = _step(paid)
    top = (under - 1) // step
    if not 0 <= top <= MOST_COSTS // len(paid):
        return
    stages = [_worths(paid[: k + 1], step, top) for k in range(len(paid))]
    for at in np.flatnonzero(stages[-1] >= wanted - free):
        counts = iter(_counts(paid, stages, step, int(at)))
        yield tuple(_free_of(good) if good not in paid else next(counts) for good in goods)


def _counts(goods: Sequence[Good], stages: Sequence[NDArray[Any]], step: int, at: int) -> list[int]:
    """How many of each good are in the mix that is worth most at a cost of `at` steps.

    `stages` are the most that mixes of the first so many goods are worth.
    """
    found: list[int] = []
    for k in reversed(range(len(goods))):
        good, worth = goods[k], stages[k][at]
        count, cost = 0, goods[k].cost // step
        while not _is_worth(stages[k - 1] if k else None, at - count * cost, worth):
            count, worth = count + 1, worth - good.worth
        found.append(count)
        at -= count * cost
    return found[::-1]


def _free_of(good: Good) -> int:
    """How many of a good that costs or is worth nothing are in every mix."""
    return 0 if good.cost else good.supply or 0


def _is_worth(stage: NDArray[Any] | None, at: int, worth: int) -> bool:
    """Whether the goods of a stage, none before the first, are worth so much at that cost."""
    return at == worth == 0 if stage is None else bool(stage[at] == worth)


def _paid(goods: Sequence[Good]) -> list[Good]:
    return [good for good in goods if good.cost and good.worth]


def _free(goods: Sequence[Good]) -> int | None:
    """The worth of all that costs nothing; None if there is no end of it."""
    free = [good for good in goods if not good.cost and good.worth]
    if any(good.supply is None for good in free):
        return None
    return sum(good.supply * good.worth for good in free if good.supply is not None)


def _step(goods: Sequence[Good]) -> int:
    return reduce(gcd, (good.cost for good in goods))


def _divided(goods: Sequence[Good], wanted: int) -> Fraction:
    """The cost if any part of a good could be bought, cheapest for its worth first."""
    cost, left = Fraction(0), wanted
    for good in sorted(goods, key=lambda one: Fraction(one.cost, one.worth)):
        taken = left if good.supply is None else min(left, good.supply * good.worth)
        cost += Fraction(good.cost * taken, good.worth)
        left -= taken
    return cost


def _worths(goods: Sequence[Good], step: int, top: int) -> NDArray[Any]:
    """The most that mixes are worth at each cost up to `top` steps; -1 where none costs that."""
    large = max(good.worth for good in goods) * (top + 1) >= MOST_SUM
    worth: NDArray[Any] = np.full(top + 1, _NO_MIX, dtype=object if large else np.int64)
    worth[0] = 0
    for good in goods:
        cost, copies = good.cost // step, 1
        left = top // cost if good.supply is None else min(good.supply, top // cost)
        while left > 0:
            taken = min(copies, left)
            more = worth[: top + 1 - taken * cost] + taken * good.worth
            worth[taken * cost :] = np.maximum(worth[taken * cost :], more)
            left, copies = left - taken, copies * 2
    worth[worth < 0] = -1
    return worth
