"""The best patterns for each stock at given prices, by an exact integer knapsack.

No pattern holds more of a piece than is wanted: no plan needs one that does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from service.cutting.records import Pattern
from service.cutting.sticks.bench import Bench
from service.cutting.sticks.knapsack import Filled, Values, fill

BEST_OF_A_STOCK, NEEDS_FOR_ONE = 8, 16
"""Patterns of one stock that one pricing gives at most, or one for so many needs: more of them
save rounds."""


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
