"""Courses that are alike but for a little at their ends, priced as if all were as long as any.

In a room out of square each course has lengths of its own, and the programme a row for each of
them. One whose courses all have the longest of these has few rows. What it lays can be laid in
every course, so it costs no less than the programme itself; and where its prices, put on all
lengths, show that nothing costs noticeably less, it is as good as that one solved.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from service.cutting.records import Need, Pattern
from service.cutting.sticks.master import Master
from service.joints.graph import Arcs, Graph
from service.joints.job import Prepared
from service.joints.master import JointMaster
from service.joints.stack import Stack
from service.solver.programme import Solved
from service.units.folding import folded
from service.units.ticks import INCH

SPREAD = 6 * INCH
"""Courses that differ by more than this are not taken to be alike."""

FEWEST_NEEDS, TIMES_FEWER = 40, 2
"""Different lengths, and how many times fewer there must be, for which it is worth its time."""

NEAR = 0.0002
"""What the prices may show less than the programme costs, for it to count as solved."""

USED = 1e-7
"""What is used less than this is not used."""


@dataclass(frozen=True, slots=True)
class _Few:
    """The programme of the longest courses, solved, and which need stands for each of the job."""

    programme: JointMaster
    solved: Solved
    stands: Mapping[Need, Need]

    @property
    def cost(self) -> float:
        """What is laid and cut costs, without what joints count in the search alone."""
        joints = (
            self.solved.values[column] * len(own)
            for group in self.programme.groups
            for own, column in group.layouts.items()
        )
        return self.solved.objective - self.programme.nudge * folded(joints)

    def price(self, need: Need) -> float:
        """What the need is worth that stands for this one."""
        return max(0.0, self.solved.duals[self.programme.cutting.rows[self.stands[need]]])


def settled_alike(job: Prepared, master: JointMaster, rounds: int) -> tuple[Solved, int] | None:
    """The same to lay courses by; None where joints have a price.

    There few layouts steer worse than many do, and plans may be dearer.
    """
    return None if job.pool.joint_cost else alike(job, master, rounds)


def alike(job: Prepared, master: JointMaster, rounds: int) -> tuple[Solved, int] | None:
    """A solution and a sure bound from courses as long as any; None where that shows too little.

    The programme of all courses is not solved for it, and as it was where that is in vain.
    """
    if job.coarse or len(job.needs.all) < FEWEST_NEEDS or _own_stations(job):
        return None
    stacks = [_shared(stack, job.needs.all) for stack in job.stacks]
    needs = sorted(
        {job.needs.all[k] for stack in stacks for g in _graphs(stack) for k in g.every_need}
    )
    if len(needs) * TIMES_FEWER > len(job.needs.all):
        return None
    few = _solved(job, stacks, needs, rounds)
    if few is None:
        return None
    duals = _duals(few, master)
    priced = Solved(few.solved.objective, (), duals)
    bound = master.bound(priced, master.cutting.sure(priced), {})
    if bound < few.cost * (1 - NEAR):
        return None
    _seed(few, master)
    master.taken_over = replace(priced, values=_values(few, master))
    return master.taken_over, bound


def _own_stations(job: Prepared) -> bool:
    """Whether so many runs have stations of their own that few can be alike."""
    graphs = [graph for stack in job.stacks for graph in _graphs(stack)]
    return len({graph.bits for graph in graphs}) * TIMES_FEWER > len(graphs)


def _graphs(stack: Stack) -> Iterable[Graph]:
    """The different graphs of a stack."""
    return {id(graph): graph for graph in stack.graphs if graph is not None}.values()


def _shared(stack: Stack, needs: Sequence[Need]) -> Stack:
    """A stack whose runs that are alike share a graph."""
    alike: dict[object, list[Graph]] = defaultdict(list)
    for graph in _graphs(stack):
        reached = tuple(tuple(to for to, _ in out) for out in graph.arcs)
        long = (graph.places[-1] - graph.places[0]) // SPREAD
        alike[graph.bits, graph.most, reached, long].append(graph)
    made = dict[int, Graph]()
    for own in alike.values():
        graph = _longest(own, needs)
        made |= {id(one): graph for one in own}
    return replace(stack, graphs=tuple(g and made[id(g)] for g in stack.graphs))


def _longest(graphs: Sequence[Graph], needs: Sequence[Need]) -> Graph:
    """A graph with the longest piece of all at each arc."""
    if len(graphs) == 1:
        return graphs[0]
    arcs = tuple(
        tuple(max(same, key=lambda arc: needs[arc[1]]) for same in zip(*outs, strict=True))
        for outs in zip(*(graph.arcs for graph in graphs), strict=True)
    )
    return replace(graphs[0], arcs=arcs)


def _solved(
    job: Prepared, stacks: Sequence[Stack], needs: Sequence[Need], rounds: int
) -> _Few | None:
    """The programme of the shared graphs, solved."""
    numbers, pool = {need: k for k, need in enumerate(needs)}, job.pool
    places = [numbers.get(need, 0) for need in job.needs.all]
    known = dict[int, Arcs]()
    made = {id(g): g.renumbered(places, known) for stack in stacks for g in _graphs(stack)}
    own = [
        replace(stack, graphs=tuple(g and made[id(g)] for g in stack.graphs)) for stack in stacks
    ]
    cutting = Master(pool.stocks, sorted({*needs, *job.fixed}), pool.kerf)
    programme = JointMaster(cutting, own, needs, job.fixed, pool.joint_cost)
    solved = programme.run(rounds)[0]
    if solved is None:
        return None
    return _Few(programme, solved, _stands(cutting.rows, {*job.needs.all, *job.fixed}))


def _stands(known: Iterable[Need], needs: Iterable[Need]) -> dict[Need, Need]:
    """For each need the next longer one that is known, with such ends."""
    alike: dict[tuple[int, ...], list[Need]] = defaultdict(list)
    for need in sorted(known):
        alike[need[1:]].append(need)
    return {need: alike[need[1:]][bisect_left(alike[need[1:]], need)] for need in needs}


def _duals(few: _Few, master: JointMaster) -> tuple[float, ...]:
    """The prices of all rows: each length at that of the next longer."""
    duals, own = [0.0] * master.cutting.programme.rows, few.programme
    for need, row in master.cutting.rows.items():
        duals[row] = few.price(need)
    alike = [
        (master.windows, own.windows),
        (master.cutting.supply_rows, own.cutting.supply_rows),
        (
            [group.row for group in master.group_of.values()],
            [own.group_of[key].row for key in master.group_of],
        ),
    ]
    for rows, there in alike:
        for row, other in zip(rows, there, strict=True):
            duals[row] = few.solved.duals[other]
    return tuple(duals)


def _values(few: _Few, master: JointMaster) -> tuple[float, ...]:
    """The layouts of the solution in every run, each in its share."""
    shares = dict[int, float]()
    for key, group in master.group_of.items():
        own = few.programme.group_of[key]
        for joints, column in own.layouts.items():
            share = few.solved.values[column] / own.count
            if share > USED:
                master.add(group, joints)
                shares[group.layouts[joints]] = share * group.count
    return tuple(shares.get(k, 0.0) for k in range(len(master.cutting.programme.columns)))


def _seed(few: _Few, master: JointMaster) -> None:
    """Add the patterns of the solution, with each shorter length in turn for the longest."""
    shorter: dict[Need, list[Need]] = defaultdict(list)
    for need, longer in sorted(few.stands.items()):
        shorter[longer].append(need)
    for pattern, _ in few.programme.cutting.used(few.solved):
        for made in _with_others(pattern, shorter):
            master.cutting.add(made)


def _with_others(pattern: Pattern, shorter: Mapping[Need, Sequence[Need]]) -> Iterator[Pattern]:
    """A pattern with other needs that one of its own stands for."""
    for place, (longer, count) in enumerate(pattern.pieces):
        others = Counter(dict(pattern.pieces[:place] + pattern.pieces[place + 1 :]))
        for need in shorter[longer]:
            yield Pattern(pattern.stock, tuple(sorted((others + Counter({need: count})).items())))
