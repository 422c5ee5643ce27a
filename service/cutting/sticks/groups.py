"""What jointed runs cost at least where joints may be anywhere: by the groups that share sticks.

Take runs and sticks as points and the pieces as lines between them. A group of runs and sticks
that hangs together has a line fewer than points at least, so that it has a joint fewer than sticks
at least: a run alone is made of whole sticks, and of two runs that share a stick one joint more
pays for what is left of it. What every small group costs is known; all runs are parted into groups
at the least cost by a linear programme, whose prices bound it in integers (weak duality).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache, reduce
from itertools import combinations_with_replacement
from math import comb, gcd
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from service.cutting.records import Need, Stock
from service.cutting.sticks.bounds import Room, shares_of
from service.solver.programme import Programme
from service.units.ticks import ceiling

MOST_GROUPS = 1500
"""Groups that are listed; larger ones count as if each run had its share of one joint less."""

MOST_RUNS = 40
"""Runs of a group that is listed at most."""

FINEST = 2000
"""Steps of the longest stick in which rooms are measured at most, rounded up to be sure."""

MOST_KINDS = 200
"""With more runs that differ nothing is looked for: what a group saves would be lost in them."""

SCALE = 1 << 10
"""Parts of a unit of cost in which groups are counted."""

NEVER = 1 << 60
"""The cost of a group for which there are not sticks enough."""

Amounts = NDArray[np.int64]


class Whole(NamedTuple):
    """A run, or a piece by itself: what it takes of sticks, and the joints that it has at least."""

    need: Need
    joints: int = 0


@dataclass(frozen=True, slots=True)
class _Job:
    """Rooms of sticks, lengths of runs with a kerf each, their least joints, how many of each."""

    rooms: Sequence[Room]
    lengths: Amounts
    joints: Amounts
    counts: Sequence[int]
    joint_cost: int
    kerf: int


def grouped_bound(
    stocks: Sequence[Stock], runs: Mapping[Whole, int], joint_cost: int, kerf: int,
    *, ends_known: bool,
) -> int:  # fmt: skip
    """What runs cost at least, cut from whole sticks and jointed at `joint_cost` a joint.

    What raw ends spare counts as in `material_bound`. Nothing where there are too many kinds.
    """
    if len(runs) > MOST_KINDS:
        return 0
    return _grouped(tuple(stocks), tuple(sorted(runs.items())), joint_cost, kerf, ends_known)


@lru_cache(maxsize=16)
def _grouped(
    stocks: Sequence[Stock], runs: tuple[tuple[Whole, int], ...], joint_cost: int, kerf: int,
    ends_known: bool,
) -> int:  # fmt: skip
    """The same, kept for a while: a search asks again for what it asked at its start."""
    jobs = _jobs(stocks, dict(runs), joint_cost, kerf, ends_known=ends_known)
    return ceiling(max(_bound(job) for job in jobs))


def lapped_bound(stocks: Sequence[Stock], strips: Mapping[int, int], lap: int) -> int:
    """What strips cost at least that may go on from one roll to the next, `lap` lost each time.

    A group of strips and rolls that hangs together has a lap less than rolls at least, so that
    each roll is worth its length less a lap, and a lap comes back. Nothing where there are too many
    different lengths, or rolls no longer than a lap.
    """
    rooms = [(stock.usable - lap, stock) for stock in stocks]
    if len(strips) > MOST_KINDS or min(room for room, _ in rooms) <= 0:
        return 0
    lengths = sorted(strips)
    counts = [strips[length] for length in lengths]
    none = np.zeros(len(lengths), dtype=np.int64)
    return ceiling(_bound(_Job(rooms, _amounts(lengths), none, counts, 0, lap)))


def _jobs(
    stocks: Sequence[Stock], runs: Mapping[Whole, int], joint_cost: int, kerf: int,
    *, ends_known: bool,
) -> Iterator[_Job]:  # fmt: skip
    wholes = sorted(runs)
    joints = _amounts([run.joints for run in wholes])
    counts = [runs[run] for run in wholes]
    lengths = _amounts([run.need.length + kerf for run in wholes])
    yield _Job([(s.reach, s) for s in stocks], lengths, joints, counts, joint_cost, kerf)
    low, high = (max(stock.spare[end] for stock in stocks) for end in (0, 1))
    if ends_known and (low or high):
        spared = [low * run.need.low_spared + high * run.need.high_spared for run in wholes]
        lengths = np.maximum(0, lengths - _amounts(spared))
        yield _Job([(s.usable, s) for s in stocks], lengths, joints, counts, joint_cost, kerf)


def _bound(job: _Job) -> Fraction:
    """The least cost of all runs in groups."""
    if not job.counts:
        return Fraction(0)
    size = _largest(len(job.counts), sum(job.counts))
    groups = _listed(len(job.counts), size)
    shares = sorted(shares_of(job.rooms, job.joint_cost)) if job.joint_cost else [Fraction(0)]
    costs = np.max([_costs(job, groups, share) for share in shares], axis=0)
    if size < sum(job.counts):
        groups = np.concatenate([groups, np.eye(len(job.counts), dtype=np.int64)])
        costs = np.concatenate([costs, _most_of_large(job, size, shares)])
    return Fraction(_parted(job.counts, groups, costs), SCALE)


def _largest(kinds: int, runs: int) -> int:
    """How many runs a group has at most that is listed."""
    size = 1
    while size < min(runs, MOST_RUNS) and comb(size + 1 + kinds, kinds) <= MOST_GROUPS:
        size += 1
    return size


def _listed(kinds: int, size: int) -> Amounts:
    """How many of each kind of run there are in every group of up to so many."""
    chosen = [
        own
        for many in range(1, size + 1)
        for own in combinations_with_replacement(range(kinds), many)
    ]
    groups = np.zeros((len(chosen), kinds), dtype=np.int64)
    for row, own in enumerate(chosen):
        np.add.at(groups[row], list(own), 1)
    return groups


def _costs(job: _Job, groups: Amounts, share: Fraction) -> Amounts:
    """What groups cost at least where that share of a joint's cost is put on the sticks.

    The rest is put on the joints that each run must have.
    """
    each = share * job.joint_cost
    # Every group has a stick, whatever its ends spare.
    lengths = np.maximum(1, groups @ job.lengths - job.kerf)
    unit = _unit(job.rooms)
    units = -(-lengths // unit)
    sticks = _least(job.rooms, each, unit, int(units.max()))[units]
    joints = (groups @ job.joints) * int((job.joint_cost - each) * SCALE)
    return np.where(sticks < NEVER, sticks + joints - ceiling(each * SCALE), NEVER)


def _unit(rooms: Sequence[Room]) -> int:
    longest = max(room for room, _ in rooms)
    return max(reduce(gcd, (room for room, _ in rooms)), -(-longest // FINEST))


def _least(rooms: Sequence[Room], each: Fraction, unit: int, most: int) -> Amounts:
    """The least cost of sticks with so much room or more, by units of room."""
    priced = [(-(-room // unit), int((stock.cost + each) * SCALE), stock.supply)
              for room, stock in rooms if room > 0]  # fmt: skip
    least: Amounts = np.full(most + 1, NEVER, dtype=np.int64)
    least[0] = 0
    for own, cost, supply in priced:
        if supply is not None:
            least = _with_some(least, own, cost, supply)
    return _with_any(least, [(own, cost) for own, cost, supply in priced if supply is None])


def _with_some(least: Amounts, own: int, cost: int, supply: int) -> Amounts:
    """The same where there are so many more sticks of one kind: one, two, four ... at a time."""
    left, copies = supply, 1
    while left > 0:
        taken = min(copies, left)
        far = min(len(least), taken * own)
        with_them = np.concatenate([np.repeat(least[:1], far), least[: len(least) - far]])
        least = np.minimum(least, np.minimum(with_them + taken * cost, NEVER))
        left, copies = left - taken, copies * 2
    return least


def _with_any(least: Amounts, sticks: Sequence[tuple[int, int]]) -> Amounts:
    """The same where there are any number more, by room and cost: each step rests on those before.

    As many units at once as the shortest of them has room for.
    """
    if not sticks:
        return least
    owns, costs = _amounts([own for own, _ in sticks]), _amounts([cost for _, cost in sticks])
    step = int(owns.min())
    for begin in range(1, len(least), step):
        units = np.arange(begin, min(begin + step, len(least)))
        before = np.maximum(units[None, :] - owns[:, None], 0)
        with_them = (least[before] + costs[:, None]).min(axis=0)
        least[units] = np.minimum(least[units], with_them)
    return least


def _most_of_large(job: _Job, size: int, shares: Sequence[Fraction]) -> Amounts:
    """What each run costs at least in a group of more than `size`: the best of any share.

    The one stick over the joints, and the kerf that the last piece lacks, are shared by all.
    """
    found = [_of_large(job, size, share) for share in shares]
    counts = _amounts(job.counts)
    return max(found, key=lambda own: int(own @ counts))


def _of_large(job: _Job, size: int, share: Fraction) -> Amounts:
    each = share * job.joint_cost
    rate = min((stock.cost + each) / room for room, stock in job.rooms)
    lost = (each + rate * job.kerf) / (size + 1)
    return _amounts(
        [
            int((rate * length + (job.joint_cost - each) * joints - lost) * SCALE) - 1
            for length, joints in zip(job.lengths.tolist(), job.joints.tolist(), strict=True)
        ]
    )


def _parted(counts: Sequence[int], groups: Amounts, costs: Amounts) -> Fraction:
    """The least sum of costs of groups that hold all runs, as far as prices show it."""
    programme = Programme()
    rows = [programme.add_row(count) for count in counts]
    for own, cost in zip(groups.tolist(), costs.tolist(), strict=True):
        if cost < NEVER:
            entries = {row: float(n) for row, n in zip(rows, own, strict=True) if n}
            programme.add_column(max(0, cost) / SCALE, entries)
    solved = programme.solve()
    if solved is None or int(costs.min()) <= 0:
        return Fraction(0)
    prices = _amounts([max(0, int(solved.duals[row] * SCALE)) for row in rows])
    worths = groups @ prices
    over = [
        Fraction(worth, cost)
        for worth, cost in zip(worths.tolist(), costs.tolist(), strict=True)
        if worth > cost
    ]
    return int(prices @ _amounts(counts)) / max(over, default=Fraction(1))


def _amounts(amounts: Sequence[int]) -> Amounts:
    return np.array(amounts, dtype=np.int64)
