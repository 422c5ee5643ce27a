"""A layout made better a few courses at a time: taken up, laid anew, kept where it cuts cheaper.

What a layout costs is judged by the cutting programme in fractions of sticks, warm from one layout
to the next. Its prices, also of pieces that are not used yet, say which would be cheap to have.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from service.cutting.low_discrepancy import LowDiscrepancy
from service.cutting.records import Need, Pattern, Plan
from service.cutting.sticks.master import Master
from service.joints.floors import Floors
from service.joints.flow import best_first
from service.joints.job import Laid, Prepared
from service.joints.listing import listing_of
from service.joints.master import JointMaster
from service.joints.search import Guide, beam
from service.joints.stack import Stack
from service.units.folding import folded

FIRST_ROUNDS, ROUNDS = 60, 2
"""Rounds of pricing for the first layout, and for each change of it."""

A_TRACE = 1e-4
"""Pieces asked for of every need, so that each has a price."""

COURSES = (1, 2, 4, 8, 16)
"""How many courses are laid anew, in turn."""

UNEVEN = (0, 50, 150)
"""Prices in turn as they are, and up to so many thousandths out of place."""

WIDTH = 3
NEEDS_AT_EASE = 80
"""With more needs each step takes longer, so there are fewer."""

MOST_NEEDS, FEW_LAYOUTS = 160, 4
"""Where there are more needs, only those are used that few of the best layouts of a run use."""

NEVER = 100
"""What a piece of any other need counts, in sticks."""

LESS = 1e-7

ROUGHLY = 1e-6
"""What rounding may add to a floor."""

Key = tuple[int, int]
"""A run: its stack and its number in it."""


@dataclass(frozen=True, slots=True)
class _Judged:
    """What a layout costs in fractions of sticks, and what a piece of each need is worth there."""

    cost: float
    worth: Mapping[Need, float]


class LocalSearch:
    """One layout that changes; `laid` is the cheapest so far."""

    def __init__(
        self, job: Prepared, master: JointMaster, duals: Sequence[float], laid: Laid, plan: Plan
    ) -> None:
        self.job = job
        self.laid = dict(laid)
        self.work = self._steps = 0
        self._joint = master.joint_cost + master.nudge
        self._every = len(job.needs.all) <= MOST_NEEDS
        most = None if self._every else FEW_LAYOUTS
        self._layouts = {
            id(group.graph): listing_of(
                group.graph, best_first(master, group, duals, group.layouts)[:most]
            )
            for group in master.groups
        }
        self._spread = LowDiscrepancy()
        self._runs: dict[tuple[int, int], list[int]] = defaultdict(list)
        for number, stack in enumerate(job.stacks):
            for k in stack.jointed:
                self._runs[number, stack.runs[k].course].append(k)
        self._courses = sorted(self._runs)
        self._used = Counter(job.fixed)
        for key, joints in self.laid.items():
            self._used.update(self._pieces(key, joints))
        self._cutting = _cutting(job, self._known(master), [*_patterns(plan), *job.seeds(master)])
        asked = self._asked(self._used)
        self._floors = Floors(asked)
        self._judged = self._judge(asked, FIRST_ROUNDS)

    def _known(self, master: JointMaster) -> list[Need]:
        """The needs that new layouts may use."""
        every = self.job.needs.all
        if self._every:
            return sorted({*self._used, *every})
        listed = {
            every[number]
            for group in master.groups
            for joints in self._layouts[id(group.graph)].joints
            for number in group.graph.needs(joints)
        }
        return sorted({*self._used, *listed})

    @property
    def cost(self) -> float:
        """What the layout costs in fractions of sticks, joints counted; never under its pieces."""
        joints = sum(len(own) for own in self.laid.values())
        return self._joint * joints + (0.0 if self._judged is None else self._judged.cost)

    def run(self, steps: int, enough: int) -> None:
        """Change the layout so often, fewer times where there are many needs; ends at `enough`."""
        for _ in range(min(steps, steps * NEEDS_AT_EASE // max(1, len(self._cutting.rows)))):
            if self._judged is None or self.cost <= enough:
                return
            self._step(self._steps)
            self._steps += 1

    def _step(self, number: int) -> None:
        """Lay some courses anew at prices a little out of place; keep that if it costs no more."""
        stack, course = self._courses[self._spread.below(len(self._courses))]
        prices = self._prices(UNEVEN[number % len(UNEVEN)])
        new = self._laid_anew(stack, course, course + COURSES[number % len(COURSES)], prices)
        change = self._change(new)
        if not any(change.values()) or self._worth(change) + self._joints(new) > 0:
            return
        assert self._judged is not None
        used = Counter(self._used)
        used.update(change)
        asked, most = self._asked(used), self._judged.cost + LESS - self._joints(new)
        if self._floors.least(asked) > most + ROUGHLY:
            return
        judged = self._judge(asked, ROUNDS)
        if judged is None or judged.cost > most:
            return
        self._judged, self._used = judged, used
        self._floors.move(asked)
        self.laid |= new

    def _prices(self, uneven: int) -> list[float]:
        assert self._judged is not None
        prices = [self._judged.worth[need] for need in self.job.needs.all]
        if not uneven:
            return prices
        return [
            price * (1000 - uneven + self._spread.below(2 * uneven + 1)) / 1000 for price in prices
        ]

    def _laid_anew(
        self, number: int, first: int, end: int, prices: Sequence[float]
    ) -> dict[Key, tuple[int, ...]]:
        """The runs of some courses of a stack between those that stay as they are."""
        stack = self.job.stacks[number]
        inside = {k for course in range(first, end) for k in self._of(number, course)}
        beside = [k for c in (first - 2, first - 1, end, end + 1) for k in self._of(number, c)]
        around = {k: self._mask(stack, number, k) for k in beside}
        graphs = tuple(g if k in inside else None for k, g in enumerate(stack.graphs))
        nodes = {id(g): [self._joint] * len(g.places) for g in graphs if g is not None}
        part = replace(stack, graphs=graphs, installed=stack.installed | around)
        found = beam(part, Guide(prices, nodes, self._layouts, {}, 0.0), WIDTH).joints
        return {(number, k): joints for k, joints in (found or {}).items()}

    def _of(self, number: int, course: int) -> Sequence[int]:
        """The runs of a course that have joints."""
        return self._runs.get((number, course), ())

    def _mask(self, stack: Stack, number: int, k: int) -> int:
        graph = stack.graphs[k]
        assert graph is not None
        return graph.mask(self.laid[number, k])

    def _pieces(self, key: Key, joints: tuple[int, ...]) -> list[Need]:
        graph = self.job.stacks[key[0]].graphs[key[1]]
        assert graph is not None
        return [self.job.needs.all[need] for need in graph.needs(joints)]

    def _change(self, new: Laid) -> Counter[Need]:
        """How many more of each need, negative where fewer."""
        change: Counter[Need] = Counter()
        for key, joints in new.items():
            change.update(self._pieces(key, joints))
            change.subtract(self._pieces(key, self.laid[key]))
        return change

    def _worth(self, change: Mapping[Need, int]) -> float:
        """What a change costs at least, since prices only rise with what is asked for."""
        assert self._judged is not None
        return folded(self._judged.worth[need] * count for need, count in change.items())

    def _joints(self, new: Laid) -> float:
        more = sum(len(joints) - len(self.laid[key]) for key, joints in new.items())
        return self._joint * more

    def _asked(self, used: Mapping[Need, int]) -> list[float]:
        """What is asked for of each need of the programme."""
        return [used.get(need) or A_TRACE for need in self._cutting.rows]

    def _judge(self, asked: Sequence[float], rounds: int) -> _Judged | None:
        self.work += 1
        rows = self._cutting.rows
        self._cutting.demand(dict(zip(rows, asked, strict=True)))
        solved = self._cutting.settled(rounds)
        if solved is None:
            return None
        worths = [max(0.0, solved.duals[row]) for row in rows.values()]
        self._floors.add(solved.objective, worths, asked)
        never = float(NEVER * max(stock.cost for stock in self.job.pool.stocks))
        worth = dict.fromkeys(self.job.needs.all, never) | dict(zip(rows, worths, strict=True))
        return _Judged(solved.objective, worth)


def _cutting(job: Prepared, needs: Sequence[Need], patterns: Sequence[Pattern]) -> Master:
    """A cutting programme for these needs, with the patterns that are made of them."""
    made = Master(job.pool.stocks, needs, job.pool.kerf)
    for pattern in patterns:
        if all(need in made.rows for need, _ in pattern.pieces):
            made.add(pattern)
    return made


def _patterns(plan: Plan) -> list[Pattern]:
    """How the sticks of a plan are cut."""
    return [
        Pattern(stick.stock, tuple(sorted(Counter(stick.pieces).items()))) for stick in plan.sticks
    ]
