"""Whole numbers of patterns, searched for: a cheaper plan than those of dives, or a bound."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import inf

import numpy as np

from service.cutting.effort import Effort
from service.cutting.records import Need, Stick, Stock
from service.cutting.sticks.bounds import attainable
from service.cutting.sticks.dive import dive_again
from service.cutting.sticks.heuristic import cheaper, cost_of, shrunk, supplies
from service.cutting.sticks.master import SCALE, Master, Prices
from service.cutting.sticks.patterns import Patterns, within
from service.solver.programme import Cover, least_cover
from service.units.ticks import ceiling

PLAIN_NODES = 3
"""Nodes of a search without inner ones for each node of one with them."""

PATTERNS_AT_EASE = 300
"""With more patterns each node takes longer, so a search has fewer."""

PATTERNS_FOR_INNER = 500
"""Up to so many patterns, searches inside the search are worth their time at any effort."""

SURE = 0.01
"""What is taken off a bound of the search, in steps of the cost, before it is rounded up."""


@dataclass(frozen=True, slots=True)
class Sure:
    """The best sure bound so far, scaled and unrounded, and the prices that gave it."""

    bound: Fraction
    prices: Prices | None

    def rounded(self, stocks: Sequence[Stock]) -> int:
        """What no plan is under, as costs of `stocks` come."""
        return attainable(self.bound / SCALE, stocks)


Better = tuple[tuple[Stick, ...] | None, int]
"""The best plan so far, None without one, and what no plan is under."""


def searched(
    master: Master, needs: Mapping[Need, int], effort: Effort, sure: Sure,
    best: tuple[Stick, ...] | None, bound: int,
) -> Better:  # fmt: skip
    """Whole numbers of all patterns that a cheaper plan may use, or of those at hand."""
    if not effort.nodes or sure.prices is None:
        return best, bound
    listed, target = None, 0
    if best is not None:
        target = cost_of(best, master.stocks) - 1
        listed = within(master.bench, sure.prices, sure.bound, target, effort.states)
    known = listed is not None
    complete = listed is not None and len(listed.stocks) <= effort.columns
    if listed is None:
        listed, target = at_hand(master), 0
    listed = listed.cheapest(effort.columns)
    if not known or len(listed.stocks) > PATTERNS_AT_EASE:
        best = dive_again(master, needs, effort, best, bound)
        if best is not None and cost_of(best, master.stocks) <= bound:
            return best, bound
    return searched_among(master, needs, effort, best, bound, listed, complete)


def at_hand(master: Master) -> Patterns:
    """The patterns of the programme, latest first."""
    numbers = {need: k for k, need in enumerate(master.rows)}
    patterns = list(reversed(master.patterns))
    counts = np.zeros((len(patterns), len(numbers)), dtype=np.int64)
    for row, pattern in enumerate(patterns):
        for need, count in pattern.pieces:
            counts[row, numbers[need]] = count
    stocks = np.array([pattern.stock for pattern in patterns], dtype=np.int64)
    return Patterns(stocks, counts, np.zeros(len(patterns), dtype=np.int64))


def searched_among(
    master: Master, needs: Mapping[Need, int], effort: Effort,
    best: tuple[Stick, ...] | None, bound: int, listed: Patterns, complete: bool,
) -> Better:  # fmt: skip
    """Whole numbers of the patterns `listed`.

    If those are `complete`, a finished search is a proof.
    """
    cutoff = inf if best is None else cost_of(best, master.stocks) - 0.5
    if not len(listed.stocks):
        return best, int(cutoff + 0.5) if complete and best is not None else bound
    nodes = max(1, min(effort.nodes, effort.nodes * PATTERNS_AT_EASE // len(listed.stocks)))
    inner = effort.inner or len(listed.stocks) <= PATTERNS_FOR_INNER
    nodes *= 1 if inner else PLAIN_NODES
    whole = least_cover(_cover(master, needs, listed), nodes, cutoff, inner=inner)
    if whole.values is not None:
        best = cheaper(best, _sticks(master, needs, listed, whole.values), master.stocks)
    if complete and best is not None:
        shown = cost_of(best, master.stocks) if whole.finished else 0
        if not whole.finished and whole.bound > -inf:
            shown = min(ceiling(Fraction(whole.bound - SURE)), int(cutoff + 0.5))
        bound = max(bound, shown)
    return best, bound


def _cover(master: Master, needs: Mapping[Need, int], listed: Patterns) -> Cover:
    """The search's own programme: needs met, short supply kept to."""
    short = [k for k, stock in enumerate(master.stocks) if stock.supply is not None]
    ones = (listed.stocks[:, None] == np.array(short, dtype=np.int64)).astype(np.int64)
    entries = np.concatenate([listed.counts, ones], axis=1)
    columns, rows = np.nonzero(entries)
    starts = np.searchsorted(columns, np.arange(len(entries))).astype(np.int32)
    costs = np.array([stock.cost for stock in master.stocks], dtype=float)[listed.stocks]
    low = [*(float(needs[need]) for need in master.rows), *(-inf for _ in short)]
    high = [*(inf for _ in master.rows), *(float(master.stocks[k].supply or 0) for k in short)]
    values = entries[columns, rows].astype(float)
    return Cover(costs, starts, rows.astype(np.int32), values, np.array(low), np.array(high))


def _sticks(
    master: Master, needs: Mapping[Need, int], listed: Patterns, numbers: Sequence[int]
) -> tuple[Stick, ...] | None:
    """Sticks for whole numbers of patterns, without the pieces too many; None if short."""
    wanted = list(master.rows)
    left, sticks = Counter(needs), list[Stick]()
    supply = supplies(master.stocks)
    supply.subtract(Counter(np.repeat(listed.stocks, numbers).tolist()))
    for row in np.flatnonzero(numbers).tolist():
        stock, counts = int(listed.stocks[row]), listed.counts[row]
        held = [(wanted[k], int(counts[k])) for k in np.flatnonzero(counts).tolist()]
        for _ in range(numbers[row]):
            kept = {need: min(count, left[need]) for need, count in held if left[need]}
            left.subtract(kept)
            if kept:
                sticks.append(shrunk(stock, kept, master.stocks, supply, master.kerf))
    return None if any(left.values()) or min(supply.values()) < 0 else tuple(sticks)
