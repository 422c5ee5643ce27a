"""What a plan must cost at least, seen without patterns. Lengths are ticks, costs integers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import reduce
from math import gcd

import numpy as np

from service.cutting.records import Need, Stock
from service.units.ticks import ceiling

MOST_COST = 2_000_000_000
"""Steps of cost that a stick has at most in the programmes; what is finer is rounded down."""

MOST_COSTS = 200_000
"""Costs that `mixed` tries at most."""


def step_of(stocks: Sequence[Stock]) -> int:
    """The greatest amount of which every cost is a multiple; 1 if all cost nothing."""
    return reduce(gcd, (stock.cost for stock in stocks)) or 1


def grain_of(stocks: Sequence[Stock], joint_cost: int = 0) -> int:
    """The step in which costs are told to the programmes: their common divisor, or a coarser one.

    Costs rounded down by it give bounds that are still sure, and that no machine number overflows.
    """
    step = gcd(step_of(stocks), joint_cost)
    dearest = max(joint_cost, *(stock.cost for stock in stocks))
    return max(step, -(-dearest // MOST_COST))


def attainable(bound: Fraction, stocks: Sequence[Stock]) -> int:
    """The least multiple of the costs' common divisor that is not under `bound`."""
    step = step_of(stocks)
    return max(0, ceiling(bound / step)) * step


def material(needs: Mapping[Need, int], kerf: int) -> int:
    """The bare length of all pieces, each with its kerf."""
    return sum((need.length + kerf) * count for need, count in needs.items())


def material_bound(
    stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int, *, ends_known: bool = True
) -> int:
    """What the bare length must cost, cheapest by the length first, short supply while it lasts.

    What raw ends spare counts for every stick, or where the ends of all pieces are known for every
    end that is spared: whichever is less.
    """
    length = material(needs, kerf)
    least = _by_length(stocks, length, kerf, spare=True)
    low, high = (max(stock.spare[end] for stock in stocks) for end in (0, 1))
    if ends_known and (low or high):
        length -= sum((low * n.low_spared + high * n.high_spared) * k for n, k in needs.items())
        least = max(least, _by_length(stocks, max(0, length), kerf, spare=False))
    return least


def _by_length(stocks: Sequence[Stock], length: int, kerf: int, *, spare: bool) -> int:
    """What so much length costs at least; with what raw ends `spare` on every stick, or without."""
    rooms = [((s.reach if spare else s.usable) + kerf, s) for s in stocks]
    cost = Fraction(0)
    for room, stock in sorted(rooms, key=lambda one: Fraction(one[1].cost, one[0])):
        most = length if stock.supply is None else min(length, stock.supply * room)
        cost += Fraction(stock.cost * most, room)
        length -= most
    return attainable(cost, stocks)


def mixed(
    stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int, low: int, high: int
) -> int:
    """The least cost from `low` to `high` at which some mix of sticks is long enough for all.

    `low` and `high` are multiples of the costs' common divisor; gives `high` if none under it is.
    """
    step = step_of(stocks)
    top = high // step
    if not 0 < top <= MOST_COSTS or any(stock.cost == 0 for stock in stocks):
        return low
    room = np.full(top + 1, -1, dtype=np.int64)
    room[0] = 0
    for stock in stocks:
        cost, copies = stock.cost // step, 1
        most = top // cost if stock.supply is None else min(stock.supply, top // cost)
        while most > 0:
            taken = min(copies, most)
            before = room[: top + 1 - taken * cost]
            after = np.where(before >= 0, before + taken * (stock.reach + kerf), -1)
            np.maximum(room[taken * cost :], after, out=room[taken * cost :])
            most, copies = most - taken, copies * 2
    enough = np.flatnonzero(room[low // step :] >= material(needs, kerf))
    return high if not len(enough) else min(high, low + int(enough[0]) * step)
