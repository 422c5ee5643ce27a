"""The order of equal courses inside the linear programme: a flow over states and arcs.

It takes the place of the windows of a plain stack: what the flow lays can nearly be laid in that
order, so its prices steer better than theirs and its value is nearer to what can be reached.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf

from service.cutting.sticks.master import Prices
from service.joints.course_order import Arc, Joints, Ways, cheapest, walk, ways_of
from service.joints.graph import Graph
from service.joints.master import JointMaster, RunGroup
from service.joints.stack import Stack, spread
from service.solver.programme import Solved
from service.units.folding import folded

MOST_LISTED = 60
"""Layouts of a run up to which all of them are listed, so that the flow gives a bound."""

MOST_ARCS_LISTED = 12_000
"""Arcs between all layouts of a run at most."""


@dataclass(frozen=True, slots=True)
class Flow:
    """The flow of one plain stack: its ways, columns of starts and arcs, rows of their sums."""

    group: RunGroup
    ways: Ways
    starts: tuple[int, ...]
    arcs: tuple[int, ...]
    sums: tuple[int, int]

    def withdraw(self, master: JointMaster) -> None:
        """Put the windows of the stack back in its place."""
        programme = master.cutting.programme
        for row in self.sums:
            programme.set_row(row, 0.0, 0.0)
        for column in (*self.starts, *self.arcs):
            programme.close(column)
        programme.set_row(self.group.row, self.group.count)
        for row in {row for own in self.group.windows for row in own}:
            programme.set_row(row, -inf, master.windows[row])

    def wanted(self, solved: Solved) -> list[int]:
        """How often each layout is laid, in whole numbers that sum up to all courses."""
        shares = [0.0] * len(self.ways.layouts)
        for (a, b), column in zip(self.ways.states, self.starts, strict=True):
            shares[a] += solved.values[column]
            shares[b] += solved.values[column]
        for arc, column in zip(self.ways.arcs, self.arcs, strict=True):
            shares[arc[2]] += solved.values[column]
        whole = [int(share + 1e-6) for share in shares]
        rest = sorted(range(len(shares)), key=lambda k: (whole[k] - shares[k], k))
        for k in rest[: self.group.count - sum(whole)]:
            whole[k] += 1
        return whole

    def order(self, master: JointMaster, solved: Solved, width: int) -> tuple[Joints, ...] | None:
        """Joints of the courses in order, near to the flow; None if no trail is that long."""
        flow: Mapping[Arc, float] = {
            arc: solved.values[column]
            for arc, column in zip(self.ways.arcs, self.arcs, strict=True)
        }
        prices = master.prices(solved.duals)
        costs = [
            folded(prices[need] for need in self.group.graph.needs(joints))
            for joints in self.ways.layouts
        ]
        dear = [cost - min(costs) for cost in costs]
        stick = float(max(stock.cost for stock in master.cutting.stocks))
        found = walk(self.ways, self.wanted(solved), flow, dear, stick, width)
        return None if found is None else tuple(self.ways.layouts[k] for k in found)

    @property
    def joints(self) -> Mapping[int, int]:
        """How many joints the columns of its starts and arcs lay."""
        many = [len(joints) for joints in self.ways.layouts]
        first = {
            c: many[a] + many[b] for (a, b), c in zip(self.ways.states, self.starts, strict=True)
        }
        return first | {c: many[arc[2]] for arc, c in zip(self.ways.arcs, self.arcs, strict=True)}

    def bound(self, master: JointMaster, sure: Prices, joint: int) -> int | None:
        """What the courses' pieces are worth at least, and joints at `joint`; None if unknown.

        At sure prices, scaled as they are.
        """
        if not self.ways.complete:
            return None
        values = dict(zip(master.cutting.rows, sure.values, strict=True))
        prices = [values[need] for need in master.needs]
        worths = [
            sum(prices[need] for need in self.group.graph.needs(joints)) + joint * len(joints)
            for joints in self.ways.layouts
        ]
        return cheapest(self.ways, worths, self.group.count)


def flow_of(
    master: JointMaster, stack: Stack, group: RunGroup, duals: Sequence[float], most: int,
    arcs: int, share: int = 1,
) -> Flow | None:  # fmt: skip
    """Put the flow of a plain stack into the programme in place of its windows.

    At most `most` layouts, and a `share`th of `arcs` arcs; None where no layouts go together.
    """
    every = group.graph.ways(MOST_LISTED)
    if every is None:
        _companions(master, stack, group, duals, most)
    listed = best_first(master, group, duals, group.layouts if every is None else every)
    limit = (arcs if every is None else max(arcs, MOST_ARCS_LISTED)) // share
    ways = ways_of(stack, group.graph, listed, limit, complete=every is not None)
    if ways is None:
        return None
    programme = master.cutting.programme
    programme.set_row(group.row, 0.0)
    for row in {row for own in group.windows for row in own}:
        programme.set_row(row, -inf, inf)
    states = [programme.add_row(0.0, 0.0) for _ in ways.states]
    start, steps = programme.add_row(1.0, 1.0), float(group.count - 2)
    total = programme.add_row(steps, steps)
    used = [_used(master, group.graph, joints) for joints in ways.layouts]
    starts = [
        _add(master, [used[a], used[b]], {states[k]: 1.0, start: 1.0})
        for (a, b), k in ways.states.items()
    ]
    taken = [
        _add(master, [used[c]], _moved(states, ways, (a, b, c), total)) for a, b, c in ways.arcs
    ]
    for k in ways.states.values():
        programme.add_column(0.0, {states[k]: -1.0})
    return Flow(group, ways, tuple(starts), tuple(taken), (start, total))


def _moved(states: Sequence[int], ways: Ways, arc: Arc, total: int) -> dict[int, float]:
    here, there = states[ways.states[arc[:2]]], states[ways.states[arc[1:]]]
    return {total: 1.0} if here == there else {total: 1.0, here: -1.0, there: 1.0}


def _used(master: JointMaster, graph: Graph, joints: Joints) -> tuple[float, Counter[int]]:
    """What a layout costs by itself, and the rows of the needs that it uses."""
    cost = (master.joint_cost + master.nudge) * len(joints)
    return cost, Counter(master.rows[need] for need in graph.needs(joints))


def _add(
    master: JointMaster, used: Sequence[tuple[float, Counter[int]]], flow: dict[int, float]
) -> int:
    """A column for the layouts that it lays, with its entries in the flow's rows."""
    entries = dict(flow)
    for _, rows in used:
        for row, count in rows.items():
            entries[row] = entries.get(row, 0.0) - count
    return master.cutting.programme.add_column(folded(cost for cost, _ in used), entries)


