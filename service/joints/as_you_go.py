"""The usual way of cutting on the same runs: as you go.

Cut as you go (8.10) is a method of its own: one stock length, course by course in order, each
offcut starts the next course. Its joints keep all rules; where the offcut would break one it is
cut back to an earlier bearing, or not used.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

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
        self.left = -1
        self.sticks: list[list[Need]] = []

    def fresh(self) -> None:
        """Take a new stick; the rest of the old one is lost."""
        self.left = self.stock.usable
        self.sticks.append([])

    def holds(self, need: Need) -> bool:
        """Whether a piece can still be cut from the stick at hand."""
        if need.length <= self.left:
            return True
        if not self.sticks or need.length > self.left + self.stock.reach - self.stock.usable:
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
        if self.stock.reach > self.stock.usable:
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
    known: dict[int, int] = {}
    held = [saw.stock.holds(need) for need in job.needs.all]
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
                steps[id(graph)] = _steps(graph, job.needs.all, held, known)
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


@dataclass(frozen=True, slots=True)
class _Steps:
    """The pieces between places of a graph that a stick of one stock holds.

    `held` says of each need whether it does; `reached` are the places that one piece reaches from
    each place, as bits. `fewest` are the pieces from each place to the end at least, where joints
    are counted.
    """

    arcs: Sequence[Arcs]
    needs: Sequence[Need]
    held: Sequence[bool]
    reached: Sequence[int]
    fewest: Sequence[int]

    def from_place(self, place: int) -> Iterator[tuple[int, Need]]:
        """The places that one piece reaches from a place, with the piece, the farthest first."""
        return ((to, self.needs[k]) for to, k in reversed(self.arcs[place]) if self.held[k])


def _steps(
    graph: Graph, needs: Sequence[Need], held: Sequence[bool], known: dict[int, int]
) -> _Steps:
    """`known` is what arcs reach that graphs share, by their identity."""
    for own in graph.arcs:
        if id(own) not in known:
            known[id(own)] = _together(own, held)
    reached = [known[id(own)] for own in graph.arcs]
    fewest: Sequence[int] = ()
    if graph.most is not None:
        fewest = fewest_pieces([[arc for arc in own if held[arc[1]]] for own in graph.arcs])
    return _Steps(graph.arcs, needs, held, reached, fewest)


def _together(arcs: Sequence[tuple[int, int]], held: Sequence[bool]) -> int:
    """The places that arcs lead to over pieces that are held, as bits."""
    found = 0
    for to, need in arcs:
        if held[need]:
            found |= 1 << to
    return found


def _course(saw: _Saw, graph: Graph, steps: _Steps, shut: int) -> tuple[int, ...] | None:
    """Joints of one run: from each place as far as the stick at hand reaches."""
    last = len(graph.places) - 1
    ahead = _Ahead(graph, steps, shut)
    node, joints = 0, list[int]()
    while node != last:
        step = _farthest(steps.from_place(node), ahead, saw, _left(graph, joints))
        if step is None:
            saw.fresh()
            step = _farthest(steps.from_place(node), ahead, saw, _left(graph, joints))
        step = step or _farthest(steps.from_place(node), ahead, saw, None)
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


def _farthest(
    steps: Iterable[tuple[int, Need]], ahead: _Ahead, saw: _Saw, joints: int | None
) -> tuple[int, Need] | None:
    """The farthest step from the stick at hand, with so many joints at most; None if none is."""
    leading = ahead.leading
    for to, need in steps:
        if leading >> to & 1 and saw.holds(need) and (joints is None or ahead.within(to, joints)):
            return to, need
    return None
