"""What runs must cost at least whatever their pieces are: by what they take of whole sticks."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

from service.cutting.records import Need, Stock
from service.cutting.sticks.bounds import jointed_bound, material_bound
from service.cutting.sticks.groups import Whole, grouped_bound
from service.joints.graph import NEVER, Graph, fewest_pieces
from service.joints.job import Pool, Prepared, least_of
from service.joints.records import Places
from service.joints.stack import Stack, blocks
from service.joints.uncut import is_single, whole_run


def material(job: Prepared, *, nested: bool = True) -> int:
    """What the bare length of all runs must cost, and the joints that none can do without.

    Not `nested`, no two pieces share a slanted cut.
    """
    pool = job.pool
    whole = Counter({Whole(need): n for need, n in (job.nested if nested else job.whole).items()})
    joints = _Joints(pool.stocks) if pool.joint_cost else None
    for stack in job.stacks:
        more = with_one_more(stack, pool.stocks) if joints is not None else frozenset[int]()
        for k in stack.jointed:
            run, rules = stack.runs[k], stack.rules
            least = least_of(run, rules) if nested else rules.least_sum(run)
            need = whole_run(run, rules)._replace(length=least)
            fewest = 0 if joints is None else joints.least(stack, k) + (k in more)
            whole[Whole(need, fewest)] += 1
    return _of_whole(job, whole)


def without_joints(pool: Pool) -> int:
    """The same where joints cost nothing: it is seen without the ways to lay any run."""
    lengths: Counter[Need] = Counter(pool.fixed)
    for run in pool.runs:
        if run.installed is None:
            rules = pool.rules[run.stack]
            need = whole_run(run, rules)
            alone = is_single(run, rules, pool.stocks)
            least = run.least(need.length) if alone else least_of(run, rules)
            lengths[need._replace(length=least)] += 1
    return material_bound(pool.stocks, lengths, 0, ends_known=_ends_known(pool))


def _ends_known(pool: Pool) -> bool:
    """Whether it is known of every end that a raw end of a stick spares, wherever joints are."""
    return not any(rules.spares_joints for rules in pool.rules)


def _of_whole(job: Prepared, whole: Mapping[Whole, int]) -> int:
    """What all runs cost at least by the length that they take and their least joints."""
    pool, lengths = job.pool, Counter[Need]()
    for run, count in whole.items():
        lengths[run.need] += count
    known = _ends_known(pool)
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


def with_one_more(stack: Stack, stocks: Sequence[Stock]) -> frozenset[int]:
    """As many runs as must have a joint more than the longest sticks leave them, where any may be.

    Where these leave so little over a run that with the fewest joints each has hardly any room, the
    first joints of equal courses are nearer to each other than the stagger, or the repeat: of two
    that touch only one has so few, or of three (6.5). Which of them is all one.
    """
    if stack.rules.places is Places.FRAMING or stack.rules.end_matched or not stack.rules.stagger:
        return frozenset()
    alike: dict[int, list[int]] = defaultdict(list)
    for k in stack.jointed:
        alike[id(stack.graphs[k])].append(k)
    more: list[int] = []
    for own in alike.values():
        apart = _apart(stack, own[0], max(stock.reach for stock in stocks))
        rows = blocks(sorted({stack.runs[k].course for k in own}))
        more += own[: sum(row - -(-row // apart) for row in rows)]
    return frozenset(more)


def _apart(stack: Stack, k: int, longest: int) -> int:
    """Of how many courses like one only one can have as few joints as the longest sticks leave."""
    run, rules = stack.runs[k], stack.rules
    pieces = -(-rules.least_sum(run) // longest)
    # Each end of a piece may be rounded by a step.
    shorter = run.shorter_by(low_end=True, high_end=True) + 2 * rules.cut_to
    room = pieces * longest - (run.high - run.low) + shorter
    if pieces == 1 or room >= rules.stagger:
        return 1
    return 3 if room < rules.repeat else 2


def _fewest(graph: Graph) -> int:
    """The fewest joints of all ways through a graph; none where there is no way."""
    pieces = fewest_pieces(graph.arcs)[0]
    return 0 if pieces >= NEVER else pieces - 1
