"""A plan for given needs: first by best fit, then by patterns, with a bound that is sure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import inf

import numpy as np

from service.cutting.effort import Effort
from service.cutting.records import Need, Pattern, Plan, Stick, Stock
from service.cutting.sticks.bounds import attainable, grain_of, material_bound, mixed
from service.cutting.sticks.dive import NEARLY_WHOLE, dive
from service.cutting.sticks.heuristic import best_fit, cost_of, shrunk, supplies
from service.cutting.sticks.master import SCALE, Master, Prices
from service.cutting.sticks.patterns import Patterns, within
from service.solver.programme import Cover, least_cover
from service.units.ticks import ceiling

__all__ = ["attainable", "least_cost", "material_bound", "solve"]

ROUNDS_ALONE = 3
"""Rounds of cutting alone for each round of layouts and cutting together."""

PLAIN_NODES = 3
"""Nodes of a search without inner ones for each node of one with them."""

PATTERNS_AT_EASE = 300
"""With more patterns each node takes longer, so a search has fewer."""

PATTERNS_FOR_INNER = 500
"""Up to so many patterns, searches inside the search are worth their time at any effort."""

MANY_NEEDS = 100
"""With more needs whole sticks are not searched for a bound alone: it would hardly rise."""

SURE = 0.01
"""What is taken off a bound of the search, in steps of the cost, before it is rounded up."""


@dataclass(frozen=True, slots=True)
class _Sure:
    """The best sure bound so far, scaled and unrounded, and the prices that gave it."""

    bound: Fraction
    prices: Prices | None

    def rounded(self, stocks: Sequence[Stock]) -> int:
        return attainable(self.bound / SCALE, stocks)


def solve(
    stocks: Sequence[Stock],
    needs: Mapping[Need, int],
    kerf: int,
    effort: Effort,
    seeds: Iterable[Pattern] = (),
    under: int | None = None,
    enough: int | None = None,
) -> Plan | None:
    """The cheapest plan found for `needs`, or None if the stock at hand does not reach.

    `seeds` may bring patterns from an earlier solve. With `under`, None too where it is sure that
    no plan costs as little. With `enough`, a plan that costs no more is not bettered, nor one that
    could be by too little to be worth its time.
    """
    wanted = {need: count for need, count in sorted(needs.items()) if count}
    if not wanted:
        return Plan((), 0, 0, 0)
    step = grain_of(stocks)
    units = [replace(stock, cost=stock.cost // step) for stock in stocks]
    most, done = (None if cost is None else cost // step for cost in (under, enough))
    plan = _in_steps(units, wanted, kerf, effort, seeds, most, done)
    if plan is None:
        return None
    return replace(plan, cost=cost_of(plan.sticks, stocks), bound=plan.bound * step)


def least_cost(
    stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int, effort: Effort,
    enough: float = inf,
) -> int:  # fmt: skip
    """What `needs` must cost at least, as far as it shows; it may stop once that is `enough`.

    Any prices bound it, so no plan is made where that would take long.
    """
    if len(needs) <= MANY_NEEDS:
        plan = solve(stocks, needs, kerf, effort)
        return material_bound(stocks, needs, kerf) if plan is None else plan.bound
    step = grain_of(stocks)
    units = [replace(stock, cost=stock.cost // step) for stock in stocks]
    wanted = {need: count for need, count in sorted(needs.items()) if count}
    floor, most = material_bound(units, wanted, kerf), enough / step
    if floor < most:
        master = Master(units, tuple(wanted), kerf, wanted)
        floor = max(floor, _generate(master, wanted, effort.rounds, most).rounded(units))
    return floor * step


def _in_steps(
    stocks: Sequence[Stock],
    needs: Mapping[Need, int],
    kerf: int,
    effort: Effort,
    seeds: Iterable[Pattern],
    most: int | None,
    enough: int | None,
) -> Plan | None:
    """The same with costs in the grain of the programmes."""
    first = best_fit(stocks, needs, kerf)
    floor = material_bound(stocks, needs, kerf)
    if first is not None and cost_of(first, stocks) <= floor:
        return Plan(first, cost_of(first, stocks), floor, 1)
    master = Master(stocks, tuple(needs), kerf, needs)
    for stick in first or ():
        master.add(Pattern(stick.stock, tuple(sorted(Counter(stick.pieces).items()))))
    for pattern in seeds:
        if all(count <= needs.get(need, 0) for need, count in pattern.pieces):
            master.add(pattern)
    return _by_patterns(master, needs, effort, first, floor, most, enough)


def _by_patterns(
    master: Master,
    needs: Mapping[Need, int],
    effort: Effort,
    first: tuple[Stick, ...] | None,
    floor: int,
    most: int | None,
    enough: int | None,
) -> Plan | None:
    """Price, dive, and search among all patterns that are left; stop when the bound is met."""
    stocks = master.stocks
    enough_shown = inf if first is None else cost_of(first, stocks)
    if most is not None:
        enough_shown = min(enough_shown, most + 1)
    sure = _generate(master, needs, effort.rounds, enough_shown)
    bound = max(floor, sure.rounded(stocks))
    if most is not None and bound > most:
        return None
    best = first
    for better in (_dived, _mixed, _searched):
        near = bound if enough is None else max(enough, bound + effort.least_gain(bound) - 1)
        if best is not None and cost_of(best, stocks) <= max(bound, near):
            break
        best, bound = better(master, needs, effort, sure, best, bound)
    if best is None:
        return None
    cost = cost_of(best, stocks)
    return Plan(best, cost, min(bound, cost), master.work)


def _generate(master: Master, needs: Mapping[Need, int], rounds: int, enough: float) -> _Sure:
    """Add patterns while they pay, until the bound is `enough`."""
    master.demand(needs)
    best = _Sure(Fraction(0), None)
    for _ in range(rounds * ROUNDS_ALONE):
        solved = master.programme.solve()
        if solved is None:
            break
        new, prices = master.generate(solved)
        wanted = sum(v * needs[n] for n, v in zip(master.rows, prices.values, strict=True))
        worth = prices.worth(wanted, master.stocks)
        if worth > best.bound or best.prices is None:
            best = _Sure(worth, prices)
        if not new or best.rounded(master.stocks) >= enough:
            break
    return best


_Better = tuple[tuple[Stick, ...] | None, int]


def _dived(
    master: Master, needs: Mapping[Need, int], effort: Effort, sure: _Sure,
    best: tuple[Stick, ...] | None, bound: int,
) -> _Better:  # fmt: skip
    found = dive(master, needs, effort, bound, NEARLY_WHOLE[0])
    return _cheaper(best, found, master.stocks), bound


def _dived_again(
    master: Master, needs: Mapping[Need, int], effort: Effort,
    best: tuple[Stick, ...] | None, bound: int,
) -> tuple[Stick, ...] | None:  # fmt: skip
    """Down in other ways, where a search would take long."""
    for nearly in NEARLY_WHOLE[1:]:
        best = _cheaper(best, dive(master, needs, effort, bound, nearly), master.stocks)
        if best is not None and cost_of(best, master.stocks) <= bound:
            break
    return best


def _mixed(
    master: Master, needs: Mapping[Need, int], effort: Effort, sure: _Sure,
    best: tuple[Stick, ...] | None, bound: int,
) -> _Better:  # fmt: skip
    """The bound raised to a cost at which a mix of sticks is long enough."""
    if best is None:
        return best, bound
    cost = cost_of(best, master.stocks)
    return best, mixed(master.stocks, needs, master.kerf, bound, cost)


def _searched(
    master: Master, needs: Mapping[Need, int], effort: Effort, sure: _Sure,
    best: tuple[Stick, ...] | None, bound: int,
) -> _Better:  # fmt: skip
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
        listed, target = _at_hand(master), 0
    listed = listed.cheapest(effort.columns)
    if not known or len(listed.stocks) > PATTERNS_AT_EASE:
        best = _dived_again(master, needs, effort, best, bound)
        if best is not None and cost_of(best, master.stocks) <= bound:
            return best, bound
    return _whole(master, needs, effort, best, bound, listed, complete)


def _at_hand(master: Master) -> Patterns:
    """The patterns of the programme, latest first."""
    numbers = {need: k for k, need in enumerate(master.rows)}
    patterns = list(reversed(master.patterns))
    counts = np.zeros((len(patterns), len(numbers)), dtype=np.int64)
    for row, pattern in enumerate(patterns):
        for need, count in pattern.pieces:
            counts[row, numbers[need]] = count
    stocks = np.array([pattern.stock for pattern in patterns], dtype=np.int64)
    return Patterns(stocks, counts, np.zeros(len(patterns), dtype=np.int64))


def _whole(
    master: Master, needs: Mapping[Need, int], effort: Effort,
    best: tuple[Stick, ...] | None, bound: int, listed: Patterns, complete: bool,
) -> _Better:  # fmt: skip
    """Search; if the patterns are `complete`, a finished search is a proof."""
    cutoff = inf if best is None else cost_of(best, master.stocks) - 0.5
    if not len(listed.stocks):
        return best, int(cutoff + 0.5) if complete and best is not None else bound
    nodes = max(1, min(effort.nodes, effort.nodes * PATTERNS_AT_EASE // len(listed.stocks)))
    inner = effort.inner or len(listed.stocks) <= PATTERNS_FOR_INNER
    nodes *= 1 if inner else PLAIN_NODES
    whole = least_cover(_cover(master, needs, listed), nodes, cutoff, inner=inner)
    if whole.values is not None:
        best = _cheaper(best, _sticks(master, needs, listed, whole.values), master.stocks)
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


def _cheaper(
    one: tuple[Stick, ...] | None, other: tuple[Stick, ...] | None, stocks: Sequence[Stock]
) -> tuple[Stick, ...] | None:
    found = [plan for plan in (one, other) if plan is not None]
    return min(found, key=lambda plan: (cost_of(plan, stocks), len(plan)), default=None)
