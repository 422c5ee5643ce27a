"""What a plan must cost at least, seen without patterns. Lengths are ticks, costs integers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import reduce
from itertools import combinations
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
    ways = _lengths(stocks, needs, kerf, ends_known=ends_known)
    return attainable(max(_by_length(rooms, length) for rooms, length in ways), stocks)


def jointed_bound(
    stocks: Sequence[Stock], runs: Mapping[Need, int], joint_cost: int, joints: int,
    *, ends_known: bool,
) -> int:  # fmt: skip
    """The same for runs that are jointed at `joint_cost` a joint, with `joints` of them or more.

    Every stick yields a piece, and a run has a piece more than joints: as many sticks as there are
    over the runs, so many joints at least. Any share of a joint's cost may be put on the sticks,
    and the rest on the joints that must be; the share that promises most is one at which two
    lengths cost alike by the foot.
    """
    least = Fraction(0)
    for rooms, length in _lengths(stocks, runs, 0, ends_known=ends_known):
        for share in shares_of(rooms, joint_cost):
            each = share * joint_cost
            sticks = _by_length(rooms, length, each)
            least = max(least, sticks - each * sum(runs.values()) + (joint_cost - each) * joints)
    return ceiling(least)


Room = tuple[int, Stock]
"""What the pieces and cuts of a stick can take, and the stick."""


def _lengths(
    stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int, *, ends_known: bool
) -> Iterator[tuple[Sequence[Room], int]]:
    """What sticks hold and what they must hold, as `material_bound` counts what is spared."""
    length = material(needs, kerf)
    yield [(stock.reach + kerf, stock) for stock in stocks], length
    low, high = (max(stock.spare[end] for stock in stocks) for end in (0, 1))
    if ends_known and (low or high):
        spared = sum((low * n.low_spared + high * n.high_spared) * k for n, k in needs.items())
        yield [(stock.usable + kerf, stock) for stock in stocks], max(0, length - spared)


def _by_length(rooms: Sequence[Room], length: int, each: Fraction = Fraction(0)) -> Fraction:
    """What so much length costs at least, where every stick costs `each` more."""
    cost = Fraction(0)
    dear = [(Fraction(stock.cost + each), room, stock.supply) for room, stock in rooms]
    for price, room, supply in sorted(dear, key=lambda one: one[0] / one[1]):
        most = length if supply is None else min(length, supply * room)
        cost += price * most / room
        length -= most
    return cost


def shares_of(rooms: Sequence[Room], joint_cost: int) -> set[Fraction]:
    """None, all, and every share of a joint's cost at which two sticks cost alike by the length."""
    alike = {
        Fraction(a.cost * there - b.cost * here, joint_cost * (here - there))
        for (here, a), (there, b) in combinations(rooms, 2)
        if here != there
    }
    return {Fraction(0), Fraction(1), *(share for share in alike if 0 < share < 1)}


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
