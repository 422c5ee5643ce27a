"""Pieces for all runs that share a product: joints and sticks chosen together."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.cutting.effort import Effort
from service.cutting.records import Plan
from service.cutting.sticks.bounds import grain_of
from service.cutting.sticks.heuristic import cost_of
from service.cutting.sticks.solve import least_cost, solve
from service.joints.as_you_go import as_you_go
from service.joints.bounds import (
    Bounds,
    master_of,
    narrowed,
    rounds_for,
    with_flows,
    with_nested,
)
from service.joints.construct import lay
from service.joints.flow import Flow
from service.joints.job import (
    MOST_OWN,
    Laid,
    Pool,
    Prepared,
    cut,
    finished,
    in_own_lengths,
    is_single,
    joints_over,
    prepared,
    result,
)
from service.joints.local_search import LocalSearch
from service.joints.master import JointMaster
from service.joints.material import material
from service.joints.records import Blocked, Jointed
from service.joints.stack import Stack
from service.solver.programme import Solved

__all__ = ["is_single", "place_joints"]

TRIES = ((0.3, 0.02), (0.3, 0.005), (1.0, 0.0), (0.0, 0.01), (0.1, 0.0), (3.0, 0.02))
"""How dear it is to use a need beyond its share, and a joint as a share of a stick, try by try."""

TRIES_OF_FEW = ((0.3, 0.3), (0.0, 0.01), *TRIES)
"""The same where a joint has a price: the programme mixes layouts of many joints, which is dear for
one that is laid whole."""

CUT_AGAIN = 5
"""How often a layout is cut while it is changed."""

WORTH_ALL = 200
"""The cost over what is to be gained, at which all changes are worth their time."""


def place_joints(pool: Pool, effort: Effort) -> Jointed | Blocked | None:
    """Pieces and plan; `Blocked` where a stack has no legal layout; None if stock runs short."""
    step = grain_of(pool.stocks, pool.joint_cost)
    units = tuple(replace(stock, cost=stock.cost // step) for stock in pool.stocks)
    made = _on_few_or_all(replace(pool, stocks=units, joint_cost=pool.joint_cost // step), effort)
    return _scaled(made, pool, step) if isinstance(made, Jointed) else made


def _on_few_or_all(pool: Pool, effort: Effort) -> Jointed | Blocked | None:
    """What is made of all stations, or of few where that is better; of few alone if good enough."""
    found = None
    if pool.joint_cost and any(run.few for run in pool.runs):
        runs = tuple(replace(run, stations=run.few or run.stations) for run in pool.runs)
        found = _in_steps(replace(pool, runs=runs), effort)
    if not isinstance(found, Jointed):
        return _in_steps(pool, effort)
    if effort.any_legal or found.plan.cost <= effort.enough(found.plan.bound):
        return found
    made = _in_steps(pool, effort)
    is_better = isinstance(made, Jointed) and _rank(pool, made) <= _rank(pool, found)
    return made if is_better else found


def _rank(pool: Pool, made: Jointed) -> tuple[int, int, int]:
    """Joints beyond the most of their runs, then cost, then joints (6.7)."""
    return joints_beyond(pool, made), made.plan.cost, made.joints


def joints_beyond(pool: Pool, made: Jointed) -> int:
    """How many joints runs have beyond the most that each should have (6.3)."""
    return sum(
        max(0, len(own) - 1 - run.most)
        for run, own in zip(pool.runs, made.cuts, strict=True)
        if run.most is not None
    )


def _scaled(made: Jointed, pool: Pool, step: int) -> Jointed:
    """With cost and bound in the pool's own unit again."""
    cost = cost_of(made.plan.sticks, pool.stocks) + pool.joint_cost * made.joints
    usual = None if made.as_you_go is None else _scaled(made.as_you_go, pool, step)
    return replace(
        made, plan=replace(made.plan, cost=cost, bound=made.plan.bound * step), as_you_go=usual
    )


