"""Joints of all rows of a layer chosen with its sheets in one programme (11.5, 19.2).

It is asked where the joints that were found one by one stay far over what none are under.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from service.cutting.effort import EFFORTS
from service.cutting.sheets.fill import fills
from service.cutting.sheets.nesting import SheetPlan
from service.cutting.sheets.whole_rows import Limit, whole_rows
from service.layout.panel_runs import Arranged, PanelRun
from service.products.goods.sheet.needs import Together
from service.products.goods.sheet.nested import nested
from service.products.kinds.sheathing.weighing import NO_PLAN, Weighing

WORTH_ASKING = 100
"""It is asked where a plan is over its bound by more than one part in so many."""

MOST_PIECES = 120
"""With more pieces a whole sheet is less than that, and the search takes too long."""


def chosen_together(weighing: Weighing, best: Arranged) -> tuple[Arranged, Together | None]:
    """Joints that need less stock than the best found, or these; and their plan where it is known.

    What is shown of all ways of jointing holds for those with as few joints near corners.
    """
    plan = _planned(weighing, best) if _may_gain(weighing, best, weighing.cost(best)) else None
    if plan is None:
        return best, None
    least = weighing.enough
    if _may_gain(weighing, best, plan.cost):
        best, plan, least = _cheaper(weighing, best, plan)
    return best, Together(stocks=tuple(weighing.stocks), plan=plan, least=least)


def _cheaper(
    weighing: Weighing, best: Arranged, plan: SheetPlan
) -> tuple[Arranged, SheetPlan, int]:
    """Joints for less than a plan comes to, or those that it has; and what none cost less than."""
    parts = weighing.counted(best)
    start = [cutup for own in fills(parts, weighing.stocks, weighing.kerf, {}) for cutup in own]
    near = list(_near(weighing, best))
    limits, known = [*_clashes(weighing), *near], range(weighing.enough, plan.cost)
    found = whole_rows(weighing.ways, limits, weighing.stocks, weighing.kerf, start, known)
    least = max(weighing.enough, 0 if near else found.least)
    if found.joints is None:
        return best, plan, least
    joints = tuple(
        tuple(run.stations[node - 1] for node in own)
        for run, own in zip(weighing.runs, found.joints, strict=True)
    )
    other = weighing.arranged(joints)
    made = _planned(weighing, other)
    return (best, plan, least) if made is None or made.cost >= plan.cost else (other, made, least)


def _may_gain(weighing: Weighing, best: Arranged, cost: int) -> bool:
    """Whether a cost is far enough over what no joints are under; on blocks that is not known."""
    few = bool(weighing.ways) and weighing.counted(best).total() <= MOST_PIECES
    return few and cost < NO_PLAN and (cost - weighing.enough) * WORTH_ASKING > weighing.enough


def _planned(weighing: Weighing, one: Arranged) -> SheetPlan | None:
    """The sheets of a way of jointing."""
    return nested(weighing.counted(one), weighing.stocks, weighing.kerf, EFFORTS["standard"])


def _near(weighing: Weighing, best: Arranged) -> Iterator[Limit]:
    """No more joints near corners than there are."""
    shut = tuple(
        (number, k + 1)
        for number, run in enumerate(weighing.runs)
        for k, at in enumerate(run.stations)
        if at in run.shut
    )
    if shut:
        yield Limit(shut, best.near)


def _clashes(weighing: Weighing) -> set[Limit]:
    """Of joints nearer to each other than the stagger, in rows that touch, there is one at most."""
    stagger, apart = weighing.rules.stagger, weighing.rules.least
    found: set[Limit] = set()
    for (k, one), (n, other) in combinations(enumerate(weighing.runs), 2):
        if stagger and _touch(one, other):
            own = [(at, (k, i + 1)) for i, at in enumerate(one.stations)]
            own += [(at, (n, i + 1)) for i, at in enumerate(other.stations)]
            for low, node in own:
                near = [(at, to) for at, to in own if low <= at < low + stagger and to != node]
                if apart >= stagger:
                    found.add(Limit(tuple(sorted([node, *(to for _, to in near)])), 1))
                else:
                    found |= {Limit(tuple(sorted((node, to))), 1) for _, to in near
                              if to[0] != node[0]}  # fmt: skip
    return {limit for limit in found if len({number for number, _ in limit.nodes}) > 1}


def _touch(one: PanelRun, other: PanelRun) -> bool:
    return abs(one.row - other.row) == 1 and one.low < other.high and other.low < one.high
