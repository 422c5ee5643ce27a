"""Strips parted into groups that share rolls, at the least cost of whole rolls.

Take strips and rolls as points and the pieces as lines between them. A group that hangs together
has a line fewer than points at least, so that it has a lap less than rolls at least: each roll is
worth its length less a lap, and one lap comes back. Every way of parting all strips into groups is
weighed, so that the least of them is what no plan costs less than, whatever comes off which roll.
Of rolls of which there are so many each group takes some of them. All lengths are ticks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from math import prod

import numpy as np
from numpy.typing import NDArray

from service.cutting.mixes import Good, Shelf, mixes
from service.cutting.records import Stock

MOST_STATES = 2000
"""With more ways to take some of the strips and of the rolls at hand nothing is weighed."""

NEVER = 1 << 60
"""The cost of a group for which there are not rolls enough."""

Costs = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Group:
    """Strips that share rolls: how many of each length, and how many rolls of each stock."""

    strips: Mapping[int, int]
    rolls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Parted:
    """All strips in groups, and what their rolls cost: no plan costs less."""

    groups: tuple[Group, ...]
    cost: int


def parted(stocks: Sequence[Stock], strips: Mapping[int, int], lap: int) -> Parted | None:
    """All strips (how many of each length) in groups of the least cost; `lap` is lost at a lap.

    None where there are too many of them, rolls no longer than a lap, or not rolls enough.
    """
    if min(stock.usable for stock in stocks) <= lap:
        return None
    job = _Job(stocks, strips, lap)
    if prod(job.counts) > MOST_STATES:
        return None
    least, first = _least(job.costs())
    last = least.reshape(job.kinds, -1)[-1]
    best = int(last.argmin())
    if last[best] >= NEVER:
        return None
    at = np.unravel_index((job.kinds - 1) * len(last) + best, job.counts)
    groups = tuple(job.group(own) for own in _groups(first, np.array(at)))
    return Parted(groups, int(last[best]))


class _Job:
    """Strips, and the rolls that they come off: those without end, and those at hand.

    A choice of some strips and of some rolls at hand is how many there are of each in turn;
    `counts` are one more than all of them, `kinds` is how many choices of strips there are.
    """

    def __init__(self, stocks: Sequence[Stock], strips: Mapping[int, int], lap: int) -> None:
        self.lengths = list(strips)
        self.lap = lap
        goods = [Good(stock.cost, stock.usable - lap, stock.supply) for stock in stocks]
        self._goods = goods
        self._few = [k for k, good in enumerate(goods) if good.supply is not None]
        self._endless = [good for good in goods if good.supply is None]
        total = sum(length * count for length, count in strips.items())
        held = [min(goods[k].supply or 0, total // goods[k].worth + 1) for k in self._few]
        self.kinds = prod(count + 1 for count in strips.values())
        self.counts = tuple(count + 1 for count in (*strips.values(), *held))

    def costs(self) -> Costs:
        """What a group of each choice costs; without strips it is none."""
        chosen = np.indices(self.counts).reshape(len(self.counts), -1)
        strips, few = chosen[: len(self.lengths)], chosen[len(self.lengths) :]
        totals = np.array(self.lengths, dtype=np.int64) @ strips
        worths = np.array([self._goods[k].worth for k in self._few], dtype=np.int64) @ few
        paid = np.array([self._goods[k].cost for k in self._few], dtype=np.int64) @ few
        wanted = np.maximum(0, np.maximum(1, totals - self.lap) - worths)
        found = Shelf(self._endless).least_mixes(wanted.tolist()) if self._endless else []
        more = found or [0 if one == 0 else None for one in wanted.tolist()]
        costs = paid + np.array([NEVER if one is None else one for one in more], dtype=np.int64)
        return np.where(totals > 0, costs, NEVER).reshape(self.counts)

    def group(self, own: Sequence[int]) -> Group:
        """A choice with its rolls: of mixes that cost the least the one that is longest."""
        strips = dict(zip(self.lengths, own, strict=False))
        few = dict(zip(self._few, own[len(self.lengths) :], strict=True))
        total = sum(length * count for length, count in strips.items())
        wanted = max(1, total - self.lap) - sum(self._goods[k].worth * n for k, n in few.items())
        bought = iter(self._bought(wanted))
        rolls = (few[k] if k in few else next(bought) for k in range(len(self._goods)))
        return Group(strips, tuple(rolls))

    def _bought(self, wanted: int) -> tuple[int, ...]:
        """The rolls without end that are bought for so much length."""
        none = (0,) * len(self._endless)
        if wanted <= 0:
            return none
        cost = Shelf(self._endless).least_mix(wanted)
        return next(mixes(self._endless, wanted, cost + 1), none)


def _least(costs: Costs) -> tuple[Costs, NDArray[np.intp]]:
    """The least cost of each choice in any groups, and the first group of them."""
    least = np.full(costs.shape, NEVER, dtype=np.int64)
    first = np.zeros(costs.shape, dtype=np.intp)
    back = (slice(None, None, -1),) * costs.ndim
    least[(0,) * costs.ndim] = 0
    for at in islice(np.ndindex(costs.shape), 1, None):
        box = tuple(slice(0, one + 1) for one in at)
        sums = costs[box] + least[box][back]
        best = np.unravel_index(int(sums.argmin()), sums.shape)
        least[at] = min(NEVER, int(sums[best]))
        first[at] = np.ravel_multi_index(best, costs.shape)
    return least, first


def _groups(first: NDArray[np.intp], at: NDArray[np.intp]) -> Iterator[tuple[int, ...]]:
    """The groups of a choice, each as how many it has of each strip and of each roll at hand."""
    while at.any():
        own = np.array(np.unravel_index(first[tuple(at)], first.shape))
        yield tuple(int(count) for count in own)
        at = at - own
