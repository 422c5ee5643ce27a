"""Layouts and patterns in one linear programme: its prices steer the search, and bound it.

Rows: a need must be cut as often as layouts use it; every class of equal runs is laid out as
often as it occurs; and windows, true of every legal layout: of touching courses at most every
second has a joint in a window as wide as the stagger, and as many on one station as stagger and
repeat together leave.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import inf

from service.cutting.records import Need
from service.cutting.sticks.bounds import attainable
from service.cutting.sticks.master import PRICE_OF_MISSING, SCALE, Master, Prices
from service.joints.abreast import FEWEST, Abreast, Way
from service.joints.graph import Graph
from service.joints.stack import Stack
from service.joints.windows import windows_of
from service.solver.programme import Solved
from service.units.folding import folded
from service.units.ticks import ceiling

NUDGE = 0.25
"""What all joints together count in the search at most, in steps of the cost, so that of equal
plans the one with fewer joints is found. The bound leaves it out, so it must stay small."""

LOOKS = 4
"""Rounds after which the bound is taken again, where it is all that is asked for."""


@dataclass(slots=True)
class RunGroup:
    """Equal runs of one stack: their graph, how many, and the windows that each node touches."""

    stack: int
    graph: Graph
    count: int
    row: int
    windows: list[tuple[int, ...]]
    layouts: dict[tuple[int, ...], int] = field(default_factory=dict)


def _fewest(stack: Stack, cutting: Master) -> int:
    """Joints of the jointed runs of a stack if each had the longest sticks."""
    longest = max(stock.reach for stock in cutting.stocks)
    runs = [stack.runs[k] for k in stack.jointed]
    return sum((run.high - run.low) // longest + 1 for run in runs)


@dataclass(frozen=True, slots=True)
class Window:
    """Groups with the stations of each that count, as a mask, and how many joints have room."""

    inside: Sequence[tuple[RunGroup, int]]
    most: int


def _counted(window: Window) -> dict[int, float]:
    """How many joints each layout has on stations that count, by its column."""
    counts = {
        column: (group.graph.mask(joints) & mask).bit_count()
        for group, mask in window.inside
        for joints, column in group.layouts.items()
    }
    return {column: float(count) for column, count in counts.items() if count}


class JointMaster:
    """The joint programme over all stacks that share a product.

    A solution may be `taken_over` from a programme of fewer rows; then it is not solved for that.
    """

    def __init__(
        self,
        cutting: Master,
        stacks: Sequence[Stack],
        needs: Sequence[Need],
        fixed: Mapping[Need, int],
        joint_cost: int,
    ) -> None:
        self.cutting = cutting
        self.needs = needs
        self.fixed = fixed
        self.joint_cost = joint_cost
        dearest = max(stock.cost for stock in cutting.stocks)
        self.nudge = NUDGE / max(1, sum(_fewest(stack, cutting) for stack in stacks))
        self.worst = PRICE_OF_MISSING**2 * (dearest + joint_cost + 1)
        self.rows = [cutting.rows[need] for need in needs]
        self.windows: dict[int, int] = {}
        self.counted: int | None = None
        self.groups: list[RunGroup] = []
        self.group_of: dict[tuple[int, int], RunGroup] = {}
        self._rented: tuple[Sequence[float], Mapping[tuple[int, ...], float]] = (), {}
        self._priced: tuple[Sequence[float], Sequence[float]] = (), ()
        self._abreast: Abreast | None = None
        self.taken_over: Solved | None = None
        cutting.demand(fixed)
        for number, stack in enumerate(stacks):
            self._add_stack(number, stack)

    def _add_stack(self, number: int, stack: Stack) -> None:
        touched = self._windows(stack)
        by_graph: dict[int, list[int]] = defaultdict(list)
        for k in stack.jointed:
            by_graph[id(stack.graphs[k])].append(k)
        for members in by_graph.values():
            graph = stack.graphs[members[0]]
            assert graph is not None
            row = self.cutting.programme.add_row(len(members))
            self.cutting.programme.add_column(self.worst, {row: 1.0})
            windows = [touched.get(bit, ()) for bit in graph.bits]
            group = RunGroup(number, graph, len(members), row, windows)
            self.groups.append(group)
            for k in members:
                self.group_of[(number, k)] = group

    def _windows(self, stack: Stack) -> dict[int, tuple[int, ...]]:
        """Add the stack's windows; gives for each station bit the rows it counts in."""
        touched: dict[int, list[int]] = defaultdict(list)
        for inside, most in windows_of(stack):
            self._window(inside, most, touched)
        return {1 << k: tuple(rows) for k, rows in touched.items()}

    def _window(self, inside: range, most: int, touched: dict[int, list[int]]) -> None:
        row = self.cutting.programme.add_row(-inf, most)
        self.cutting.programme.add_column(self.worst, {row: -1.0})
        self.windows[row] = most
        for k in inside:
            touched[k].append(row)

    def narrow(self, window: Window) -> None:
        """Keep one more window."""
        row = self.cutting.programme.add_row(-inf, window.most, _counted(window))
        self.cutting.programme.add_column(self.worst, {row: -1.0})
        self.windows[row] = window.most
        for group, mask in window.inside:
            for node, bit in enumerate(group.graph.bits):
                if bit & mask:
                    group.windows[node] = (*group.windows[node], row)

    def add(self, group: RunGroup, joints: tuple[int, ...]) -> bool:
        """Add a layout of a group once; tells whether it was new."""
        if joints in group.layouts:
            return False
        entries: Counter[int] = Counter()
        for number in group.graph.needs(joints):
            entries[self.rows[number]] -= 1
        for node in joints:
            entries.update(group.windows[node])
        entries[group.row] += 1
        if self.counted is not None:
            entries[self.counted] += len(joints)
        column = self.cutting.programme.add_column(
            (self.joint_cost + self.nudge) * len(joints),
            {row: float(n) for row, n in entries.items() if n},
        )
        group.layouts[joints] = column
        return True

    @property
    def layouts(self) -> int:
        """How many layouts there are by now."""
        return sum(len(group.layouts) for group in self.groups)

    def node_prices(self, group: RunGroup, duals: Sequence[float]) -> list[float]:
        """Cost of a joint at each node: its own and the rent of its windows."""
        own, last = self._price_of_joint(duals), len(group.windows) - 1
        rents = self._rents(duals)
        return [
            0.0 if k in (0, last) else own - rents[rows] for k, rows in enumerate(group.windows)
        ]

    def prices(self, duals: Sequence[float]) -> Sequence[float]:
        """What a piece of each need is worth, by its number."""
        if self._priced[0] is not duals:
            self._priced = duals, [max(0.0, duals[row]) for row in self.rows]
        return self._priced[1]

    def _price_of_joint(self, duals: Sequence[float]) -> float:
        """What a joint costs, less what it is worth where joints are counted."""
        own = self.joint_cost + self.nudge
        return own if self.counted is None else own - duals[self.counted]

    def _rents(self, duals: Sequence[float]) -> Mapping[tuple[int, ...], float]:
        """The rent of every set of windows that a joint touches; the same for all groups."""
        if self._rented[0] is not duals:
            sets = {rows for group in self.groups for rows in group.windows}
            self._rented = duals, {rows: folded(duals[row] for row in rows) for rows in sets}
        return self._rented[1]

    def run(self, rounds: int) -> tuple[Solved | None, int]:
        """Add layouts and patterns while they pay; the last solution and a sure bound."""
        material = [need.length for need in self.needs]
        for group in self.groups:
            found = group.graph.best(material, [0.0] * len(group.windows))
            if found is not None:
                self.add(group, found[1])
        return self.settled(rounds)

    def settled(
        self, rounds: int, worths: Callable[[Prices], Mapping[int, int]] = lambda sure: {}
    ) -> tuple[Solved | None, int]:
        """The same from the layouts that there are, with `worths` as those of `best_bound`."""
        solved = self.priced(rounds)
        if solved is None:
            return None, 0
        sure = self.cutting.generate(solved)[1]
        return solved, self.bound(solved, sure, worths(sure))

    def priced(self, rounds: int) -> Solved | None:
        """The last solution of so many rounds of pricing, fewer where nothing more pays."""
        solved = self.cutting.programme.solve()
        for _ in range(rounds):
            if solved is None or not self.round(solved)[0]:
                break
            solved = self.cutting.programme.solve()
        return solved

    def best_bound(
        self, rounds: int, known: range, worths: Callable[[Prices], Mapping[int, int]],
        solved: Solved | None = None,
    ) -> int:  # fmt: skip
        """The best sure bound of so many rounds: fewer where it can rise no more, or not enough.

        It is in the range of what is `known`, or as if its start: none is over the programme's own
        value, which only falls. `worths` are as those of `bound`, for sure prices. A solution that
        is at hand gives the first of them.
        """
        best = known.start
        for number in range(rounds + 1):
            solved = solved or self.cutting.programme.solve()
            most = 0 if solved is None else min(known.stop, self._least(Fraction(solved.objective)))
            if solved is None or best >= most:
                break
            new, sure = self.round(solved)
            if not new or number % LOOKS == 0 or number == rounds:
                best = max(best, self.bound(solved, sure, worths(sure)))
            if not new:
                break
            solved = None
        return best

    def count(self, joints: Mapping[int, int]) -> None:
        """Count all joints from now on; `joints` are those of columns that are no run's layout."""
        entries = {
            column: len(own) for group in self.groups for own, column in group.layouts.items()
        }
        every = {column: float(n) for column, n in (entries | dict(joints)).items() if n}
        self.counted = self.cutting.programme.add_row(-inf, inf, every)

    def round(self, solved: Solved) -> tuple[bool, Prices]:
        """Add what pays at these prices; tells whether anything was new, and gives sure prices."""
        new, sure = self.cutting.generate(solved)
        prices = self.prices(solved.duals)
        for group, found in zip(self.groups, self._best(prices, solved.duals), strict=True):
            if found is not None and found[0] < solved.duals[group.row] - 1e-6:
                new |= self.add(group, found[1])
        return new, sure

    def _best(self, prices: Sequence[float], duals: Sequence[float]) -> Iterable[Way]:
        """The cheapest layout of each group."""
        nodes = [self.node_prices(group, duals) for group in self.groups]
        if len(self.groups) < FEWEST:
            return [
                group.graph.best(prices, own) for group, own in zip(self.groups, nodes, strict=True)
            ]
        if self._abreast is None:
            self._abreast = Abreast([group.graph for group in self.groups])
        return self._abreast.best(prices, nodes)

    def bound(self, solved: Solved, sure: Prices, worths: Mapping[int, int]) -> int:
        """A sure bound in integers from the prices of a solve (weak duality).

        `worths[group.row]` may give what all runs of a group are worth at least, scaled, where
        that is known better than run by run.
        """
        worth = self.worth(solved, sure, worths, self.joint_cost * SCALE)
        return self._least(sure.worth(worth, self.cutting.stocks) / SCALE)

    def worth(self, solved: Solved, sure: Prices, worths: Mapping[int, int], joint: int) -> int:
        """What all pieces are worth at least, and all joints at `joint`, scaled as prices are."""
        values = dict(zip(self.cutting.rows, sure.values, strict=True))
        prices = [values[need] for need in self.needs]
        rents = {row: max(0, int(-solved.duals[row] * SCALE)) for row in self.windows}
        worth = sum(values[need] * count for need, count in self.fixed.items())
        worth -= sum(rent * self.windows[row] for row, rent in rents.items())
        for group in self.groups:
            if group.row in worths:
                worth += worths[group.row]
                continue
            nodes = [self._rent(group, k, rents, joint) for k in range(len(group.windows))]
            found = group.graph.best(prices, nodes)
            worth += group.count * int(found[0]) if found is not None else 0
        return worth

    def _least(self, bound: Fraction) -> int:
        """The least cost that is not under a bound."""
        if self.joint_cost and self.groups:
            return max(0, ceiling(bound))
        return attainable(bound, self.cutting.stocks)

    def _rent(self, group: RunGroup, node: int, rents: Mapping[int, int], joint: int) -> int:
        if node in (0, len(group.windows) - 1):
            return 0
        return joint + sum(rents[row] for row in group.windows[node])
