"""Parts nested into sheets by through-cuts, at the least cost that was found and can be shown.

Sheets are cut from side to side only, parts are never turned, and a kerf lies between parts and
before a rest (8.2, 11.6). The bound holds for every plan of through-cuts, however many stages it
has: it is taken in integers from prices at which no sheet can be worth more than it costs.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import gcd

from service.cutting.sheet_fill import Cutup, SheetStock, fills
from service.cutting.sheet_master import SheetMaster
from service.cutting.sheet_trees import (
    Box,
    Nested,
    Part,
    Placed,
    Through,
    clipped,
    nested,
)
from service.cutting.solve import Effort
from service.units.ticks import ceiling

__all__ = ["Box", "Nested", "Part", "Placed", "SheetPlan", "SheetStock", "Through", "nest"]


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """Sheets that hold every part once; what they cost and what they must cost at least."""

    sheets: tuple[Nested, ...]
    cost: int
    bound: int
    work: int

    @property
    def optimal(self) -> bool:
        """Whether no plan of through-cuts can cost less."""
        return self.cost <= self.bound


def nest(
    parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int, effort: Effort
) -> SheetPlan | None:
    """The cheapest plan found for `parts` (how many of each); sizes and `kerf` in ticks.

    None where the supply does not reach or a part fits no stock. Of plans of equal cost one with
    fewer cuts is taken. The work is limited by rounds and nodes, never by the clock.
    """
    wanted = {part: count for part, count in sorted(parts.items()) if count}
    if not wanted:
        return SheetPlan((), 0, 0, 0)
    plans = list(fills(wanted, stocks, kerf, {}))
    best = _best(plans, stocks)
    bound, work = _material_bound(wanted, stocks, kerf), 1
    if best is None or _cost(best, stocks) > bound:
        master = SheetMaster(wanted, stocks, kerf, [cutup for plan in plans for cutup in plan])
        bound = max(bound, _attainable(master.generate(effort.rounds), stocks))
        best = _improved(master, best, bound, effort)
        work = master.work
    if best is None:
        return None
    sheets = [
        nested(tree, number, stocks[number].length, stocks[number].width, kerf)
        for number, tree in best
    ]
    return SheetPlan(tuple(_in_order(sheets)), _cost(best, stocks), bound, work)


def _in_order(sheets: list[Nested]) -> list[Nested]:
    """Sheets with the fewest cuts first, those cut alike beside each other."""
    return sorted(sheets, key=lambda one: (one.stock, len(one.cuts), one.placed, one.rests))


def _cost(plan: Sequence[Cutup], stocks: Sequence[SheetStock]) -> int:
    return sum(stocks[number].cost for number, _ in plan)


def _best(plans: Sequence[list[Cutup]], stocks: Sequence[SheetStock]) -> list[Cutup] | None:
    """The cheapest, then the one with the fewest different ways of cutting a sheet."""
    return min(plans, key=lambda plan: (_cost(plan, stocks), len(set(plan))), default=None)


def _attainable(bound: Fraction, stocks: Sequence[SheetStock]) -> int:
    """The least multiple of the costs' common divisor that is not under `bound`."""
    step = reduce(gcd, (stock.cost for stock in stocks)) or 1
    return max(0, ceiling(bound / step)) * step


def _material_bound(parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int) -> int:
    """What the bare area must cost, every part with its kerfs; cheap short stock taken first."""
    area = sum((p.length + kerf) * (p.width + kerf) * count for p, count in parts.items())
    cost = Fraction(0)
    rooms = [((s.length + kerf) * (s.width + kerf), s) for s in stocks]
    for room, stock in sorted(rooms, key=lambda one: Fraction(one[1].cost, one[0])):
        most = area if stock.supply is None else min(area, stock.supply * room)
        cost += Fraction(stock.cost * most, room)
        area -= most
    return _attainable(cost, stocks)


def _improved(
    master: SheetMaster, best: list[Cutup] | None, bound: int, effort: Effort
) -> list[Cutup] | None:
    """The best plan that rounding the programme gives, or `best` if none is cheaper."""
    stocks = master.stocks
    plans = [] if best is None else [best]
    for dives in range(min(effort.dives, 3)):
        plans += _dived(master, dives)
        if plans and min(_cost(plan, stocks) for plan in plans) <= bound:
            return _best(plans, stocks)
    best = _best(plans, stocks)
    if effort.nodes:
        cutoff = float("inf") if best is None else _cost(best, stocks) - 0.5
        whole = master.whole(effort.nodes, cutoff)
        plans += [] if whole is None else _finished(master, whole)
    return _best(plans, stocks)


def _dived(master: SheetMaster, kept: int) -> list[list[Cutup]]:
    """The programme's whole sheets, the `kept` likeliest of the others, and fills of the rest."""
    used = sorted(master.used(), key=lambda one: (-(one[1] % 1), one[0][0], repr(one[0])))
    taken = [cutup for cutup, number in used for _ in range(int(number + 1e-6))]
    likely = [cutup for cutup, number in used if number % 1 > 1e-6]
    return _finished(master, [*taken, *likely[:kept]])


def _finished(master: SheetMaster, taken: Sequence[Cutup]) -> list[list[Cutup]]:
    """`taken` with only the parts still wanted, and every fill of what they leave."""
    left = Counter(master.parts)
    plan: list[Cutup] = []
    spent: Counter[int] = Counter()
    for number, tree in taken:
        supply = master.stocks[number].supply
        kept = None if supply is not None and spent[number] >= supply else clipped(tree, left)
        if kept is not None:
            plan.append((number, kept))
            spent[number] += 1
    rest = {part: count for part, count in left.items() if count}
    if not rest:
        return [plan]
    return [[*plan, *more] for more in fills(rest, master.stocks, master.kerf, spent)]