def _in_steps(pool: Pool, effort: Effort) -> Jointed | Blocked | None:
    """The same with costs in the grain of the programmes."""
    job = prepared(pool)
    for number, stack in enumerate(job.stacks):
        blocked = _impossible(number, stack, len(job.needs.all))
        if blocked is not None:
            return blocked
    usual = as_you_go(job)
    made = _made(job, effort, usual)
    if usual is None or not isinstance(made, Jointed):
        return made
    plan = replace(usual[1], bound=made.plan.bound)
    return replace(made, as_you_go=result(job, usual[0], plan))


_Usual = tuple[Laid, Plan] | None


def _made(job: Prepared, effort: Effort, usual: _Usual) -> Jointed | Blocked | None:
    """The best of what is searched for and the usual; that alone where any will do."""
    if usual is not None and effort.any_legal:
        laid, plan = usual
        return result(job, laid, replace(plan, bound=min(plan.cost, material(job))))
    if not any(stack.jointed for stack in job.stacks):
        return _whole_runs(job, effort, usual)
    return _together(job, master_of(job), effort, usual)


def _whole_runs(job: Prepared, effort: Effort, usual: _Usual) -> Jointed | None:
    """Every run in one piece: cutting alone."""
    pool, own = job.pool, len(job.whole) <= MOST_OWN
    plan = solve(pool.stocks, job.whole if own else job.fixed, pool.kerf, effort)
    if plan is None:
        return None
    if not own:
        plan = replace(plan, bound=min(plan.cost, material(job)))
    elif job.nested != job.whole:
        # If all slanted cuts that could be shared were (4.5, 8.8).
        least = least_cost(pool.stocks, job.nested, pool.kerf, effort, plan.bound)
        plan = replace(plan, bound=min(plan.bound, least))
    if usual is not None and usual[1].cost < plan.cost:
        return result(job, {}, replace(usual[1], bound=plan.bound, work=plan.work))
    return in_own_lengths(job, {}, plan) if own else result(job, {}, plan)


def _impossible(number: int, stack: Stack, needs: int) -> Blocked | None:
    """A run that no set of joints can make, whatever its neighbours do."""
    free = [0.0] * needs
    seen: set[int] = set()
    for k in stack.jointed:
        graph = stack.graphs[k]
        assert graph is not None
        if id(graph) in seen:
            continue
        seen.add(id(graph))
        if graph.best(free, [0.0] * len(graph.places)) is None:
            return Blocked(number, k, proved=True)
    return None


@dataclass(frozen=True, slots=True)
class _Best:
    """The cheapest layout so far with its plan."""

    plan: Plan
    laid: Laid
    over: int

    @property
    def rank(self) -> tuple[int, int, int]:
        """Joints beyond the most of their runs, then cost, then joints (6.7)."""
        return self.over, self.plan.cost, sum(len(joints) for joints in self.laid.values())


def _together(
    job: Prepared, master: JointMaster, effort: Effort, usual: _Usual
) -> Jointed | Blocked | None:
    """A first legal layout, then better ones until none of pieces cut apart can cost much less.

    The usual layout is taken where the search finds none as good, so it is never beaten by it.
    """
    rounds = rounds_for(job, master, effort)
    solved, apart = master.run(rounds)
    bare = Bounds(material(job, nested=False), material(job))
    solved, bounds = with_nested(job, master, rounds, solved, apart, bare, {})
    best: _Best | None = None
    flows: dict[int, Flow] = {}
    tries = TRIES_OF_FEW if job.pool.joint_cost else TRIES
    waiting = [tries[k % len(tries)] for k in range(effort.tries)]
    for attempt, weights in enumerate(waiting):
        if attempt == 1:
            solved, flows, bounds = with_flows(job, master, effort, solved, bounds)
            before, enough = solved, bounds.apart if best is None else best.plan.cost
            solved, bounds = narrowed(job, master, rounds, solved, bounds, flows, enough)
            if solved is not before:
                waiting.insert(2, waiting[0])
        laid = lay(job, master, solved, effort, weights, flows if attempt == 1 else {})
        if isinstance(laid, Blocked):
            if usual is None:
                return laid
            break
        best = _better(best, job, master, replace(effort, nodes=0), laid)
        if _meets(best, effort, bounds.apart):
            break
    if usual is not None and not _meets(best, effort, bounds.apart):
        best = _better_usual(best, job, master, effort, usual)
    if best is None:
        return None
    best = _improved(best, job, master, effort, solved, bounds.apart)
    bound = min(bounds.nested, best.plan.cost)
    if best.over or job.pool.lifted:
        bound = min(bound, material(job))
    plan = replace(best.plan, bound=bound, work=master.cutting.work)
    return finished(job, best.laid, plan, replace(effort, nodes=0))


