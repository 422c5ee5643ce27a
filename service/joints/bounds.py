"""What joints and sticks together must cost: of pieces cut apart, and of pieces that nest.

Where slanted ends lie against each other in a stick one cut may serve two pieces (4.5). The search
cuts all pieces apart, and is steered by prices of such sticks alone: at those of nested pieces it
would lay what cannot be cut. So they are priced only for the bound, and given up again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from service.cutting.effort import Effort
from service.cutting.sticks.bounds import grain_of
from service.cutting.sticks.master import SCALE, Master, Prices, Pricing
from service.cutting.sticks.pricing import price
from service.cutting.sticks.solve import least_cost
from service.joints.alike import alike
from service.joints.cells import in_cells
from service.joints.course_order import is_plain
from service.joints.flow import Flow, flow_of
from service.joints.job import MOST_NEEDS, MOST_OWN, Pool, Prepared, is_bounded, prepared
from service.joints.master import JointMaster
from service.joints.material import material, without_joints
from service.joints.side_by_side import broken
from service.joints.whole_sticks import of_whole_sticks
from service.solver.programme import Solved

MANY_NEEDS = 100
"""With more needs, nested pieces are priced only where that promises a higher bound."""

TIMES_NARROWED, ROUNDS_BETWEEN = 5, 2
"""How often windows of few courses are looked for, and rounds of pricing in between."""

FAR = Fraction(1, 100)
"""They are looked for where what is known to be enough is further over its bound."""

NEAR = Fraction(1, 200)
"""Where a plan is so far over its bound it is laid in other ways too; where bare material shows so
much less than is enough, joints anywhere are told by cells."""

LITTLE = Fraction(1, 1000)
"""Where a bound is so little under what is enough it is not raised to whole sticks."""

TOO_NEAR = 10_000
"""A bound that could rise by less than so small a part of it is left as it is."""

FEW_GROUPS = 8
"""Where more runs differ a bound is raised to whole sticks in fewer rounds: each takes long."""

MOST_LAYOUTS = 80
"""Layouts of a flow at most, unless all are listed."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """What all pieces cost at least: each cut from its own length of stick, or as they can nest.

    The search cuts pieces apart, so it can find nothing under the first; plans are bound by the
    second, for a crew may share slanted cuts (4.5).
    """

    apart: int
    nested: int


def least_of_all(pool: Pool, effort: Effort, enough: int) -> int:
    """What all runs cost at least, jointed and cut in whatever way, without a plan of them.

    It may stop once that is `enough`. In the unit of the pool's costs.
    """
    if not pool.joint_cost:
        bare = without_joints(pool)
        if enough - bare <= enough // TOO_NEAR and is_bounded(pool):
            return bare
    step, job = in_steps(pool)
    return max(step * _least(job, effort, enough // step), least_in_cells(pool, effort, enough))


def in_steps(pool: Pool, most: int = MOST_NEEDS) -> tuple[int, Prepared]:
    """A job with costs in the grain of the programmes, and how much one of these is.

    It has at most so many needs, that stand for shorter ones where there are more.
    """
    step = grain_of(pool.stocks, pool.joint_cost)
    units = tuple(replace(stock, cost=stock.cost // step) for stock in pool.stocks)
    return step, prepared(replace(pool, stocks=units, joint_cost=pool.joint_cost // step), most)


def least_in_cells(pool: Pool, effort: Effort, enough: int) -> int:
    """What runs cost at least whose joints may be anywhere, stagger and repeat among all (6.5).

    Nothing where that is not known, where bare material shows nearly `enough`, or where no search
    is asked for.
    """
    if not effort.nodes or pool.lifted or is_bounded(pool):
        return 0
    step, job = in_steps(pool)
    if step * material(job) >= enough * (1 - NEAR):
        return 0
    cells = in_cells(pool)
    return 0 if cells is None else _least_in_cells(cells, effort.rounds)


@lru_cache(maxsize=16)
def _least_in_cells(cells: Pool, rounds: int) -> int:
    """The same, kept for a while: it is asked for again with pieces a step shorter."""
    step, job = in_steps(cells)
    master = master_of(job)
    master.run(0)
    master.cutting.let_longer_serve()
    if job.needs.nests:
        master.cutting.nest(job.needs.least, cut_to_least=not job.large)
    return step * master.best_bound(rounds, range(1 << 62), lambda _: {})


def _least(job: Prepared, effort: Effort, enough: int) -> int:
    """The same with costs in the grain of the programmes."""
    pool, bare = job.pool, material(job)
    if enough - bare <= enough // TOO_NEAR:
        return bare
    if not any(stack.jointed for stack in job.stacks):
        few = len(job.nested) <= MOST_OWN
        wanted = (pool.stocks, job.nested, pool.kerf, effort, enough)
        return max(bare, least_cost(*wanted) if few else 0)
    known = job.bounded and not pool.lifted
    return _least_jointed(job, effort, enough, bare) if known else bare


def _least_jointed(job: Prepared, effort: Effort, enough: int, bare: int) -> int:
    """What layouts and patterns show, with the courses in order where that may show more."""
    master = master_of(job)
    rounds = rounds_for(job, master, effort)
    solved, apart = alike(job, master, rounds) or master.run(rounds)
    known = Bounds(material(job, nested=False), bare)
    solved, bounds = with_nested(job, master, rounds, solved, apart, known, {})
    if bounds.nested < enough:
        solved, flows, bounds = with_flows(job, master, effort, solved, bounds)
        bounds = narrowed(job, master, rounds, solved, bounds, flows, enough)[1]
        if effort.nodes and bounds.nested * (1 + LITTLE) < enough:
            return in_whole_sticks(job, master, rounds, flows, range(bounds.nested, enough))
    return bounds.nested


def master_of(job: Prepared, pricing: Pricing = price) -> JointMaster:
    """The programme of layouts and patterns of a job with joints."""
    pool, wanted = job.pool, sorted({*job.needs.all, *job.fixed})
    cutting = Master(pool.stocks, wanted, pool.kerf, None, job.least, not job.large, pricing)
    return JointMaster(cutting, job.stacks, job.needs.all, job.fixed, pool.joint_cost)


def rounds_for(job: Prepared, master: JointMaster, effort: Effort) -> int:
    """Rounds of pricing within the work limit: fewer where each is large."""
    size = sum(group.graph.size for group in master.groups) + 60 * len(job.needs.all)
    return max(4, min(effort.rounds, effort.rounds * 20_000 // max(size, 1)))


def with_nested(
    job: Prepared, master: JointMaster, rounds: int, solved: Solved | None, apart: int,
    before: Bounds, flows: Mapping[int, Flow],
) -> tuple[Solved | None, Bounds]:  # fmt: skip
    """The solution for pieces cut apart, and both bounds, none lower than `before`.

    Where shared cuts save more than the programme adds to what is known without it, it will
    hardly show more of nested pieces; with many needs it is not worth its time.
    """
    apart = max(before.apart, apart if job.bounded else 0)
    if not job.needs.nests:
        return solved, Bounds(apart, apart)
    added, shared = apart - before.apart, before.apart - before.nested
    many = job.large or len(job.needs.all) > MANY_NEEDS
    if not job.bounded or (many and shared > added):
        return solved, Bounds(apart, before.nested)
    laid = master.layouts
    master.cutting.nest(job.needs.least, cut_to_least=not job.large)
    known = range(before.nested, apart)
    own = solved is None or solved is not master.taken_over
    first = None if own else solved
    nested = master.best_bound(rounds, known, lambda sure: _worths(flows, master, sure), first)
    master.cutting.part()
    if master.layouts > laid and own:
        solved = master.cutting.programme.solve()
    return solved, Bounds(apart, nested)


def with_flows(
    job: Prepared, master: JointMaster, effort: Effort, solved: Solved | None, bounds: Bounds
) -> tuple[Solved | None, dict[int, Flow], Bounds]:
    """The solution with the courses of plain stacks in order, and bounds that may be higher."""
    flows = {} if solved is None else _flows(job, master, effort, solved)
    if not flows:
        return solved, {}, bounds
    again, sure = master.cutting.priced(effort.rounds)
    if again is None or sure is None:
        return solved, {}, bounds
    apart = master.bound(again, sure, _worths(flows, master, sure)) if job.bounded else 0
    again, bounds = with_nested(job, master, effort.rounds, again, apart, bounds, flows)
    return again, flows, bounds


def narrowed(
    job: Prepared, master: JointMaster, rounds: int, solved: Solved | None, bounds: Bounds,
    flows: Mapping[int, Flow], enough: int,
) -> tuple[Solved | None, Bounds]:  # fmt: skip
    """The solution with the windows of few courses that it broke, and bounds that may be higher.

    As they are where the bound is near to what is `enough`, or no window is broken.
    """
    found, apart = solved, bounds.apart
    far = job.bounded and not job.large and enough * (1 - FAR) > bounds.apart
    for _ in range(TIMES_NARROWED if far else 0):
        new = [] if found is None else broken(job, master, found)
        if not new:
            break
        for window in new:
            master.narrow(window)
        found = master.priced(min(rounds, ROUNDS_BETWEEN))
    if found is solved:
        return solved, bounds
    found, known = master.settled(rounds, lambda sure: _worths(flows, master, sure))
    apart = max(apart, known)
    return with_nested(job, master, rounds, found, apart, bounds, flows)


def in_whole_sticks(
    job: Prepared, master: JointMaster, rounds: int, flows: Mapping[int, Flow], known: range
) -> int:
    """What all runs cost at least in whole numbers of sticks and joints, in a range.

    Its start where that is not known or would take long. The programme is not to be used after it.
    """
    many = job.needs.nests and len(job.needs.all) > MANY_NEEDS
    if many or job.large or not job.bounded or job.pool.lifted:
        return known.start
    if not all(flow.ways.complete for flow in flows.values()):
        for flow in flows.values():
            flow.withdraw(master)
        flows = {}
    if job.needs.nests:
        master.cutting.nest(job.needs.least)

    def worths(sure: Prices, joint: int) -> Mapping[int, int]:
        return _worths(flows, master, sure, joint)

    few = rounds * FEW_GROUPS // max(FEW_GROUPS, len(master.groups))
    return of_whole_sticks(master, few, flows, known, worths)


def _flows(job: Prepared, master: JointMaster, effort: Effort, solved: Solved) -> dict[int, Flow]:
    """A flow for every plain stack, by its number; they share the arcs that the effort allows."""
    plain = [number for number, stack in enumerate(job.stacks) if is_plain(stack)]
    found = {}
    for number in plain:
        stack = job.stacks[number]
        group = master.group_of[number, stack.jointed[0]]
        share = len(plain)
        flow = flow_of(master, stack, group, solved.duals, MOST_LAYOUTS, effort.arcs, share)
        if flow is not None:
            found[number] = flow
    return found


def _worths(
    flows: Mapping[int, Flow], master: JointMaster, sure: Prices, joint: int | None = None
) -> dict[int, int]:
    """What the courses of each flow are worth at least, by the row of their group, where known."""
    joint = master.joint_cost * SCALE if joint is None else joint
    known = {flow.group.row: flow.bound(master, sure, joint) for flow in flows.values()}
    return {row: worth for row, worth in known.items() if worth is not None}