def best_first(
    master: JointMaster, group: RunGroup, duals: Sequence[float], layouts: Iterable[Joints]
) -> list[Joints]:
    """Layouts, those first that cost least at these prices."""
    prices = master.prices(duals)
    nodes = master.node_prices(group, duals)

    def cost(joints: Joints) -> float:
        pieces = folded(prices[n] for n in group.graph.needs(joints))
        return pieces + folded(nodes[j] for j in joints)

    return sorted(layouts, key=lambda joints: (round(cost(joints), 6), joints))


def _companions(
    master: JointMaster, stack: Stack, group: RunGroup, duals: Sequence[float], most: int
) -> None:
    """Add the layouts that go best after every two that may touch, until there are `most`."""
    prices = master.prices(duals)
    nodes = master.node_prices(group, duals)
    known = [group.graph.mask(joints) for joints in group.layouts]
    pairs = [(a, b) for a in known for b in known if not spread(a, stack.near) & b]
    before = [(0, 0), *((0, one) for one in known), *pairs]
    seen: set[int] = set()
    for last, mask in before:
        shut = spread(mask, stack.near) | spread(last, stack.same)
        if shut in seen:
            continue
        if len(group.layouts) >= most:
            return
        seen.add(shut)
        found = group.graph.best(prices, nodes, shut)
        if found is not None:
            master.add(group, found[1])
            own = group.graph.mask(found[1])
            before += [(mask, own), (0, own)]
