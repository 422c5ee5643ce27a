"""What runs must cost at least whatever their pieces are: by what they take of whole sticks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from service.cutting.records import Need, Stock
from service.cutting.sticks.bounds import jointed_bound, material_bound
from service.cutting.sticks.groups import Whole, grouped_bound
from service.joints.job import Prepared, least_of, whole_run
from service.joints.records import Places
from service.joints.stack import Stack


def material(job: Prepared, *, nested: bool = True) -> int:
    """What the bare length of all runs must cost, and the joints that none can do without.

    Not `nested`, no two pieces share a slanted cut.
    """
    pool = job.pool
    whole = Counter({Whole(need): n for need, n in (job.nested if nested else job.whole).items()})
    for stack in job.stacks:
        for k in stack.jointed:
            run, rules = stack.runs[k], stack.rules
            least = least_of(run, rules) if nested else rules.least_sum(run)
            need = whole_run(run, rules)._replace(length=least)
            whole[Whole(need, _least_joints(stack, k, pool.stocks))] += 1
    return _of_whole(job, whole)


def _of_whole(job: Prepared, whole: Mapping[Whole, int]) -> int:
    """What all runs cost at least by the length that they take and their least joints."""
    pool, lengths = job.pool, Counter[Need]()
    for run, count in whole.items():
        lengths[run.need] += count
    known = not any(rules.spares_joints for rules in pool.rules)
    if not pool.joint_cost:
        return material_bound(pool.stocks, lengths, 0, ends_known=known)
    joints = sum(run.joints * count for run, count in whole.items())
    by_length = jointed_bound(pool.stocks, lengths, pool.joint_cost, joints, ends_known=known)
    if job.bounded or not joints:
        return by_length
    in_groups = grouped_bound(pool.stocks, whole, pool.joint_cost, pool.kerf, ends_known=known)
    return max(by_length, in_groups)


def _least_joints(stack: Stack, k: int, stocks: Sequence[Stock]) -> int:
    """The fewest joints of a run by itself: by its listed stations, if these are all.

    Where joints may be anywhere, by the longest stick.
    """
    graph = stack.graphs[k]
    assert graph is not None
    if stack.rules.places is Places.FRAMING and not stack.rules.end_matched:
        ones = [1.0] * (1 + max(graph.need_of.values()))
        best = graph.best(ones, [0.0] * len(graph.places))
        return 0 if best is None else len(best[1])
    longest = max(stock.reach for stock in stocks)
    return -(-stack.rules.least_sum(stack.runs[k]) // longest) - 1
