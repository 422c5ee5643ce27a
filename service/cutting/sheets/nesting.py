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

from service.cutting.effort import Effort
from service.cutting.sheets.fill import fills
from service.cutting.sheets.improve import Improving, Plan
from service.cutting.sheets.master import SheetMaster
from service.cutting.sheets.stock import Cutup, SheetStock, attainable, cost_of
from service.cutting.sheets.trees import Box, Nested, Part, Placed, Through, nested
from service.cutting.sheets.unshared import unshared

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

    None where a part fits no stock or no plan was found within the supply. Of plans of equal cost
    one with the fewest cuts is taken. Work is limited by rounds, tries and nodes, never the clock.
    """
    wanted = {part: count for part, count in sorted(parts.items()) if count}
    own = unshared(wanted, stocks, kerf)
    single = [own[part] for part in own for _ in range(wanted[part])]
    shared = {part: count for part, count in wanted.items() if part not in own}
    made = _together(shared, stocks, kerf, effort) if shared else _Made([], 0, 0)
    if made is None:
        return None
    plan = [*single, *made.plan]
    return SheetPlan(
        tuple(_in_order([_sawn(cutup, stocks, kerf) for cutup in plan])),
        cost_of(plan, stocks),
        cost_of(single, stocks) + made.bound,
        made.work,
    )


def cost_of_fills(
    parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int, enough: int = 0
) -> int | None:
    """What the quickest plans for `parts` come to; None where the supply is short for all.

    The first that costs no more than `enough` will do.
    """
    wanted = {part: count for part, count in sorted(parts.items()) if count}
    own = unshared(wanted, stocks, kerf)
    single = sum(stocks[number].cost * wanted[part] for part, (number, _) in own.items())
    shared = {part: count for part, count in wanted.items() if part not in own}
    if not shared:
        return single
    best = None
    for plan in fills(shared, stocks, kerf, {}):
        cost = single + cost_of(plan, stocks)
        best = cost if best is None else min(best, cost)
        if best <= enough:
            break
    return best


@dataclass(frozen=True, slots=True)
class _Made:
    """How sheets are cut, what they must cost at least, and the work that it took."""

    plan: Plan
    bound: int
    work: int


def _together(
    parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int, effort: Effort
) -> _Made | None:
    """A plan for parts that may share sheets: quick fills first, then the programme."""
    plans = list(fills(parts, stocks, kerf, {}))
    cost = min((cost_of(plan, stocks) for plan in plans), default=None)
    bound, work = _material_bound(parts, stocks, kerf), 1
    if cost is None or cost > bound:
        master = SheetMaster(parts, stocks, kerf, [cutup for plan in plans for cutup in plan])
        bound = max(bound, master.bound(effort.rounds, cost))
        plans = Improving(master, plans, bound, effort).run()
        work = master.work
    return _Made(_best(plans, stocks, kerf), bound, work) if plans else None


def _best(plans: Sequence[Plan], stocks: Sequence[SheetStock], kerf: int) -> Plan:
    """The cheapest, then the one with the fewest cuts, then with the fewest ways of cutting."""
    least = min(cost_of(plan, stocks) for plan in plans)
    cheapest = [plan for plan in plans if cost_of(plan, stocks) == least]
    return min(cheapest, key=lambda plan: (_cuts(plan, stocks, kerf), len(set(plan))))


def _cuts(plan: Plan, stocks: Sequence[SheetStock], kerf: int) -> int:
    """How many cuts a plan takes in all."""
    return sum(n * len(_sawn(cutup, stocks, kerf).cuts) for cutup, n in Counter(plan).items())


def _sawn(cutup: Cutup, stocks: Sequence[SheetStock], kerf: int) -> Nested:
    number, tree = cutup
    stock = stocks[number]
    return nested(tree, number, stock.length, stock.width, kerf, stock.trim)


def _in_order(sheets: list[Nested]) -> list[Nested]:
    """Sheets with the fewest cuts first, those cut alike beside each other."""
    return sorted(sheets, key=lambda one: (one.stock, len(one.cuts), one.placed, one.rests))


def _material_bound(parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int) -> int:
    """What the bare area must cost, every part with its kerfs; cheap short stock taken first."""
    area = sum((p.length + kerf) * (p.width + kerf) * count for p, count in parts.items())
    cost = Fraction(0)
    rooms = [((s.length + kerf) * (s.width + kerf), s) for s in stocks]
    for room, stock in sorted(rooms, key=lambda one: Fraction(one[1].cost, one[0])):
        most = area if stock.supply is None else min(area, stock.supply * room)
        cost += Fraction(stock.cost * most, room)
        area -= most
    return attainable(cost, stocks)
