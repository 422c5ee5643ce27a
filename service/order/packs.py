"""The mix of pack sizes that is best for a need: cheapest where all have prices (19.3)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import gcd, lcm
from typing import TypeAlias

from service.order.lines import Bought
from service.units.ticks import ceiling

MOST_STEPS = 20_000
"""What is reckoned pack by pack, in common parts of the packs; more is first taken in one size."""

_Way: TypeAlias = tuple[int, int, int]
"""What it costs, how many packs it takes, and the number of the last one taken."""


@dataclass(frozen=True, slots=True)
class Pack:
    """What is sold as one: what it holds, in whatever unit, and its price, if it has one."""

    holds: int | Fraction
    price: Fraction | None = None


def best_mix(need: int | Fraction, packs: Sequence[Pack]) -> list[int]:
    """How many of each pack hold `need`, in the order of `packs`.

    The least total price where each pack has one, then the least left over, then the fewest packs;
    where any has none the least left over, then the fewest. What is needed beyond `MOST_STEPS`
    common parts of the packs is first taken in the pack of the best value.
    """
    sizes, wanted = _in_parts(need, [Fraction(pack.holds) for pack in packs])
    prices = _prices(packs)
    value = min(range(len(packs)), key=lambda k: (Fraction(prices[k], sizes[k]), -sizes[k]))
    ahead = -(-max(0, wanted - MOST_STEPS) // sizes[value])
    counts = _counts(wanted - ahead * sizes[value], sizes, prices)
    counts[value] += ahead
    return counts


def parted(need: int, total: int, packs: Sequence[Pack]) -> Iterator[tuple[int, Bought]]:
    """The line of each size that is bought, the largest first, with the number of the size.

    `total` is the need with what is lost of it. Where nothing is needed the largest size has a line
    that says so.
    """
    order = sorted(range(len(packs)), key=lambda k: -packs[k].holds)
    counts = best_mix(total, packs)
    lost = total - need
    for k in order:
        if not counts[k] and (total or k != order[0]):
            continue
        buy = counts[k] * packs[k].holds // 1
        own = min(need, buy)
        over = min(lost, buy - own)
        need, lost = need - own, lost - over
        yield k, Bought(own, 0, 0, over, buy, counts[k], packs[k].holds)


def _in_parts(need: int | Fraction, holds: Sequence[Fraction]) -> tuple[list[int], int]:
    """What packs hold, and what is needed, in the largest part that goes into every pack."""
    scale = reduce(lcm, (one.denominator for one in holds))
    whole = [int(one * scale) for one in holds]
    part = reduce(gcd, whole)
    return [one // part for one in whole], ceiling(Fraction(need) * scale / part)


def _prices(packs: Sequence[Pack]) -> list[int]:
    """The price of each pack in one small coin; nothing counts where one of them has none."""
    known = [pack.price for pack in packs if pack.price is not None]
    if len(known) < len(packs):
        return [0] * len(packs)
    coin = reduce(lcm, (price.denominator for price in known))
    return [int(price * coin) for price in known]


def _counts(wanted: int, sizes: Sequence[int], prices: Sequence[int]) -> list[int]:
    """The best mix that holds `wanted` common parts or more."""
    counts = [0] * len(sizes)
    if wanted <= 0:
        return counts
    most = wanted + max(sizes) - 1
    best = _ways(most, sizes, prices)
    held = ((one[0], at, one[1]) for at in range(wanted, most + 1) if (one := best[at]))
    at = min(held)[1]
    while at > 0 and (one := best[at]) is not None:
        counts[one[2]] += 1
        at -= sizes[one[2]]
    return counts


def _ways(most: int, sizes: Sequence[int], prices: Sequence[int]) -> list[_Way | None]:
    """The best way to hold just each amount up to `most`; None where no packs do."""
    best: list[_Way | None] = [(0, 0, -1)]
    for at in range(1, most + 1):
        found: list[_Way] = []
        for k, size in enumerate(sizes):
            before = best[at - size] if size <= at else None
            if before is not None:
                found.append((before[0] + prices[k], before[1] + 1, k))
        best.append(min(found, default=None))
    return best
