"""Jointed runs cost no less than the groups that they can fall into: by trying every joint."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import product

from hypothesis import example, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock
from service.cutting.sticks.bounds import jointed_bound
from service.cutting.sticks.groups import Whole, grouped_bound
from service.cutting.sticks.solve import solve
from tests.strategies.budget import examples

STOCKS = st.lists(
    st.tuples(st.integers(3, 9), st.integers(1, 30), st.sampled_from([None, None, None, 4])),
    min_size=1, max_size=3, unique_by=lambda row: row[0],
).filter(lambda rows: any(supply is None for _, _, supply in rows))  # fmt: skip

Rows = list[tuple[int, int, int | None]]


def parted(length: int, most: int) -> Iterator[tuple[int, ...]]:
    """A run in up to four pieces, the longest first."""

    def grown(left: int, longest: int, pieces: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if not left:
            yield pieces
        elif len(pieces) < 4:
            for piece in range(min(left, longest), 0, -1):
                yield from grown(left - piece, piece, (*pieces, piece))

    yield from grown(length, most, ())


def least_sticks(rows: Rows, kerf: int) -> Callable[[tuple[int, ...]], float]:
    """The least cost of sticks for some pieces, every way of sharing them out; supply ignored."""

    @cache
    def least(pieces: tuple[int, ...]) -> float:
        if not pieces:
            return 0
        first, others = pieces[0], pieces[1:]
        found = float("inf")
        for mask in range(1 << len(others)):
            own = [first, *(one for k, one in enumerate(others) if mask >> k & 1)]
            taken = sum(own) + kerf * (len(own) - 1)
            cost = min((cost for room, cost, _ in rows if room >= taken), default=float("inf"))
            if cost < found:
                left = tuple(one for k, one in enumerate(others) if not mask >> k & 1)
                found = min(found, cost + least(left))
        return found

    return least


def least_of(rows: Rows, runs: Sequence[int], joint_cost: int, kerf: int) -> float:
    """Sticks and joints over every way of jointing the runs."""
    least = least_sticks(rows, kerf)
    longest = max(room for room, _, _ in rows)
    found = float("inf")
    for own in product(*(list(parted(run, longest)) for run in runs)):
        pieces = tuple(sorted((piece for run in own for piece in run), reverse=True))
        if len(pieces) <= 7:
            joints = sum(len(run) - 1 for run in own)
            found = min(found, least(pieces) + joint_cost * joints)
    return found


@examples(40)
@given(
    rows=STOCKS, runs=st.lists(st.integers(1, 12), min_size=1, max_size=3),
    joint_cost=st.integers(1, 12), kerf=st.integers(0, 1),
)  # fmt: skip
@example(rows=[(6, 10, None)], runs=[9, 9], joint_cost=1, kerf=0)
@example(rows=[(6, 10, None), (4, 6, None)], runs=[10, 10, 10], joint_cost=3, kerf=0)
def test_no_joints_and_sticks_cost_less(
    rows: Rows, runs: list[int], joint_cost: int, kerf: int
) -> None:
    """Irregular runs and equal ones; with the fewest joints that the longest stick leaves."""
    stocks = [Stock(str(k), n, n, cost, supply) for k, (n, cost, supply) in enumerate(rows)]
    longest = max(room for room, _, _ in rows)
    whole = Counter(Whole(Need(run), -(-run // longest) - 1) for run in runs)
    least = least_of(rows, runs, joint_cost, kerf)
    bound = grouped_bound(stocks, whole, joint_cost, kerf, ends_known=True)
    assert bound <= least
    doubled = Counter({one: 2 * count for one, count in whole.items()})
    assert grouped_bound(stocks, doubled, joint_cost, kerf, ends_known=True) <= 2 * least
    wider = [(7 * n, cost, supply) for n, cost, supply in rows]
    longer = Counter({Whole(Need(7 * one.need.length), one.joints): n for one, n in whole.items()})
    metric = [Stock(str(k), n, n, cost, supply) for k, (n, cost, supply) in enumerate(wider)]
    assert abs(grouped_bound(metric, longer, joint_cost, 7 * kerf, ends_known=True) - bound) <= 1


@examples(60)
@given(
    rows=STOCKS, spare=st.tuples(st.integers(0, 1), st.integers(0, 1)), kerf=st.integers(0, 1),
    runs=st.lists(st.lists(st.integers(1, 7), min_size=1, max_size=3), min_size=1, max_size=4),
    joint_cost=st.integers(1, 12),
)  # fmt: skip
@example(rows=[(3, 1, None)], spare=(1, 0), kerf=1, runs=[[1]], joint_cost=1)
def test_raw_ends_that_spare_length_leave_it_a_bound(
    rows: Rows, spare: tuple[int, int], kerf: int, runs: list[list[int]], joint_cost: int
) -> None:
    """Ends of runs lie at raw ends that take less; any plan of any joints costs the bound or more.

    It is never under what bare length costs with as many joints.
    """
    stocks = [
        Stock(str(k), n + sum(spare), n, cost, supply, spare=spare)
        for k, (n, cost, supply) in enumerate(rows)
    ]
    needs: Counter[Need] = Counter()
    for pieces in runs:
        last = len(pieces) - 1
        for k, piece in enumerate(pieces):
            needs[Need(piece, low_spared=k == 0, high_spared=k == last)] += 1
    whole = Counter(Whole(Need(sum(pieces), low_spared=True, high_spared=True)) for pieces in runs)
    bound = grouped_bound(stocks, whole, joint_cost, kerf, ends_known=True)
    plan = solve(stocks, needs, kerf, EFFORTS["quick"])
    joints = sum(len(pieces) - 1 for pieces in runs)
    assert plan is None or bound <= plan.cost + joint_cost * joints
    if not kerf and all(supply is None for _, _, supply in rows):
        lengths = Counter({one.need: count for one, count in whole.items()})
        assert bound >= jointed_bound(stocks, lengths, joint_cost, 0, ends_known=True) - 1


def test_equal_runs_by_hand() -> None:
    """Courses of 400 in of 8, 12 and 16 ft sticks at 1.75 a foot, and 5.00 a joint.

    Alone one takes 36 ft, 63.00, and two joints, 73.00. Three together are 100 ft, seven sticks at
    175.00, and six joints: 205.00, which is 68.33 each.
    """
    stocks = [Stock(str(k), 12 * k, 12 * k, 175 * k) for k in (8, 12, 16)]
    for count, least in ((1, 7300), (3, 20500), (9, 61500)):
        whole = Counter({Whole(Need(400), 2): count})
        assert grouped_bound(stocks, whole, 500, 0, ends_known=True) == least
    assert grouped_bound(stocks, Counter({Whole(Need(400), 2): 201}), 500, 0, ends_known=True) > 0


def test_free_sticks_and_many_kinds_show_nothing() -> None:
    free = [Stock("0", 10, 10, 0), Stock("1", 20, 20, 6)]
    assert grouped_bound(free, Counter({Whole(Need(30), 2): 2}), 4, 0, ends_known=True) <= 16
    many = Counter(Whole(Need(100 + k), 5) for k in range(300))
    assert grouped_bound(free, many, 4, 0, ends_known=True) == 0
