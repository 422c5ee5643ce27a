"""A plan for given needs: first by best fit, then by patterns, with a bound that is sure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import inf

from service.cutting.effort import Effort
from service.cutting.records import Need, Pattern, Plan, Stick, Stock
from service.cutting.sticks.bounds import grain_of, material_bound, mixed
from service.cutting.sticks.dive import NEARLY_WHOLE, dive
from service.cutting.sticks.heuristic import best_fit, cheaper, cost_of
from service.cutting.sticks.master import Master
from service.cutting.sticks.whole_numbers import Better, Sure, searched

ROUNDS_ALONE = 3
"""Rounds of cutting alone for each round of layouts and cutting together."""

MANY_NEEDS = 100
"""With more needs whole sticks are not searched for a bound alone: it would hardly rise."""


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
    for better in (_dived, _mixed, searched):
        near = bound if enough is None else max(enough, bound + effort.least_gain(bound) - 1)
        if best is not None and cost_of(best, stocks) <= max(bound, near):
            break
        best, bound = better(master, needs, effort, sure, best, bound)
    if best is None:
        return None
    cost = cost_of(best, stocks)
    return Plan(best, cost, min(bound, cost), master.work)


def _generate(master: Master, needs: Mapping[Need, int], rounds: int, enough: float) -> Sure:
    """Add patterns while they pay, until the bound is `enough`."""
    master.demand(needs)
    best = Sure(Fraction(0), None)
    for _ in range(rounds * ROUNDS_ALONE):
        solved = master.programme.solve()
        if solved is None:
            break
        new, prices = master.generate(solved)
        wanted = sum(v * needs[n] for n, v in zip(master.rows, prices.values, strict=True))
        worth = prices.worth(wanted, master.stocks)
        if worth > best.bound or best.prices is None:
            best = Sure(worth, prices)
        if not new or best.rounded(master.stocks) >= enough:
            break
    return best


def _dived(
    master: Master, needs: Mapping[Need, int], effort: Effort, sure: Sure,
    best: tuple[Stick, ...] | None, bound: int,
) -> Better:  # fmt: skip
    found = dive(master, needs, effort, bound, NEARLY_WHOLE[0])
    return cheaper(best, found, master.stocks), bound


def _mixed(
    master: Master, needs: Mapping[Need, int], effort: Effort, sure: Sure,
    best: tuple[Stick, ...] | None, bound: int,
) -> Better:  # fmt: skip
    """The bound raised to a cost at which a mix of sticks is long enough."""
    if best is None:
        return best, bound
    cost = cost_of(best, master.stocks)
    return best, mixed(master.stocks, needs, master.kerf, bound, cost)
