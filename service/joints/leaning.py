"""Joints chosen at prices of sticks in which ends that slant alike share their cuts (4.5, 8.5).

What the two ends of a run can save depends on what lies beside them in a stick: nothing where that
slants otherwise, or is square. A programme that knows it bounds the cost higher than half of a cut
put down to each end does, and its prices lead to layouts whose sticks do share cuts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.cutting.effort import Effort
from service.cutting.sticks.chains import price_with_shared_cuts
from service.cutting.sticks.solve import solve
from service.joints.bounds import Bounds, in_steps, master_of, narrowed, with_nested
from service.joints.construct import lay
from service.joints.job import Laid, Pool, Prepared, cuts_of
from service.joints.master import JointMaster
from service.joints.mitres import leaning
from service.joints.records import Blocked, Cut, Jointed
from service.joints.sharing import may_share, without_shared
from service.solver.programme import Solved

WEIGHTS = ((0.3, 0.3), (0.0, 0.01), (0.3, 0.02), (1.0, 0.0), (0.1, 0.0))
"""How dear it is to use a need beyond its share, and a joint as a share of a stick, try by try."""

MOST_WAYS = 700
"""Ways that all pieces may lie in a stick at most; where there are more, one stands for others."""

Cuts = tuple[tuple[Cut, ...], ...]


@dataclass(frozen=True, slots=True)
class Leaning:
    """What all runs cost at least whatever sticks share, and layouts that may come near it."""

    bound: int
    layouts: tuple[Jointed, ...]


def sharing_cuts(pool: Pool, effort: Effort, enough: int) -> Leaning | None:
    """The bound of cuts shared by ends that slant alike, and layouts at its prices.

    It is asked for `enough`, the cost of a plan at hand. None where the programme takes too long,
    or is no bound. Where rips may share boards there is a bound alone.
    """
    apart, joints = without_shared(pool)
    most = MOST_WAYS // (2 if pool.stocks[0].turned else 1)
    step, job = in_steps(replace(apart, runs=leaning(apart.runs)), most)
    if not job.bounded or job.large or len({*job.needs.all, *job.fixed}) > most:
        return None
    master = master_of(job, price_with_shared_cuts)
    found, bound = _settled(job, master, effort, (enough - joints) // step)
    whole = found is not None and _may_gain(job) and not may_share(pool)
    layouts = tuple(_layouts(pool, job, master, found, effort)) if whole else ()
    return Leaning(step * bound + joints, layouts)


def _may_gain(job: Prepared) -> bool:
    """Whether joints can be chosen for any ends that may share a cut."""
    lows = {need.low_cut > 0 for need in job.needs.all if need.low_cut}
    highs = {need.high_cut > 0 for need in job.needs.all if need.high_cut}
    return bool(lows | highs if job.pool.stocks[0].turned else lows & highs)


def _settled(
    job: Prepared, master: JointMaster, effort: Effort, enough: int
) -> tuple[Solved | None, int]:
    """The solution with the windows that it broke, and its bound."""
    rounds = effort.rounds
    solved, apart = master.run(rounds)
    solved, bounds = with_nested(job, master, rounds, solved, apart, Bounds(0, 0), {})
    solved, bounds = narrowed(job, master, rounds, solved, bounds, {}, enough)
    return solved, bounds.nested


def _layouts(
    pool: Pool, job: Prepared, master: JointMaster, solved: Solved | None, effort: Effort
) -> list[Jointed]:
    """Layouts at these prices, with pieces of the pool's own, each cut apart."""
    found = []
    for weights in WEIGHTS:
        laid = lay(job, master, solved, effort, weights, {})
        made = None if isinstance(laid, Blocked) else _cut_apart(pool, job, laid, effort)
        found += [] if made is None else [made]
    return found


def _cut_apart(pool: Pool, job: Prepared, laid: Laid, effort: Effort) -> Jointed | None:
    cuts = _own(pool, cuts_of(job, laid))
    wanted = Counter(pool.fixed)
    wanted.update(cut.need for own in cuts for cut in own)
    plan = solve(pool.stocks, wanted, pool.kerf, replace(effort, nodes=0))
    if plan is None:
        return None
    joints = pool.joint_cost * sum(max(0, len(own) - 1) for own in cuts)
    return Jointed(cuts, replace(plan, cost=plan.cost + joints, bound=0))


def _own(pool: Pool, cuts: Sequence[tuple[Cut, ...]]) -> Cuts:
    """The pieces between the same joints as the pool's own rules cut them."""
    return tuple(
        tuple(pool.rules[run.stack].cut(run, cut.low, cut.high) for cut in own)
        for run, own in zip(pool.runs, cuts, strict=True)
    )
