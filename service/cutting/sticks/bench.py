"""Stocks and needs in a common unit, as patterns are priced.

Weights are piece plus kerf, capacities usable plus kerf, so that n pieces need n - 1 kerfs.
They are scaled to a common unit; where that would be too fine, weights are rounded up for
patterns (always cuttable) and down for bounds (always valid).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from math import gcd

from service.cutting.records import Need, Stock

FINEST = 16_000
"""Units that the longest stick has at most."""

MOST_WORTH = 1 << 60
"""What a stick may be worth in the integers that carry it: two of them add up to no overflow."""


@dataclass(frozen=True, slots=True)
class Bench:
    """Stocks and needs in a common unit, ready for pricing; `most` of each need in a pattern.

    Numbers of needs by the ends that they take: `free` may lie anywhere in a stick, `lows` and
    `highs` take one end of it, `whole` are whole sticks. `spared` are those of the free ones that
    spare length at the low end, at the high end, and at both where they are alone; and `spare` how
    much of each stock: what is sure, and what it is at most.
    """

    stocks: tuple[Stock, ...]
    needs: tuple[Need, ...]
    most: tuple[int, ...]
    up: tuple[int, ...]
    down: tuple[int, ...]
    capacities: tuple[int, ...]
    free: tuple[int, ...]
    lows: tuple[int, ...]
    highs: tuple[int, ...]
    whole: tuple[int, ...]
    spared: tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]
    spare: tuple[tuple[tuple[int, int], tuple[int, int]], ...]
    unit: int

    @property
    def exact(self) -> bool:
        """Whether nothing was rounded."""
        return self.up == self.down and all(sure == most for sure, most in self.spare)

    @property
    def reach(self) -> int:
        """The most that the pieces of any stick can take."""
        pairs = zip(self.capacities, self.spare, strict=True)
        return max(capacity + low + high for capacity, (_, (low, high)) in pairs)

    def excess(self, values: Sequence[int]) -> int:
        """By how many bits `values` must be cut so that no stick can be worth over `MOST_WORTH`.

        A stick is worth no more than its room at the best price by the weight, and all that
        weighs nothing.
        """
        room = self.reach
        triples = list(zip(values, self.down, self.most, strict=True))
        every = sum(value * most for value, _, most in triples)
        light = sum(value * most for value, weight, most in triples if not weight)
        by_weight = max((-(-value * room // w) for value, w, _ in triples if w), default=0)
        return max(0, (min(every, light + by_weight) // MOST_WORTH).bit_length())


def bench_for(
    stocks: Sequence[Stock],
    needs: Sequence[Need],
    kerf: int,
    most: Sequence[int] | None = None,
    least: Sequence[int] | None = None,
    cut_to_least: bool = True,
) -> Bench:
    """Scale stocks and needs (ticks) for `price`.

    `least` may give a length for each need, not over its own: bounds are taken from it, and with
    `cut_to_least` patterns too.
    """
    own = [need.length + kerf for need in needs]
    light = own if least is None else [length + kerf for length in least]
    weights = light if cut_to_least else own
    room = [stock.usable + kerf for stock in stocks]
    gains = [gain for stock in stocks for gain in stock.spare if gain]
    unit = max(reduce(gcd, gains, reduce(gcd, weights)), -(-max(room) // FINEST))
    down = tuple(weight // unit for weight in light)
    capacities = tuple(space // unit for space in room)
    longest = max(-(-(stock.reach + kerf) // unit) for stock in stocks)
    by_ends = {
        ends: tuple(k for k, n in enumerate(needs) if (n.low_factory, n.high_factory) == ends)
        for ends in ((False, False), (True, False), (False, True), (True, True))
    }
    return Bench(
        stocks=tuple(stocks),
        needs=tuple(needs),
        most=tuple(most) if most is not None else tuple(longest // max(w, 1) for w in down),
        up=tuple(-(-weight // unit) for weight in weights),
        down=down,
        capacities=capacities,
        free=by_ends[False, False],
        lows=by_ends[True, False],
        highs=by_ends[False, True],
        whole=by_ends[True, True],
        spared=_spared(needs, turned=stocks[0].turned),
        spare=tuple(
            ((low // unit, high // unit), (-(-low // unit), -(-high // unit)))
            for low, high in (stock.spare for stock in stocks)
        ),
        unit=unit,
    )


def _spared(
    needs: Sequence[Need], *, turned: bool
) -> tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
    """Numbers of needs that spare length at the low end, at the high end, and at both alone.

    Where pieces may be `turned` either end will do for both, but one piece still has two.
    """
    lows = tuple(k for k, n in enumerate(needs) if n.low_spared or (turned and n.high_spared))
    highs = tuple(k for k, n in enumerate(needs) if n.high_spared or (turned and n.low_spared))
    both = tuple(k for k, n in enumerate(needs) if n.low_spared and n.high_spared)
    return lows, highs, both
