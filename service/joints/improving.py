"""The best layout so far, and better ones: cut anew, laid again, or some courses moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from service.cutting.effort import Effort
from service.cutting.records import Plan
from service.joints.bounds import NEAR
from service.joints.construct import lay
from service.joints.flow import Flow
from service.joints.job import Laid, Prepared, cut, joints_over
from service.joints.local_search import LESS, LocalSearch
from service.joints.master import JointMaster
from service.joints.records import Blocked
from service.solver.programme import Solved

STRETCHES, MOST_IDLE = 5, 2
"""Parts in which a layout is changed, and after how many that made it no cheaper it is left."""

WORTH_ALL = 200
"""The cost over what is to be gained, at which all changes are worth their time."""


class Steered(NamedTuple):
    """What a layout follows besides the prices of its needs: weights, and flows by stack."""

    weights: tuple[float, float]
    flows: Mapping[int, Flow]


@dataclass(frozen=True, slots=True)
class Best:
    """The cheapest layout so far with its plan."""

    plan: Plan
    laid: Laid
    over: int

    @property
    def rank(self) -> tuple[int, int, int]:
        """Joints beyond the most of their runs, then cost, then joints (6.7)."""
        return self.over, self.plan.cost, sum(len(joints) for joints in self.laid.values())


def laid_again(
    best: Best,
    job: Prepared,
    master: JointMaster,
    effort: Effort,
    solved: Solved | None,
    bound: int,
    steered: Steered,
) -> Best:
    """The best so far, or a better layout that is steered so."""
    laid = lay(job, master, solved, effort, steered.weights, steered.flows)
    if isinstance(laid, Blocked):
        return best
    found = better(best, job, master, replace(effort, nodes=0), laid) or best
    return improved(found, job, master, effort, solved, bound)


def laid_otherwise(
    best: Best, job: Prepared, master: JointMaster, effort: Effort, solved: Solved | None,
    bound: int, tries: Sequence[tuple[float, float]],
) -> Best:  # fmt: skip
    """The best so far, or better ones of other weights, as long as it is `NEAR` over its bound.

    Where little is known of what is possible, or runs differ in many ways, it takes too long.
    """
    found, known = best, list[Laid]()
    for weights in dict.fromkeys(tries) if job.bounded and not job.large else ():
        if found.plan.cost * (1 - NEAR) <= bound:
            break
        laid = lay(job, master, solved, effort, weights, {})
        if not isinstance(laid, Blocked) and laid not in known:
            known.append(laid)
            found = better(found, job, master, replace(effort, nodes=0), laid) or found
    return best if found is best else improved(found, job, master, effort, solved, bound)


def meets(best: Best | None, effort: Effort, bound: int) -> bool:
    """Whether a layout was found that is good enough against pieces cut apart."""
    return best is not None and not best.over and best.plan.cost <= effort.enough(bound)


def improved(
    best: Best,
    job: Prepared,
    master: JointMaster,
    effort: Effort,
    solved: Solved | None,
    bound: int,
) -> Best:
    """The best so far, or a better one of joints moved, and of its pieces cut anew."""
    enough = effort.enough(bound)
    if effort.changes and solved is not None and not meets(best, effort, bound):
        laid = _moved(best, job, master, effort, solved, bound)
        if laid != best.laid:
            found = better(best, job, master, effort.last, laid, enough) or best
            if found is not best:
                return found
    if effort.last_nodes and not meets(best, effort, bound) and _may_gain(best.plan, effort):
        best = better(best, job, master, effort.last, best.laid, enough) or best
    return best


def _may_gain(plan: Plan, effort: Effort) -> bool:
    """Whether pieces can be cut for so much less that it is worth trying."""
    return plan.cost - plan.bound >= effort.least_gain(plan.cost)


def better_usual(
    best: Best | None, job: Prepared, master: JointMaster, effort: Effort, usual: tuple[Laid, Plan]
) -> Best | None:
    """The best so far, or the usual layout with its own sticks or better ones.

    Where a plan may stay a little over its bound, better ones are only looked for if the usual is
    the best so far.
    """
    laid, plan = usual
    new = Best(plan, laid, joints_over(job, laid))
    if best is None or new.rank < best.rank:
        best = new
    elif effort.stop_gap:
        return best
    return better(best, job, master, replace(effort, nodes=0), laid)


def better(
    best: Best | None, job: Prepared, master: JointMaster, effort: Effort, laid: Laid,
    enough: int | None = None,
) -> Best | None:  # fmt: skip
    """The better of the best so far and a layout cut with an effort, until that is `enough`."""
    over = joints_over(job, laid)
    beaten = best is not None and best.over <= over
    plan = cut(job, master, effort, laid, best.plan.cost if best and beaten else None, enough)
    if plan is None:
        return best
    new = Best(plan, laid, over)
    return new if best is None or new.rank < best.rank else best


def _moved(
    best: Best, job: Prepared, master: JointMaster, effort: Effort, solved: Solved, bound: int
) -> Laid:
    """The best layout changed a few courses at a time, as long as that makes it cheaper.

    It ends when it is good enough. Where less than `WORTH_ALL` is to be gained, there are fewer
    changes in proportion.
    """
    gain = (best.plan.cost - bound) * WORTH_ALL
    steps = min(effort.changes, effort.changes * gain // max(1, best.plan.cost))
    search = LocalSearch(job, master, solved.duals, best.laid, best.plan)
    idle = 0
    for _ in range(STRETCHES):
        before = search.cost
        search.run(-(-steps // STRETCHES), effort.enough(bound))
        idle = 0 if search.cost < before - LESS else idle + 1
        if idle == MOST_IDLE:
            break
    return search.laid
