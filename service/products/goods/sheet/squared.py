"""Parts of sheets an edge of which is ripped off first, beside parts of sheets as they come (16.7).

A sheet loses its edge once, for all that is sawn from it. What asks for no such thing may lie
beside what does, where it is narrow enough.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from service.cutting.effort import Effort
from service.cutting.sheets.nesting import Part, SheetPlan, SheetStock, nest
from service.products.goods.sheet.blanks import Blank
from service.products.goods.sheet.nested import nested

Groups = Mapping[int, Counter[Part]]
"""How many of each part are cut, by what their sheets lose at an edge: 0 where they lose none."""


def groups_of(blanks: Iterable[tuple[int, Blank]]) -> Groups:
    """The parts of all blanks, each of which is sawn from a sheet that loses so much."""
    found: dict[int, Counter[Part]] = defaultdict(Counter)
    for trim, blank in blanks:
        found[trim][blank.part] += 1
    return {trim: parts for trim, parts in sorted(found.items()) if parts}


def planned_for(
    groups: Groups,
    stocks: Sequence[SheetStock],
    kerf: int,
    effort: Effort,
    plain: SheetPlan | None = None,
) -> SheetPlan | None:
    """All parts nested; where edges are ripped off the cheaper of two plans.

    Parts as they come lie by themselves, or beside the others where they fit. `plain` is a plan
    for the parts as they come, if there is one. None where the supply is short. The bound is that
    of all parts in sheets that lose what the least of them asks for.
    """
    if not max(groups, default=0):
        return nested(groups.get(0, Counter()), stocks, kerf, effort)
    tried = [_apart(stocks, kerf, effort, groups, plain)]
    if beside := _beside(stocks, groups):
        tried.append(_apart(stocks, kerf, effort, beside, None))
    able = [plan for plan in tried if plan is not None]
    if not able:
        return None
    best = min(able, key=lambda plan: plan.cost)
    every = Counter(part for parts in groups.values() for part in parts.elements())
    least = nest(every, trimmed(stocks, min(groups)), kerf, effort)
    return replace(best, bound=min(best.cost, least.bound if least else 0))


def trimmed(stocks: Sequence[SheetStock], trim: int) -> tuple[SheetStock, ...]:
    """The sheets with an edge ripped off."""
    return tuple(replace(stock, width=stock.width - trim, trim=trim) for stock in stocks)


def _beside(stocks: Sequence[SheetStock], groups: Groups) -> Groups | None:
    """The groups with such parts as come from any sheet beside those of the least trim."""
    least = min(trim for trim in groups if trim)
    room = max(stock.width for stock in stocks) - least
    narrow = Counter({p: n for p, n in groups.get(0, Counter()).items() if p.width <= room})
    if not narrow:
        return None
    moved = {**groups, 0: groups[0] - narrow, least: groups[least] + narrow}
    return {trim: parts for trim, parts in moved.items() if parts}


def _apart(
    stocks: Sequence[SheetStock], kerf: int, effort: Effort, groups: Groups, plain: SheetPlan | None
) -> SheetPlan | None:
    """Each group in sheets of its own, those that lose most first; its bound is none."""
    found, left = [], tuple(stocks)
    for trim, parts in sorted(groups.items(), reverse=True):
        one = plain if not trim and plain is not None and _within(plain, left) else None
        one = one or nested(parts, trimmed(left, trim), kerf, effort)
        if one is None:
            return None
        found.append(one)
        left = _left(left, one)
    return SheetPlan(
        sheets=tuple(sheet for one in reversed(found) for sheet in one.sheets),
        cost=sum(one.cost for one in found),
        bound=0,
        work=sum(one.work for one in found),
    )


def _left(stocks: Sequence[SheetStock], plan: SheetPlan) -> tuple[SheetStock, ...]:
    """The sheets that a plan leaves."""
    taken = Counter(sheet.stock for sheet in plan.sheets)
    return tuple(
        stock if stock.supply is None else replace(stock, supply=stock.supply - taken[k])
        for k, stock in enumerate(stocks)
    )


def _within(plan: SheetPlan, stocks: Sequence[SheetStock]) -> bool:
    """Whether there are sheets for a plan."""
    return all(one.supply is None or one.supply >= 0 for one in _left(stocks, plan))
