"""Pieces for all runs that share a product: joints and sticks chosen together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from service.cutting.effort import Effort
from service.cutting.records import Plan
from service.cutting.sticks.bounds import grain_of
from service.cutting.sticks.heuristic import cost_of
from service.cutting.sticks.solve import least_cost, solve
from service.joints.alike import settled_alike
from service.joints.as_you_go import as_you_go
from service.joints.bounds import (
    NEAR,
    Bounds,
    in_whole_sticks,
    least_in_cells,
    master_of,
    narrowed,
    rounds_for,
    with_flows,
    with_nested,
)
from service.joints.construct import lay
from service.joints.flow import Flow
from service.joints.improving import (
    Best,
    Steered,
    better,
    better_usual,
    improved,
    laid_again,
    laid_otherwise,
    meets,
)
from service.joints.job import (
    MOST_OWN,
    Laid,
    Pool,
    Prepared,
    finished,
    in_own_lengths,
    prepared,
    result,
)
from service.joints.master import JointMaster
from service.joints.material import material
from service.joints.records import Blocked, Jointed
from service.joints.stack import Stack
from service.solver.programme import Solved

__all__ = ["place_joints"]

TRIES = ((0.3, 0.02), (0.3, 0.005), (1.0, 0.0), (0.0, 0.01), (0.1, 0.0), (3.0, 0.02))
"""How dear it is to use a need beyond its share, and a joint as a share of a stick, try by try."""

TRIES_OF_FEW = ((0.3, 0.3), (0.0, 0.01), *TRIES)
"""The same where a joint has a price: the programme mixes layouts of many joints, which is dear for
one that is laid whole."""


def place_joints(pool: Pool, effort: Effort) -> Jointed | Blocked | None:
    """Pieces and plan; `Blocked` where a stack has no legal layout; None if stock runs short."""
    step = grain_of(pool.stocks, pool.joint_cost)
    units = tuple(replace(stock, cost=stock.cost // step) for stock in pool.stocks)
    in_units = replace(pool, stocks=units, joint_cost=pool.joint_cost // step)

    def known(enough: int) -> int:
        return least_in_cells(pool, effort, enough * step) // step

    made = _on_few_or_all(in_units, effort, known)
    return _scaled(made, pool, step) if isinstance(made, Jointed) else made


def _on_few_or_all(
    pool: Pool, effort: Effort, known: Callable[[int], int]
) -> Jointed | Blocked | None:
    """What is made of all stations, or of few where that is better; of few alone if good enough.

    `known` is what any plan costs at least, as far as it matters up to a cost.
    """
    found = None
    if pool.joint_cost and any(run.few for run in pool.runs):
        found = _in_steps(_at(pool, frozenset()), effort)
    if not isinstance(found, Jointed):
        made = _in_steps(pool, effort)
        return _of_used(pool, [made], effort, known) if isinstance(made, Jointed) else made
    if effort.any_legal or found.plan.cost <= effort.enough(found.plan.bound):
        return found
    made = _in_steps(pool, effort)
    every = [made, found] if isinstance(made, Jointed) else [found]
    return _of_used(pool, every, effort, known)


def _of_used(
    pool: Pool, made: Sequence[Jointed], effort: Effort, known: Callable[[int], int]
) -> Jointed:
    """The best of what was made; or what is made of few stations and those that were used there.

    Of so few the search sees all that can be; only where the best is `NEAR` over its bound.
    """
    best = min(made, key=lambda one: _rank(pool, one))
    worth = effort.changes and any(run.few for run in pool.runs)
    near = best.plan.cost * (1 - NEAR)
    if not worth or near <= best.plan.bound or near <= known(best.plan.cost):
        return best
    used = frozenset(piece.low for one in made for own in one.cuts for piece in own[1:])
    again = _in_steps(_at(pool, used), effort)
    if not isinstance(again, Jointed) or _rank(pool, best) <= _rank(pool, again):
        return best
    return replace(again, as_you_go=best.as_you_go)


def _at(pool: Pool, used: frozenset[int]) -> Pool:
    """The pool with few stations where there are many, and those of them that were used."""
    return replace(pool, runs=tuple(run.at_few(used) for run in pool.runs))


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


def _together(
    job: Prepared, master: JointMaster, effort: Effort, usual: _Usual
) -> Jointed | Blocked | None:
    """A first legal layout, then better ones until none of pieces cut apart can cost much less.

    The usual layout is taken where the search finds none as good, so it is never beaten by it.
    """
    rounds = rounds_for(job, master, effort)
    solved, apart = settled_alike(job, master, rounds) or master.run(rounds)
    bare = Bounds(material(job, nested=False), material(job))
    solved, bounds = with_nested(job, master, rounds, solved, apart, bare, {})
    best: Best | None = None
    flows: Mapping[int, Flow] = {}
    tries = _tries(job)
    for attempt in range(effort.tries):
        if attempt == 1:
            solved, flows, bounds = with_flows(job, master, effort, solved, bounds)
        weights, own = tries[attempt % len(tries)], flows if attempt == 1 else {}
        laid = lay(job, master, solved, effort, weights, own)
        if isinstance(laid, Blocked):
            if usual is None:
                return laid
            break
        best = better(best, job, master, replace(effort, nodes=0), laid)
        if meets(best, effort, bounds.apart):
            break
    if usual is not None and not meets(best, effort, bounds.apart):
        best = better_usual(best, job, master, effort, usual)
    if best is None:
        return None
    best = improved(best, job, master, effort, solved, bounds.apart)
    if effort.tries == 1:
        best, solved, flows, bounds = _by_flows(best, job, master, effort, solved, bounds)
    best, bounds = _by_windows(best, job, master, effort, solved, bounds, flows)
    best, bound = _in_whole(best, job, master, effort, bounds, flows)
    plan = replace(best.plan, bound=bound, work=master.cutting.work)
    return finished(job, best.laid, plan, replace(effort, nodes=0))


def _in_whole(
    best: Best, job: Prepared, master: JointMaster, effort: Effort, bounds: Bounds,
    flows: Mapping[int, Flow],
) -> tuple[Best, int]:  # fmt: skip
    """The best so far, or one as whole sticks would have it if it is `NEAR` over; the bound."""
    known = range(min(bounds.nested, best.plan.cost), best.plan.cost)
    if best.over or job.pool.lifted:
        return best, min(known.start, material(job))
    if not effort.nodes or known.stop * (1 - NEAR) <= known.start:
        return best, known.start
    bound = in_whole_sticks(job, master, rounds_for(job, master, effort), flows, known)
    if bound > known.start and known.stop * (1 - NEAR) > bound and not job.needs.nests:
        solved, steered = master.cutting.programme.solve(), Steered(_tries(job)[0], {})
        best = laid_again(best, job, master, effort, solved, bound, steered)
    return best, bound


def _by_flows(
    best: Best, job: Prepared, master: JointMaster, effort: Effort, solved: Solved | None,
    bounds: Bounds,
) -> tuple[Best, Solved | None, Mapping[int, Flow], Bounds]:  # fmt: skip
    """The best so far, or one laid by flows of whole stacks, where it is `NEAR` over its bound."""
    worth = effort.changes and job.bounded and not job.large
    if not worth or best.plan.cost * (1 - NEAR) <= bounds.apart:
        return best, solved, {}, bounds
    solved, flows, bounds = with_flows(job, master, effort, solved, bounds)
    if best.plan.cost * (1 - NEAR) > bounds.apart:
        steered = Steered(_tries(job)[1], flows)
        best = laid_again(best, job, master, effort, solved, bounds.apart, steered)
    return best, solved, flows, bounds


def _tries(job: Prepared) -> Sequence[tuple[float, float]]:
    """The weights of a layout, try by try."""
    return TRIES_OF_FEW if job.pool.joint_cost else TRIES


def _by_windows(
    best: Best, job: Prepared, master: JointMaster, effort: Effort, solved: Solved | None,
    bounds: Bounds, flows: Mapping[int, Flow],
) -> tuple[Best, Bounds]:  # fmt: skip
    """The best so far, or one steered by windows of few courses, or laid otherwise; and the bounds.

    Only where the best is far over its bound when its courses have been moved: they take long.
    """
    if not effort.changes:
        return best, bounds
    rounds, cost = rounds_for(job, master, effort), best.plan.cost
    found, bounds = narrowed(job, master, rounds, solved, bounds, flows, cost)
    if found is not solved:
        best = laid_again(
            best, job, master, effort, found, bounds.apart, Steered(_tries(job)[0], {})
        )
    others = _tries(job)[effort.tries :]
    return laid_otherwise(best, job, master, effort, found, bounds.apart, others), bounds
