"""A plan for given needs: first by best fit, then by patterns, with a bound that is sure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import reduce
from math import gcd

from service.cutting.heuristic import best_fit, cost_of
from service.cutting.master import SCALE, Master
from service.cutting.records import Need, Pattern, Plan, Stick, Stock, ordered
from service.solver.programme import Solved
from service.units.ticks import ceiling


@dataclass(frozen=True, slots=True)
class Effort:
    """Work limits: rounds of pricing, dives and nodes. Never the clock."""

    rounds: int
    dives: int
    nodes: int
    beam: int
    tries: int


EFFORTS = {
    "quick": Effort(rounds=12, dives=1, nodes=0, beam=2, tries=1),
    "standard": Effort(rounds=60, dives=6, nodes=40, beam=6, tries=3),
    "thorough": Effort(rounds=400, dives=20, nodes=2000, beam=12, tries=10),
}


def solve(
    stocks: Sequence[Stock],
    needs: Mapping[Need, int],
    kerf: int,
    effort: Effort,
    master: Master | None = None,
) -> Plan | None:
    """The cheapest plan found for `needs`, or None if the stock at hand does not reach.

    `master` may bring patterns from an earlier solve over the same needs.
    """
    if not needs:
        return Plan((), 0, 0, 0)
    first = best_fit(stocks, needs, kerf)
    floor = material_bound(stocks, shorter(needs, master.slack if master else 0), kerf)
    if first is not None and cost_of(first, stocks) <= floor:
        return Plan(first, cost_of(first, stocks), floor, 1)
    own = master or Master(stocks, sorted(needs), kerf)
    return _by_patterns(own, needs, effort, first, floor)


def _by_patterns(
    master: Master,
    needs: Mapping[Need, int],
    effort: Effort,
    first: tuple[Stick, ...] | None,
    floor: int,
) -> Plan | None:
    bound = max(floor, _generate(master, needs, effort.rounds))
    plans = [] if first is None else [first]
    dive = _dive(master, needs, effort)
    if dive is not None:
        plans.append(dive)
    best = min(plans, key=lambda plan: cost_of(plan, master.stocks), default=None)
    if effort.nodes and (best is None or cost_of(best, master.stocks) > bound):
        whole = _whole(master, needs, effort, best)
        best = whole if whole is not None else best
    if best is None:
        return None
    return Plan(best, cost_of(best, master.stocks), bound, master.work)


def _generate(master: Master, needs: Mapping[Need, int], rounds: int) -> int:
    """Add patterns while they pay; gives a bound on the cost of `needs` that is sure."""
    master.demand(needs)
    best = 0
    for _ in range(rounds):
        solved = master.programme.solve()
        if solved is None:
            return best
        if not master.generate(solved):
            return max(best, bound_of(master, needs, solved))
    solved = master.programme.solve()
    return best if solved is None else max(best, bound_of(master, needs, solved))


def bound_of(master: Master, needs: Mapping[Need, int], solved: Solved) -> int:
    """A sure bound from the prices of a solve, rounded up to a cost that can be."""
    values = dict(zip(master.rows, master.values(solved), strict=True))
    worth = sum(values[need] * count for need, count in needs.items()) - master.rents(solved)
    return attainable(Fraction(worth, SCALE) / master.shrinkage(solved), master.stocks)


def attainable(bound: Fraction, stocks: Sequence[Stock]) -> int:
    """The least multiple of the costs' common divisor that is not under `bound`."""
    step = reduce(gcd, (stock.cost for stock in stocks)) or 1
    return max(0, ceiling(bound / step)) * step


def shorter(needs: Mapping[Need, int], slack: int) -> Mapping[Need, int]:
    """The needs at the least length that each may stand for."""
    found: Counter[Need] = Counter()
    for need, count in needs.items():
        found[replace(need, length=need.length - slack)] += count
    return found


