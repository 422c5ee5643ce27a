"""The best patterns for each stock at given prices: an exact integer knapsack.

Weights are piece plus kerf, capacities usable plus kerf, so that n pieces need n - 1 kerfs.
They are scaled to a common unit; where that would be too fine, weights are rounded up for
patterns (always cuttable) and down for bounds (always valid). No pattern holds more of a piece
than is wanted: no plan needs one that does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from math import gcd

import numpy as np
import numpy.typing as npt

from service.cutting.records import Need, Pattern, Stock

FINEST = 16_000

BEST_OF_A_STOCK, NEEDS_FOR_ONE = 8, 16
"""Patterns of one stock that one pricing gives at most, or one for so many needs: more of them
save rounds."""

MOST_WORTH = 1 << 60
"""What a stick may be worth in the integers that carry it: two of them add up to no overflow."""

Values = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Pass:
    """One step of filling: `copies` more of `item`, and from which capacities on that paid."""

    item: int
    copies: int
    weight: int
    better: npt.NDArray[np.bool_]
    worth: list[int]


@dataclass(frozen=True, slots=True)
class Filled:
    """Best value for each capacity, and the passes by which it was reached."""

    best: Values
    passes: tuple[Pass, ...]

    def pieces(self, capacity: int, last: int | None = None) -> Counter[int]:
        """How many of each item the best filling of `capacity` by the passes to `last` holds."""
        taken: Counter[int] = Counter()
        for one in reversed(self.passes if last is None else self.passes[: last + 1]):
            if capacity >= one.weight and one.better[capacity - one.weight]:
                taken[one.item] += one.copies
                capacity -= one.weight
        return taken

    def ends(self, place: int, capacity: int) -> Iterator[tuple[int, int]]:
        """Value and number of every pass that made the filling of a watched capacity better."""
        for number, one in enumerate(self.passes):
            if capacity >= one.weight and one.better[capacity - one.weight]:
                yield one.worth[place], number


def fill(
    weights: Sequence[int],
    values: Sequence[int],
    most: Sequence[int],
    capacity: int,
    watched: Sequence[int] = (),
    start: Values | None = None,
) -> Filled:
    """Fill every capacity up to `capacity` with at most `most` of each item, for greatest value.

    `watched` capacities have their value noted at every pass. `start` is what other items that
    are there already can be worth at each capacity.
    """
    best = np.zeros(capacity + 1, dtype=np.int64) if start is None else start.copy()
    passes = []
    places = np.array(watched, dtype=np.int64)
    for item in sorted(range(len(weights)), key=lambda k: (-weights[k], k)):
        if values[item] <= 0:
            continue
        # A piece may be so short that it weighs nothing once rounded down.
        able = capacity // weights[item] if weights[item] else most[item]
        for copies in _halves(min(most[item], able)):
            weight = copies * weights[item]
            tried = best[: capacity + 1 - weight] + copies * values[item]
            better = tried > best[weight:]
            np.maximum(best[weight:], tried, out=best[weight:])
            passes.append(Pass(item, copies, weight, better, best[places].tolist()))
    return Filled(best, tuple(passes))


def _halves(most: int) -> Iterator[int]:
    """Few numbers whose sums are all the numbers up to `most`: 1, 2, 4, ... and what is left."""
    copies = 1
    while copies <= most:
        yield copies
        most -= copies
        copies *= 2
    if most:
        yield most


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


@dataclass(frozen=True, slots=True)
class Priced:
    """What every stick can be worth at most, and patterns worth more than their charge."""

    most: tuple[int, ...]
    patterns: tuple[Pattern, ...]


def price(bench: Bench, values: Sequence[int], charges: Sequence[int]) -> Priced:
    """Patterns that pay at these prices of the needs and charges of the stocks.

    The patterns can be cut; the greatest values are upper bounds.
    """
    filled = _filled(bench, values, bench.up)
    sure = filled if bench.exact else _filled(bench, values, bench.down)
    ended = [_best_ends(bench, values, k, sure, sure=False) for k in range(len(charges))]
    most = tuple(own[0].value for own in ended)
    found = list[Pattern]()
    for k, charge in enumerate(charges):
        if most[k] > charge:
            own = ended[k] if bench.exact else _best_ends(bench, values, k, filled, sure=True)
            found += _paying(bench, values, k, charge, filled, own)
    return Priced(most, tuple(found))


@dataclass(frozen=True, slots=True)
class Ended:
    """What a stick is worth with some pieces at its ends, and the room left for others.

    The room is -1 for a piece that fills the stick alone.
    """

    value: int
    ends: tuple[int, ...]
    room: int


def _paying(
    bench: Bench, values: Sequence[int], number: int, charge: int, filled: Filled,
    best: Sequence[Ended],
) -> Iterator[Pattern]:  # fmt: skip
    """The patterns of one stock that are worth more than its charge, best first."""
    capacity = bench.capacities[number]
    most = max(BEST_OF_A_STOCK, len(bench.needs) // NEEDS_FOR_ONE)
    ended = most if any(bench.stocks[number].spare) else 1
    for one in best[:ended]:
        if one.value > charge and one.ends:
            free = filled.pieces(one.room) if one.room >= 0 else Counter[int]()
            yield _pattern(bench, number, _within_most(bench, one.ends, _numbered(bench, free)))
    ends = sorted(filled.ends(number, capacity), reverse=True)[:most]
    for worth, last in ends:
        if worth > charge:
            yield _pattern(bench, number, _numbered(bench, filled.pieces(capacity, last)))
    for worth, k in _with_each(bench, values, capacity, filled)[:most]:
        pieces = _numbered(bench, filled.pieces(capacity - bench.up[k])) + Counter({k: 1})
        if worth > charge and pieces[k] <= bench.most[k]:
            yield _pattern(bench, number, pieces)


def _within_most(bench: Bench, ends: tuple[int, ...], free: Counter[int]) -> Counter[int]:
    """The pieces of a stick: those at its ends, and of the others no more than are wanted."""
    own = Counter(ends)
    for k in own:
        free[k] = max(0, min(free[k], bench.most[k] - own[k]))
    return own + free


def _with_each(
    bench: Bench, values: Sequence[int], capacity: int, filled: Filled
) -> list[tuple[int, int]]:
    """Value of the best filling round one piece of each need, best first, with its number."""
    found = [
        (values[k] + int(filled.best[capacity - bench.up[k]]), k)
        for k in bench.free
        if values[k] > 0 and bench.up[k] <= capacity
    ]
    return sorted(found, key=lambda one: (-one[0], one[1]))


def _filled(bench: Bench, values: Sequence[int], weights: Sequence[int]) -> Filled:
    free = bench.free
    return fill(
        [weights[k] for k in free],
        [values[k] for k in free],
        [bench.most[k] for k in free],
        bench.reach,
        bench.capacities,
    )


def _best_ends(
    bench: Bench, values: Sequence[int], number: int, filled: Filled, *, sure: bool
) -> list[Ended]:
    """What a stick is worth, best first, by the piece at its low end; `sure`: it can be cut.

    The first is the greatest value of all: also of a stick whose ends no piece is for.
    """
    weights, capacity = bench.up if sure else bench.down, bench.capacities[number]
    best = Ended(int(filled.best[capacity]), (), capacity)
    for k in bench.whole:
        if bench.needs[k].length == bench.stocks[number].usable and values[k] > best.value:
            best = Ended(values[k], (k,), -1)
    low, high = bench.spare[number][not sure]
    lows = _ending(values, weights, bench.lows)
    lows += _ending(values, weights, bench.spared[0] if low else (), low)
    highs = _ending(values, weights, bench.highs)
    highs += _ending(values, weights, bench.spared[1] if high else (), high)
    if not (lows or highs):
        return [best]
    found = [best, *_alone(bench, values, weights, capacity + low + high)]
    found += _at_both(bench, values, filled, capacity, [_NONE, *lows], [_NONE, *highs])
    return sorted(found, key=lambda one: -one.value)


_End = tuple[int | None, int]
"""A piece at an end of a stick and the room that it takes; None where any may lie there."""

_NONE: _End = (None, 0)


def _ending(
    values: Sequence[int], weights: Sequence[int], needs: Sequence[int], gain: int = 0
) -> list[_End]:
    """Those of `needs` that are worth anything at an end of a stick."""
    return [(k, weights[k] - gain) for k in needs if values[k] > 0]


def _alone(
    bench: Bench, values: Sequence[int], weights: Sequence[int], capacity: int
) -> list[Ended]:
    """Pieces that spare both ends of a stick, which only one that lies there alone can."""
    return [
        Ended(values[k], (k,), -1)
        for k in bench.spared[2]
        if values[k] > 0 and weights[k] <= capacity
    ]


def _at_both(
    bench: Bench, values: Sequence[int], filled: Filled, capacity: int,
    lows: Sequence[_End], highs: Sequence[_End],
) -> list[Ended]:  # fmt: skip
    """The best piece at the high end for each at the low end."""
    rests = capacity - np.add.outer(_amounts(w for _, w in lows), _amounts(w for _, w in highs))
    worth = np.add.outer(
        _amounts(0 if k is None else values[k] for k, _ in lows),
        _amounts(0 if k is None else values[k] for k, _ in highs),
    )
    worth = np.where(rests >= 0, worth + filled.best[np.maximum(rests, 0)], -1)
    places = {k: j for j, (k, _) in enumerate(highs) if k is not None and bench.most[k] < 2}
    for i, (k, _) in enumerate(lows):
        if k in places:
            worth[i, places[k]] = -1  # one piece cannot lie at both ends
    found = []
    for i, j in enumerate(worth.argmax(axis=1).tolist()):
        if worth[i, j] >= 0:
            ends = tuple(k for k in (lows[i][0], highs[j][0]) if k is not None)
            found.append(Ended(int(worth[i, j]), ends, int(rests[i, j])))
    return found


def _amounts(amounts: Iterable[int]) -> Values:
    return np.array(list(amounts), dtype=np.int64)


def _numbered(bench: Bench, pieces: Counter[int]) -> Counter[int]:
    """Numbers among all needs for numbers among the free ones."""
    free = bench.free
    return Counter({free[k]: n for k, n in pieces.items()})


def _pattern(bench: Bench, number: int, pieces: Counter[int]) -> Pattern:
    counted = sorted((bench.needs[k], n) for k, n in pieces.items() if n)
    return Pattern(number, tuple(counted))
