"""Boards shared by rips: joints, sticks and the boards that several rips come from (3.13).

First joints and sticks are chosen with a board for each rip. Then rips are pooled, as they lie and
with the joints of one run laid in another of the same length, so that their pieces match; the
cheapest is kept.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement, pairwise

from service.cutting.effort import Effort
from service.cutting.records import Need
from service.cutting.sticks.bounds import material_bound
from service.cutting.sticks.rips import Blank, Rip, RipWidth, least_length, rip_plan
from service.joints.bounds import least_in_cells, least_of_all
from service.joints.job import Pool, least_of, least_pieces
from service.joints.records import Blocked, Cut, Jointed, JointRun, Together
from service.joints.solve import joints_beyond, place_joints
from service.solver.remembered import remembered

Piece = tuple[int, int]
"""Number of a run, and of a piece in it."""


@remembered
def place_and_share(pool: Pool, effort: Effort) -> Jointed | Blocked | None:
    """What `place_joints` gives, with rips of one board together wherever that costs less.

    The bound holds for every way of sharing.
    """
    alone = place_joints(pool, effort)
    if not isinstance(alone, Jointed) or effort.any_legal:
        return alone
    lifted = pool.lifted or joints_beyond(pool, alone) > 0
    if not may_share(pool):
        least = least_in_cells(replace(pool, lifted=lifted), effort, alone.plan.cost)
        return _bound_by(alone, alone.as_you_go, max(alone.plan.bound, least))
    found = [alone, _pooled(pool, alone.cuts, effort, apart_too=False)]
    twins = _twins(pool, alone.cuts)
    less = replace(effort, tries=min(effort.tries, 2), changes=0, last_nodes=0)
    if twins:
        matched = _matched(pool, alone.cuts, twins, less)
        if matched is not None:
            found.append(_pooled(pool, matched, effort, apart_too=True))
    best = min((one for one in found if one is not None), key=lambda one: one.plan.cost)
    bound = _bound(replace(pool, lifted=lifted), less, best.plan.cost)
    return _bound_by(best, alone.as_you_go, max(bound, _bound_side_by_side(pool)))


def _bound_by(made: Jointed, usual: Jointed | None, bound: int) -> Jointed:
    """What was made, and the usual, with what any plan costs at least."""
    bound = min(bound, made.plan.cost)
    if usual is not None:
        usual = replace(usual, plan=replace(usual.plan, bound=min(bound, usual.plan.cost)))
    return replace(made, plan=replace(made.plan, bound=bound), as_you_go=usual)


@remembered
def least_shared(pool: Pool, effort: Effort, enough: int) -> int:
    """What all runs cost at least, however they are jointed, cut and share boards.

    No more is looked for than `enough`.
    """
    less = replace(effort, tries=min(effort.tries, 2), changes=0, last_nodes=0)
    if not may_share(pool):
        return least_of_all(pool, less, enough)
    return max(_bound(pool, less, enough), _bound_side_by_side(pool))


def may_share(pool: Pool) -> bool:
    """Whether any two rips of a pool could come from one board."""
    strips = sorted({run.strip for run in pool.runs if run.strip is not None})
    return pool.board is not None and any(
        pool.board.holds(pair) for pair in combinations_with_replacement(strips, 2)
    )


def _pooled(
    pool: Pool, cuts: Sequence[Sequence[Cut]], effort: Effort, *, apart_too: bool
) -> Jointed | None:
    """Joints as they lie, cut anew with rips pooled, or `apart` where that is not known yet.

    None if stock runs short.
    """
    assert pool.board is not None
    needs = Counter(pool.fixed)
    waiting: dict[Rip, list[Piece]] = defaultdict(list)
    for number, (run, own) in enumerate(zip(pool.runs, cuts, strict=True)):
        for k, piece in enumerate(own):
            if run.strip is None:
                needs[piece.need] += 1
            else:
                waiting[Rip(piece.need, *run.strip)].append((number, k))
    rips = {rip: len(pieces) for rip, pieces in waiting.items()}
    last = replace(effort, nodes=effort.last_nodes)
    made = rip_plan(pool.stocks, needs, rips, pool.board, last, apart_too=apart_too)
    if made is None:
        return None
    joints = pool.joint_cost * sum(max(0, len(own) - 1) for own in cuts)
    plan = replace(made.plan, cost=made.plan.cost + joints, bound=0)
    return Jointed(tuple(map(tuple, cuts)), plan, _together(made.blanks, waiting))


def _together(blanks: Sequence[Blank], waiting: dict[Rip, list[Piece]]) -> tuple[Together, ...]:
    """The pieces of each board that more than one comes from, the longest first."""
    named = [tuple(waiting[rip].pop(0) for rip in blank.rips) for blank in blanks]
    return tuple(pieces for pieces in named if len(pieces) > 1)


@dataclass(frozen=True, slots=True)
class _Twin:
    """Run `second` with the joints of run `first`; `cuts` are the pieces that they make."""

    first: int
    second: int
    cuts: tuple[Cut, ...]


def _twins(pool: Pool, cuts: Sequence[tuple[Cut, ...]]) -> list[_Twin]:
    """Pairs of jointed runs that could share boards if their joints were alike, each run once."""
    found: list[_Twin] = []
    taken: set[int] = set()
    runs = [k for k, run in enumerate(pool.runs) if run.strip is not None and len(cuts[k]) > 1]
    for first in runs:
        for second in runs:
            if first < second and not {first, second} & taken:
                made = _as_in(pool, cuts[first], first, second)
                if made is not None:
                    taken |= {first, second}
                    found.append(_Twin(first, second, made))
    return found


def _as_in(pool: Pool, laid: tuple[Cut, ...], first: int, second: int) -> tuple[Cut, ...] | None:
    """The pieces of run `second` with the joints of run `first`; None if a rule forbids them."""
    assert pool.board is not None
    one, other = pool.runs[first], pool.runs[second]
    strips = [strip for strip in (one.strip, other.strip) if strip is not None]
    if one.high - one.low != other.high - other.low or not pool.board.holds(strips):
        return None
    shift = other.low - one.low
    joints = [piece.low + shift for piece in laid[1:]]
    if not set(joints) <= {*other.stations, *other.few} or _too_near(pool, one, other, joints):
        return None
    rules = pool.rules[other.stack]
    made = []
    for low, high in pairwise((other.low, *joints, other.high)):
        if len(other.line.touched(low, high, rules.min_touch)) < rules.min_bearings:
            return None
        made.append(rules.cut(other, low, high))
    return tuple(made)


def _too_near(pool: Pool, one: JointRun, other: JointRun, joints: Sequence[int]) -> bool:
    """Whether equal joints in two runs of a stack would break stagger or repeat."""
    rules, apart = pool.rules[one.stack], abs(one.course - other.course)
    touching = one.stack == other.stack and one.low < other.high and other.low < one.high
    least = {0: 0, 1: rules.stagger, 2: rules.repeat}.get(apart, 0)
    return touching and bool(joints) and least > 0


def _matched(
    pool: Pool, laid: Sequence[tuple[Cut, ...]], twins: Sequence[_Twin], effort: Effort
) -> list[tuple[Cut, ...]] | None:
    """All runs with the twins fixed as they are and the others laid anew; None if they cannot."""
    fixed = {twin.first: laid[twin.first] for twin in twins}
    fixed |= {twin.second: twin.cuts for twin in twins}
    runs = tuple(
        replace(run, installed=tuple(piece.low for piece in fixed[k][1:])) if k in fixed else run
        for k, run in enumerate(pool.runs)
    )
    pieces = [
        max(a.need, b.need) for twin in twins
        for a, b in zip(laid[twin.first], twin.cuts, strict=True)
    ]  # fmt: skip
    made = place_joints(replace(pool, runs=runs, fixed=(*pool.fixed, *pieces)), effort)
    if not isinstance(made, Jointed):
        return None
    return [fixed.get(k, own) for k, own in enumerate(made.cuts)]


def _bound(pool: Pool, effort: Effort, enough: int) -> int:
    """What is left to pay if every rip that could share came free, as far as it shows.

    No more is looked for than `enough`.
    """
    apart, joints = without_shared(pool)
    if all(run.installed is not None for run in apart.runs) and not pool.fixed:
        return joints
    return least_of_all(apart, effort, enough - joints) + joints


def without_shared(pool: Pool) -> tuple[Pool, int]:
    """A pool without the rips that could share, and what the joints of those cost at least.

    Rips are left out until no two of those that stay could come from one board: then each of
    these has a board of its own, in which the others may lie.
    """
    kept: list[RipWidth] = []
    free: set[int] = set()
    for k in sorted(range(len(pool.runs)), key=lambda k: pool.runs[k].low - pool.runs[k].high):
        strip = pool.runs[k].strip
        if strip is None or pool.board is None:
            continue
        if any(pool.board.holds((strip, other)) for other in (strip, *kept)):
            free.add(k)
        else:
            kept.append(strip)
    runs = tuple(
        replace(run, installed=()) if k in free else run for k, run in enumerate(pool.runs)
    )
    return replace(pool, runs=runs), _least_joints(pool, free)


def _least_joints(pool: Pool, runs: set[int]) -> int:
    """What the joints of some runs cost at least."""
    if not pool.joint_cost:
        return 0
    least = [least_pieces(pool.runs[k], pool.rules[pool.runs[k].stack], pool.stocks) for k in runs]
    return pool.joint_cost * sum(count - 1 for count in least if count is not None)


def _bound_side_by_side(pool: Pool) -> int:
    """What the bare length of all runs must cost, rips as close as they lie side by side."""
    assert pool.board is not None
    lengths: Counter[Need] = Counter(pool.fixed)
    strips: Counter[RipWidth] = Counter()
    for run in pool.runs:
        if run.installed is not None:
            continue
        least = least_of(run, pool.rules[run.stack])
        if run.strip is None:
            lengths[Need(least)] += 1
        else:
            strips[run.strip] += least
    lengths[Need(least_length(strips, pool.board))] += 1
    return material_bound(pool.stocks, lengths, 0, ends_known=False)
