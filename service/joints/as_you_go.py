"""The usual way of cutting on the same runs: as you go.

Cut as you go (8.10) is a method of its own: one stock length, course by course in order, each
offcut starts the next course. Its joints keep all rules; where the offcut would break one it is
cut back to an earlier bearing, or not used.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_

from service.cutting.records import Need, Plan, Stick, Stock, ordered
from service.joints.graph import NEVER, Arcs, Graph, fewest_pieces
from service.joints.job import Laid, Prepared, joints_over


def _rate(stock: Stock) -> tuple[float, int]:
    return stock.cost / stock.length, -stock.length


def as_you_go(job: Prepared) -> tuple[Laid, Plan] | None:
    """The cheapest of the layouts in order, one for each stock without limit; None if none is.

    End-matched boards have no such layout: their offcuts cannot start every course. The plan's
    bound is 0: this method knows none.
    """
    matched = any(need.low_factory or need.high_factory for need in job.pool.fixed)
    if matched or any(rules.end_matched for rules in job.pool.rules):
        return None
    best: tuple[Laid, Plan] | None = None
    rank = (NEVER, 0)
    free = [k for k, stock in enumerate(job.pool.stocks) if stock.supply is None and not stock.kept]
    for number in sorted(free, key=lambda k: _rate(job.pool.stocks[k])):
        made = _with_stock(job, number, None if rank[0] else rank[1])
        if made is not None and (joints_over(job, made[0]), made[1].cost) < rank:
            best, rank = made, (joints_over(job, made[0]), made[1].cost)
    return best


class _Saw:
    """The stick at hand: what is left of it, and the pieces already cut."""

    def __init__(self, number: int, stock: Stock, kerf: int) -> None:
        self.number, self.stock, self.kerf = number, stock, kerf
        self.left, self._gain = -1, stock.reach - stock.usable
        self.sticks: list[list[Need]] = []

    def fresh(self) -> None:
        """Take a new stick; the rest of the old one is lost."""
        self.left = self.stock.usable
        self.sticks.append([])

    def holds(self, need: Need) -> bool:
        """Whether a piece can still be cut from the stick at hand."""
        if need.length <= self.left:
            return True
        if need.length > self.left + self._gain or not self.sticks:
            return False
        spared = self.stock.room(Counter([*self.sticks[-1], need])) - self.stock.usable
        return need.length <= self.left + spared

    def cut(self, need: Need) -> None:
        """Cut a piece that is known to fit."""
        self.left -= need.length + self.kerf
        self.sticks[-1].append(need)

    def plan(self) -> Plan:
        """Every stick so far; the pieces as they are cut, but for those that raw ends want."""
        every = [tuple(own) for own in self.sticks]
        pieces = {own: own for own in every}
        if self._gain:
            pieces = {own: ordered(Counter(own), self.stock) for own in pieces}
        return Plan(tuple(Stick(self.number, pieces[own]) for own in every), self.cost, 0, 0)

    @property
    def cost(self) -> int:
        """What the sticks so far cost."""
        return len(self.sticks) * self.stock.cost


def _with_stock(job: Prepared, number: int, most: int | None) -> tuple[Laid, Plan] | None:
    """All runs in order from one stock; None where that cannot be, or costs more than `most`."""
    saw = _Saw(number, job.pool.stocks[number], job.pool.kerf)
    laid: dict[tuple[int, int], tuple[int, ...]] = {}
    steps: dict[int, _Steps] = {}
    held = _Held(job.needs.all, saw.stock)
    for need in job.pool.fixed:
        if not _one_piece(saw, job.needs.standing_for(need)):
            return None
    for place, stack in enumerate(job.stacks):
        masks = dict(stack.installed)
        for k, graph in enumerate(stack.graphs):
            if graph is None:
                whole = job.needs.standing_for(job.uncut[job.numbers[place][k]])
                if k not in stack.installed and not _one_piece(saw, whole):
                    return None
                continue
            if id(graph) not in steps:
                steps[id(graph)] = _Steps.of(graph, held)
            joints = _course(saw, graph, steps[id(graph)], stack.shut(k, masks))
            if joints is None:
                return None
            masks[k] = graph.mask(joints)
            laid[place, k] = joints
            if most is not None and saw.cost > most:
                return None
    plan = saw.plan()
    joint_cost = job.pool.joint_cost * sum(map(len, laid.values()))
    return laid, replace(plan, cost=plan.cost + joint_cost)


def _one_piece(saw: _Saw, need: Need) -> bool:
    if not saw.holds(need):
        saw.fresh()
    if not saw.holds(need):
        return False
    saw.cut(need)
    return True


_Step = tuple[int, Need]
"""Where a piece from a place ends, and the piece."""


class _Held:
    """Of the pieces that start at a place those that a stick of one stock holds.

    Graphs share the lists of these, so each is looked at once.
    """

    def __init__(self, needs: Sequence[Need], stock: Stock) -> None:
        self._needs, self._held = needs, [stock.holds(need) for need in needs]
        self._reached: dict[int, int] = {}
        self._farthest: dict[int, tuple[_Step, ...]] = {}

    def of(self, arcs: Arcs) -> list[tuple[int, int]]:
        """Those of some arcs."""
        return [arc for arc in arcs if self._held[arc[1]]]

    def reached(self, arcs: Arcs) -> int:
        """The places that they lead to, as bits."""
        if id(arcs) not in self._reached:
            self._reached[id(arcs)] = reduce(or_, (1 << to for to, _ in self.of(arcs)), 0)
        return self._reached[id(arcs)]

    def farthest(self, arcs: Arcs) -> tuple[_Step, ...]:
        """The places that they lead to, with the piece, the farthest first."""
        if id(arcs) not in self._farthest:
            steps = ((to, self._needs[k]) for to, k in reversed(self.of(arcs)))
            self._farthest[id(arcs)] = tuple(steps)
        return self._farthest[id(arcs)]


@dataclass(frozen=True, slots=True)
class _Steps:
    """The pieces between places of a graph that a stick of one stock holds.

    `reached` are the places that one piece reaches from each place, as bits. `fewest` are the
    pieces from each place to the end at least, where joints are counted.
    """

    graph: Graph
    held: _Held
    reached: Sequence[int]
    fewest: Sequence[int]

    @classmethod
    def of(cls, graph: Graph, held: _Held) -> _Steps:
        """Those of a graph."""
        fewest: Sequence[int] = ()
        if graph.most is not None:
            fewest = fewest_pieces([held.of(arcs) for arcs in graph.arcs])
        return cls(graph, held, [held.reached(arcs) for arcs in graph.arcs], fewest)

    def from_place(self, place: int) -> tuple[_Step, ...]:
        """The places that one piece reaches from a place, with the piece, the farthest first."""
        return self.held.farthest(self.graph.arcs[place])


def _course(saw: _Saw, graph: Graph, steps: _Steps, shut: int) -> tuple[int, ...] | None:
    """Joints of one run: from each place as far as the stick at hand reaches."""
    last = len(graph.places) - 1
    ahead = _Ahead(graph, steps, shut)
    node, joints = 0, list[int]()
    while node != last:
        pieces, more = steps.from_place(node), _left(graph, joints)
        step = _farthest(pieces, ahead, saw, more)
        if step is None:
            saw.fresh()
            step = _farthest(pieces, ahead, saw, more)
        step = step or _farthest(pieces, ahead, saw, None)
        if step is None:
            return None
        node, need = step
        saw.cut(need)
        joints.append(node)
    return tuple(joints[:-1])


def _left(graph: Graph, joints: Sequence[int]) -> int | None:
    """How many more joints a run may have; None where there is no limit."""
    return None if graph.most is None else max(0, graph.most - len(joints))


class _Ahead:
    """From which places of a graph sticks of one length lead to the end of a run.

    `leading` are the places that a joint may be at and from which sticks lead on, as bits.
    """

    def __init__(self, graph: Graph, steps: _Steps, shut: int) -> None:
        self._fewest = steps.fewest
        self.leading = 1 << (len(graph.places) - 1)
        for place in reversed(range(len(graph.places) - 1)):
            if steps.reached[place] & self.leading and not graph.bits[place] & shut:
                self.leading |= 1 << place

    def within(self, to: int, joints: int) -> bool:
        """Whether so many joints, one at a place among them, may be enough to the end of a run."""
        return self._fewest[to] <= joints


def _farthest(steps: Iterable[_Step], ahead: _Ahead, saw: _Saw, joints: int | None) -> _Step | None:
    """The farthest step from the stick at hand, with so many joints at most; None if none is."""
    leading, left = ahead.leading, saw.left
    for step in steps:
        to, need = step
        if not leading >> to & 1 or not (need.length <= left or saw.holds(need)):
            continue
        if joints is None or ahead.within(to, joints):
            return step
    return None
