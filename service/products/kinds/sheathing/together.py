"""Joints of all rows of a layer chosen with its sheets in one programme (11.5, 19.2).

It is asked where the joints that were found one by one stay far over what none are under.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from service.cutting.effort import EFFORTS
from service.cutting.sheets.fill import fills
from service.cutting.sheets.nesting import nest
from service.cutting.sheets.whole_rows import Limit, whole_rows
from service.layout.panel_runs import Arranged, PanelRun
from service.products.kinds.sheathing.weighing import NO_PLAN, Weighing

WORTH_ASKING = 100
"""It is asked where a plan is over its bound by more than one part in so many."""

MOST_PIECES = 120
"""With more pieces a whole sheet is less than that, and the search takes too long."""


def chosen_together(weighing: Weighing, best: Arranged) -> Arranged:
    """Joints that need less stock than the best found, or these."""
    under = _cost(weighing, best) if _may_gain(weighing, best, weighing.cost(best)) else 0
    if not under or not _may_gain(weighing, best, under):
        return best
    parts = weighing.counted(best)
    start = [cutup for plan in fills(parts, weighing.stocks, weighing.kerf, {}) for cutup in plan]
    limits = [*_clashes(weighing), *_near(weighing, best)]
    found = whole_rows(weighing.ways, limits, weighing.stocks, weighing.kerf, start, under)
    if found is None:
        return best
    joints = tuple(
        tuple(run.stations[node - 1] for node in own)
        for run, own in zip(weighing.runs, found, strict=True)
    )
    other = weighing.arranged(joints)
    return other if _cost(weighing, other) < under else best


def _may_gain(weighing: Weighing, best: Arranged, cost: int) -> bool:
    """Whether a cost is far enough over what no joints are under; on blocks that is not known."""
    few = bool(weighing.ways) and weighing.counted(best).total() <= MOST_PIECES
    return few and cost < NO_PLAN and (cost - weighing.enough) * WORTH_ASKING > weighing.enough


def _cost(weighing: Weighing, one: Arranged) -> int:
    """What the sheets of a way of jointing cost when they are planned."""
    plan = nest(weighing.counted(one), weighing.stocks, weighing.kerf, EFFORTS["standard"])
    return NO_PLAN if plan is None else plan.cost


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
