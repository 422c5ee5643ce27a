"""One joint job made ready: stacks, needs and the programme; layouts cut, results put together."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from service.cutting.effort import Effort
from service.cutting.records import Need, Pattern, Plan, Stick, Stock, fits
from service.cutting.sticks.rips import WholeBoard
from service.cutting.sticks.solve import solve
from service.joints.graph import Arcs
from service.joints.master import JointMaster
from service.joints.needs import Needs
from service.joints.records import Cut, Jointed, JointRules, JointRun, Places
from service.joints.stack import Stack, stack_of
from service.joints.uncut import is_single, uncut_of
from service.units.once import once
from service.units.ticks import INCH

MOST_NEEDS, FEW_NEEDS = 1000, 160
MOST_OWN = 800
"""Different lengths up to which the chosen layout is cut anew from its own lengths."""

MOST_SIZE = 60_000
"""Arcs of all graphs over which there may be only few needs."""

GRAINS = (1, INCH // 4, INCH // 2, INCH, 2 * INCH, 4 * INCH)
"""Ticks to which lengths are rounded up while sticks are chosen; 1 leaves them as they are."""

Laid = Mapping[tuple[int, int], tuple[int, ...]]
"""Joints (node numbers) of each jointed run, by stack and number in it."""


@dataclass(frozen=True, slots=True)
class Pool:
    """All runs of a product: by stack, with the rules of each, and the stock.

    `fixed` are pieces that are cut from the same stock without being part of a run. `board` is
    what rips may share; None where none can. `lifted`: some runs may have more
    joints than they should, and other plans might need fewer: only bare material is a bound.
    """

    runs: tuple[JointRun, ...]
    rules: tuple[JointRules, ...]
    stocks: tuple[Stock, ...]
    kerf: int
    joint_cost: int = 0
    fixed: tuple[Need, ...] = ()
    board: WholeBoard | None = None
    lifted: bool = False


def least_pieces(run: JointRun, rules: JointRules, stocks: Sequence[Stock]) -> int | None:
    """The fewest pieces that a run can be made of; None if it cannot be made."""
    if is_single(run, rules, stocks):
        return 1
    needs = Needs()
    stack = stack_of([run], [False], rules, stocks, needs)
    graph = stack.graphs[0]
    assert graph is not None
    found = graph.best([1.0] * len(needs.all), [0.0] * len(graph.places))
    return None if found is None else round(found[0])


@dataclass(frozen=True)
class Prepared:
    """Stacks, the run numbers in each, needs by number, and the pieces that need no choice.

    `uncut` are the pieces that the runs would be if each were one, by their number. `fixed` are the
    pieces without a choice by the needs that stand for them, `whole` by their own lengths, and
    `nested` by what they take of a stick at least.
    """

    pool: Pool
    stacks: tuple[Stack, ...]
    numbers: tuple[tuple[int, ...], ...]
    uncut: tuple[Need, ...]
    needs: Needs
    fixed: Counter[Need]
    whole: Counter[Need]
    nested: Counter[Need]

    @property
    def coarse(self) -> bool:
        """Whether needs stand for shorter ones."""
        return self.needs.grain > 1

    @once
    def large(self) -> bool:
        """Whether the graphs of all different runs have so many arcs that needs must be few."""
        graphs = {id(g): g for stack in self.stacks for g in stack.graphs if g is not None}
        return sum(graph.size for graph in graphs.values()) > MOST_SIZE

    def seeds(self, master: JointMaster) -> list[Pattern]:
        """Patterns of the programme that can be cut, whatever their needs stand for."""
        patterns = master.cutting.patterns
        if self.least is None:
            return list(patterns)
        return [one for one in patterns if self._can_be_cut(one)]

    def _can_be_cut(self, pattern: Pattern) -> bool:
        lengths = sum(need.length * count for need, count in pattern.pieces)
        pieces = sum(count for _, count in pattern.pieces)
        room = self.pool.stocks[pattern.stock].room(dict(pattern.pieces))
        return fits(lengths, pieces, self.pool.kerf, room)

    @property
    def least(self) -> Mapping[Need, int] | None:
        """The shortest length that each need stands for, where that is not its own."""
        return self.needs.shortest if self.coarse else None

    @property
    def bounded(self) -> bool:
        """Whether joints can only be at the listed stations, so that the programme is a bound."""
        return is_bounded(self.pool)


def is_bounded(pool: Pool) -> bool:
    """Whether joints can only be at the listed stations."""
    return all(rules.places is Places.FRAMING and not rules.end_matched for rules in pool.rules)


def prepared(pool: Pool, most: int = MOST_NEEDS) -> Prepared:
    """Stacks and needs, on the finest grain that leaves at most so many different needs."""
    finest = _on_grain(pool, Needs(GRAINS[0], pool.stocks))
    lengths = {*finest.needs.all, *finest.fixed}
    most = FEW_NEEDS if finest.large else most
    for grain in GRAINS:
        if len(set(map(Needs(grain, pool.stocks).standing_for, lengths))) <= most:
            break
    return finest if grain == GRAINS[0] else _coarser(finest, Needs(grain, pool.stocks))


def _coarser(job: Prepared, needs: Needs) -> Prepared:
    """The same with needs on a coarser grain: every piece is legal as before, by another number."""
    fixed: Counter[Need] = Counter()
    for need, count in job.whole.items():
        fixed[needs.met(need, job.needs.least[need])] += count
    numbers = [needs.number(need, job.needs.least[need]) for need in job.needs.all]
    graphs = {id(g): g for stack in job.stacks for g in stack.graphs if g is not None}
    known = dict[int, Arcs]()
    made = {key: graph.renumbered(numbers, known) for key, graph in graphs.items()}
    stacks = tuple(
        replace(stack, graphs=tuple(None if g is None else made[id(g)] for g in stack.graphs))
        for stack in job.stacks
    )
    return replace(job, stacks=stacks, needs=needs, fixed=fixed)


def _on_grain(pool: Pool, needs: Needs) -> Prepared:
    numbers: list[list[int]] = [[] for _ in pool.rules]
    for k, run in enumerate(pool.runs):
        numbers[run.stack].append(k)
    whole, nested = Counter(pool.fixed), Counter(pool.fixed)
    fixed = Counter(needs.met(need) for need in pool.fixed)
    uncut = uncut_of(pool.runs, pool.rules, pool.stocks)
    stacks = []
    for rules, members in zip(pool.rules, numbers, strict=True):
        runs = [pool.runs[k] for k in members]
        own = [uncut[k] for k in members]
        for run, one in zip(runs, own, strict=True):
            if one.alone and run.installed is None:
                whole[one.need] += 1
                nested[one.need._replace(length=one.least)] += 1
                fixed[needs.met(one.need, one.least)] += 1
        stacks.append(stack_of(runs, [one.alone for one in own], rules, pool.stocks, needs))
    return Prepared(
        pool=pool,
        stacks=tuple(stacks),
        numbers=tuple(map(tuple, numbers)),
        uncut=tuple(one.need for one in uncut),
        needs=needs,
        fixed=fixed,
        whole=whole,
        nested=nested,
    )


def joints_over(job: Prepared, laid: Laid) -> int:
    """How many joints runs have beyond the most that each should have (6.3)."""
    found = 0
    for (number, k), joints in laid.items():
        graph = job.stacks[number].graphs[k]
        assert graph is not None
        found += 0 if graph.most is None else max(0, len(joints) - graph.most)
    return found


def least_of(run: JointRun, rules: JointRules) -> int:
    """The length of stick that the pieces of a run take together at least (4.5)."""
    return run.least(rules.least_sum(run))


def cut(
    job: Prepared, master: JointMaster, effort: Effort, laid: Laid, most: int | None = None,
    enough: int | None = None,
) -> Plan | None:  # fmt: skip
    """A cutting plan for the pieces of a layout; its cost counts joints where they cost.

    None where the supply does not reach, or where no plan can cost as little as `most`. One that
    costs no more than `enough` is not bettered.
    """
    wanted = Counter(job.fixed)
    for (number, k), joints in laid.items():
        graph = job.stacks[number].graphs[k]
        assert graph is not None
        wanted.update(job.needs.all[need] for need in graph.needs(joints))
    pool = job.pool
    of_joints = _joints_cost(job, laid)
    under, done = (None if cost is None else cost - of_joints for cost in (most, enough))
    plan = solve(pool.stocks, wanted, pool.kerf, effort, job.seeds(master), under, done)
    return None if plan is None else _with_joints(job, laid, plan)


def _joints_cost(job: Prepared, laid: Laid) -> int:
    return job.pool.joint_cost * sum(len(joints) for joints in laid.values())


def _with_joints(job: Prepared, laid: Laid, plan: Plan) -> Plan:
    if not job.pool.joint_cost:
        return plan
    joints = _joints_cost(job, laid)
    return Plan(plan.sticks, plan.cost + joints, plan.bound + joints, plan.work)


def finished(job: Prepared, laid: Laid, plan: Plan, effort: Effort) -> Jointed:
    """The pieces and the plan, cut once more from the pieces' own lengths where that is cheaper."""
    made = result(job, laid, plan)
    if not job.coarse or plan.cost <= plan.bound:
        return made
    own = Counter(job.pool.fixed)
    own.update(piece.need for pieces in made.cuts for piece in pieces)
    if len(own) > MOST_OWN:
        return made
    under = plan.cost - _joints_cost(job, laid) - effort.least_gain(plan.cost)
    again = solve(job.pool.stocks, own, job.pool.kerf, effort, under=under)
    if again is None:
        return made
    again = _with_joints(job, laid, again)
    if again.cost >= plan.cost:
        return made
    bound = min(plan.bound, again.cost)
    return replace(made, plan=Plan(again.sticks, again.cost, bound, plan.work + again.work))