def _meets(best: _Best | None, effort: Effort, bound: int) -> bool:
    """Whether a layout was found that is good enough against pieces cut apart."""
    return best is not None and not best.over and best.plan.cost <= effort.enough(bound)


def _improved(
    best: _Best,
    job: Prepared,
    master: JointMaster,
    effort: Effort,
    solved: Solved | None,
    bound: int,
) -> _Best:
    """The best so far, or a better one of joints moved, and of its pieces cut anew."""
    if effort.changes and solved is not None and not _meets(best, effort, bound):
        best = _searched(best, job, master, effort, solved, bound)
    if effort.last_nodes and not _meets(best, effort, bound) and _may_gain(best.plan, effort):
        last = replace(effort, nodes=effort.last_nodes)
        best = _better(best, job, master, last, best.laid) or best
    return best


def _may_gain(plan: Plan, effort: Effort) -> bool:
    """Whether pieces can be cut for so much less that it is worth trying."""
    return plan.cost - plan.bound >= effort.least_gain(plan.cost)


def _better_usual(
    best: _Best | None, job: Prepared, master: JointMaster, effort: Effort, usual: tuple[Laid, Plan]
) -> _Best | None:
    """The best so far, or the usual layout with its own sticks or better ones.

    Where no search is asked for, better ones are only looked for if the usual is the best so far.
    """
    laid, plan = usual
    new = _Best(plan, laid, joints_over(job, laid))
    if best is None or new.rank < best.rank:
        best = new
    elif not effort.nodes:
        return best
    return _better(best, job, master, replace(effort, nodes=0), laid)


def _better(
    best: _Best | None, job: Prepared, master: JointMaster, effort: Effort, laid: Laid
) -> _Best | None:
    """The better of the best so far and a layout cut with an effort."""
    over = joints_over(job, laid)
    beaten = best is not None and best.over <= over
    plan = cut(job, master, effort, laid, best.plan.cost if best and beaten else None)
    if plan is None:
        return best
    new = _Best(plan, laid, over)
    return new if best is None or new.rank < best.rank else best


def _searched(
    best: _Best, job: Prepared, master: JointMaster, effort: Effort, solved: Solved, bound: int
) -> _Best:
    """The best layout changed a few courses at a time, and cut every now and then.

    It ends when it is good enough. Where less than `WORTH_ALL` is to be gained, there are fewer
    changes in proportion.
    """
    gain = (best.plan.cost - bound) * WORTH_ALL
    steps = min(effort.changes, effort.changes * gain // max(1, best.plan.cost))
    search = LocalSearch(job, master, solved.duals, best.laid, best.plan)
    enough = effort.enough(bound)
    for _ in range(CUT_AGAIN):
        before = search.laid.copy()
        search.run(-(-steps // CUT_AGAIN), enough)
        if search.laid == before:
            continue
        best = _better(best, job, master, replace(effort, nodes=0), search.laid.copy()) or best
        if best.plan.cost <= enough:
            break
    return best
