"""What runs must cost at least whatever their pieces are: by what they take of whole sticks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from service.cutting.records import Need, Stock
from service.cutting.sticks.bounds import jointed_bound, material_bound
from service.cutting.sticks.groups import Whole, grouped_bound
from service.joints.graph import Graph
from service.joints.job import Prepared, least_of, whole_run
from service.joints.records import Places
from service.joints.stack import Stack


def material(job: Prepared, *, nested: bool = True) -> int:
    """What the bare length of all runs must cost, and the joints that none can do without.

    Not `nested`, no two pieces share a slanted cut.
    """
    pool = job.pool
    whole = Counter({Whole(need): n for need, n in (job.nested if nested else job.whole).items()})
    joints = _Joints(pool.stocks) if pool.joint_cost else None
    for stack in job.stacks:
        for k in stack.jointed:
            run, rules = stack.runs[k], stack.rules
            least = least_of(run, rules) if nested else rules.least_sum(run)
            need = whole_run(run, rules)._replace(length=least)
            whole[Whole(need, 0 if joints is None else joints.least(stack, k))] += 1
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


class _Joints:
    """The fewest joints of runs by themselves; those that are alike are looked at once."""

    def __init__(self, stocks: Sequence[Stock]) -> None:
        self._stocks = stocks
        self._known: dict[int, int] = {}

    def least(self, stack: Stack, k: int) -> int:
        """By the listed stations of a run, if these are all.

        Where joints may be anywhere, by the longest stick.
        """
        if stack.rules.places is Places.FRAMING and not stack.rules.end_matched:
            graph = stack.graphs[k]
            assert graph is not None
            if id(graph) not in self._known:
                self._known[id(graph)] = _fewest(graph)
            return self._known[id(graph)]
        longest = max(stock.reach for stock in self._stocks)
        return -(-stack.rules.least_sum(stack.runs[k]) // longest) - 1


def _fewest(graph: Graph) -> int:
    """The fewest joints of all ways through a graph; none where there is no way."""
    ones = [1.0] * (1 + max(graph.need_of.values()))
    best = graph.best(ones, [0.0] * len(graph.places))
    return 0 if best is None else len(best[1])