def result(job: Prepared, laid: Laid, plan: Plan) -> Jointed:
    """The pieces at their own lengths, and the plan with them in place of what stood for them."""
    cuts = cuts_of(job, laid)
    waiting: dict[Need, list[Need]] = defaultdict(list)
    for need in (*job.pool.fixed, *(piece.need for own in cuts for piece in own)):
        waiting[job.needs.standing_for(need)].append(need)
    sticks = tuple(
        Stick(stick.stock, tuple(waiting[need].pop() for need in stick.pieces))
        for stick in plan.sticks
    )
    return Jointed(cuts, replace(plan, sticks=sticks))


def in_own_lengths(job: Prepared, laid: Laid, plan: Plan) -> Jointed:
    """The pieces, and a plan that was made from their own lengths."""
    return Jointed(cuts_of(job, laid), plan)


def cuts_of(job: Prepared, laid: Laid) -> tuple[tuple[Cut, ...], ...]:
    """The pieces of every run, at the length to which each is cut.

    Runs that have one graph are cut alike where they have the same joints.
    """
    cuts: list[tuple[Cut, ...]] = [()] * len(job.pool.runs)
    made = dict[tuple[int, tuple[int, ...]], tuple[Cut, ...]]()
    for number, (stack, members) in enumerate(zip(job.stacks, job.numbers, strict=True)):
        for k, (run, place) in enumerate(zip(stack.runs, members, strict=True)):
            graph = stack.graphs[k]
            if k in stack.installed:
                continue
            if graph is None:
                cuts[place] = (Cut(run.low, run.high, job.uncut[place]),)
                continue
            alike = id(graph), laid[number, k]
            if alike not in made:
                made[alike] = graph.cuts(laid[number, k], run, stack.rules)
            cuts[place] = made[alike]
    return tuple(cuts)