def material_bound(stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int) -> int:
    """What the bare length must cost: every piece with its kerf, at the best price a length."""
    length = sum((need.length + kerf) * count for need, count in needs.items())
    if any(stock.supply is not None for stock in stocks):
        return _limited_material(stocks, length, kerf)
    rate = min(Fraction(stock.cost, stock.usable + kerf) for stock in stocks)
    return attainable(length * rate, stocks)


def _limited_material(stocks: Sequence[Stock], length: int, kerf: int) -> int:
    """The same, taking what is short in supply first where it is cheap."""
    cost = Fraction(0)
    for stock in sorted(stocks, key=lambda s: Fraction(s.cost, s.usable + kerf)):
        room = stock.usable + kerf
        most = length if stock.supply is None else min(length, stock.supply * room)
        cost += Fraction(stock.cost * most, room)
        length -= most
    return attainable(cost, stocks)


def _dive(master: Master, needs: Mapping[Need, int], effort: Effort) -> tuple[Stick, ...] | None:
    """Take whole sticks of the solution, solve again for the rest, finish by best fit."""
    left = Counter(needs)
    stocks = list(master.stocks)
    taken: list[Stick] = []
    for _ in range(effort.dives):
        master.demand(left, Counter(stick.stock for stick in taken))
        solved = master.programme.solve()
        if solved is None:
            break
        new = _whole_sticks(master, solved, left)
        if not new:
            break
        taken += new
        if not left:
            break
    rest = best_fit(_remaining(stocks, taken), left, master.kerf) if left else ()
    return None if rest is None else (*taken, *rest)


def _remaining(stocks: Sequence[Stock], taken: Sequence[Stick]) -> list[Stock]:
    spent = Counter(stick.stock for stick in taken)
    return [
        stock
        if stock.supply is None
        else Stock(stock.key, stock.length, stock.usable, stock.cost, stock.supply - spent[k])
        for k, stock in enumerate(stocks)
    ]


def _whole_sticks(master: Master, solved: Solved, left: Counter[Need]) -> list[Stick]:
    """Sticks for the whole part of each pattern's number, taken off `left`."""
    taken: list[Stick] = []
    for pattern, number in sorted(master.used(solved), key=lambda one: (-one[1], one[0].stock)):
        for _ in range(int(number + 1e-6)):
            stick = _stick(pattern, left)
            if stick is None:
                break
            taken.append(stick)
    return taken


def _stick(pattern: Pattern, left: Counter[Need]) -> Stick | None:
    """One stick of `pattern` if all its pieces are still wanted; takes them off `left`."""
    if any(left[need] < count for need, count in pattern.pieces):
        return None
    for need, count in pattern.pieces:
        left[need] -= count
        if not left[need]:
            del left[need]
    return Stick(pattern.stock, ordered(dict(pattern.pieces)))


def _whole(
    master: Master,
    needs: Mapping[Need, int],
    effort: Effort,
    best: tuple[Stick, ...] | None,
) -> tuple[Stick, ...] | None:
    """Whole numbers of the patterns at hand by branch and bound; None if none is cheaper."""
    master.demand(needs)
    cutoff = float("inf") if best is None else cost_of(best, master.stocks) - 0.5
    columns = list(master.patterns.values())
    found = master.programme.solve_whole(columns, effort.nodes, cutoff)
    if found is None:
        return None
    left = Counter(needs)
    taken = [
        _trimmed(pattern, left)
        for pattern, number in zip(master.patterns, found, strict=False)
        for _ in range(number)
    ]
    sticks = tuple(stick for stick in taken if stick.pieces)
    if left.total() or (best is not None and cost_of(sticks, master.stocks) >= cutoff):
        return None
    return sticks


def _trimmed(pattern: Pattern, left: Counter[Need]) -> Stick:
    """One stick of `pattern` with only the pieces still wanted."""
    kept = {need: min(count, left[need]) for need, count in pattern.pieces}
    for need, count in kept.items():
        left[need] -= count
    return Stick(pattern.stock, ordered({need: n for need, n in kept.items() if n}))
