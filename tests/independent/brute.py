"""Small jobs by trying everything: every joint layout of a few courses, every way of cutting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations, pairwise, product

Joints = tuple[int, ...]


@dataclass(frozen=True)
class Limits:
    """Rules of a small job, in ticks; `members` are low and high edges of the bearings."""

    longest: int
    min_piece: int
    min_bearings: int
    stagger: int
    repeat: int
    members: tuple[tuple[int, int], ...]
    min_touch: int


@dataclass(frozen=True)
class Run:
    """One run: its ends, and where joints may be."""

    low: int
    high: int
    places: Joints


def pieces_of(run: Run, joints: Joints) -> tuple[int, ...]:
    """Lengths of the pieces between the joints."""
    ends = (run.low, *joints, run.high)
    return tuple(high - low for low, high in pairwise(ends))


def legal(run: Run, joints: Joints, limits: Limits) -> bool:
    """Whether every piece of a run fits a stick, and is long enough and borne if jointed."""
    ends = (run.low, *joints, run.high)
    for low, high in pairwise(ends):
        if high - low > limits.longest:
            return False
        if joints and (
            high - low < limits.min_piece or borne(low, high, limits) < limits.min_bearings
        ):
            return False
    return True


def borne(low: int, high: int, limits: Limits) -> int:
    """Members that a piece touches."""
    return sum(min(high, far) - max(low, near) >= limits.min_touch for near, far in limits.members)


def joint_sets(run: Run, limits: Limits) -> list[Joints]:
    """Every legal set of joints of one run, grown from its low end piece by piece.

    A run that fits a stick is one piece, without a joint (rule 6.1).
    """
    if run.high - run.low <= limits.longest:
        return [()]

    def grow(done: Joints) -> Iterator[Joints]:
        low = done[-1] if done else run.low
        for high in (*run.places, run.high):
            if high <= low or not stands(low, high, limits):
                continue
            if high == run.high:
                yield done
            else:
                yield from grow((*done, high))

    return sorted(grow(()), key=lambda joints: (len(joints), joints))


def stands(low: int, high: int, limits: Limits) -> bool:
    """Whether one piece of a jointed run fits a stick and is long enough and borne."""
    return (
        limits.min_piece <= high - low <= limits.longest
        and borne(low, high, limits) >= limits.min_bearings
    )


def apart(one: Joints, other: Joints, least: int) -> bool:
    """Whether all joints of two courses keep their distance."""
    return all(abs(a - b) >= least for a in one for b in other)


def layouts(runs: list[Run], limits: Limits) -> Iterator[tuple[Joints, ...]]:
    """Every legal layout of courses of one run each, course by course."""
    choices = [joint_sets(run, limits) for run in runs]

    def grow(done: tuple[Joints, ...]) -> Iterator[tuple[Joints, ...]]:
        if len(done) == len(runs):
            yield done
            return
        for joints in choices[len(done)]:
            if done and not apart(done[-1], joints, limits.stagger):
                continue
            if len(done) > 1 and not apart(done[-2], joints, limits.repeat):
                continue
            yield from grow((*done, joints))

    yield from grow(())


def any_layout(runs: list[Run], limits: Limits) -> bool:
    """Whether there is a legal layout at all: every pair that the last two courses can be.

    A legal layout stays legal when a course takes fewer of its joints, so only sets that hold
    no smaller legal set are tried.
    """
    choices = {run: smallest(joint_sets(run, limits)) for run in set(runs)}
    pairs: set[tuple[Joints, Joints]] = {((), ())}
    for run in runs:
        pairs = {
            (last, joints)
            for before, last in pairs
            for joints in choices[run]
            if apart(last, joints, limits.stagger) and apart(before, joints, limits.repeat)
        }
    return bool(pairs)


def smallest(sets: list[Joints]) -> list[Joints]:
    """The sets that hold none of the others; `sets` goes from few joints to many."""
    kept: list[Joints] = []
    for joints in sets:
        if not any(set(less) <= set(joints) for less in kept):
            kept.append(joints)
    return kept


@dataclass(frozen=True)
class Stick:
    """A length that can be bought: what of it is usable, and its cost."""

    usable: int
    cost: int


def cheapest_cutting(pieces: tuple[int, ...], stock: tuple[Stick, ...], kerf: int) -> int:
    """Least cost of cutting all pieces: the first goes with every subset that still fits."""

    @cache
    def least(rest: tuple[int, ...]) -> int:
        if not rest:
            return 0
        best = 10**18
        others = range(1, len(rest))
        for count in range(len(rest)):
            for with_it in set(combinations(others, count)):
                taken = rest[0] + sum(rest[i] + kerf for i in with_it)
                costs = [stick.cost for stick in stock if stick.usable >= taken]
                if costs:
                    left = tuple(rest[i] for i in others if i not in with_it)
                    best = min(best, min(costs) + least(left))
        return best

    return least(tuple(sorted(pieces, reverse=True)))


@dataclass(frozen=True)
class Rip:
    """A piece ripped to a width, and which long edges of its board it keeps."""

    length: int
    width: int
    low: bool
    high: bool
    trim: int = 0


def poolings(rips: tuple[Rip, ...], width: int, kerf: int) -> set[tuple[int, ...]]:
    """Lengths of the boards that rips come from, for every way of putting them together."""
    if not rips:
        return {()}
    first, others, found = rips[0], rips[1:], set[tuple[int, ...]]()
    for picks in product((False, True), repeat=len(others)):
        own = [first, *(rip for rip, taken in zip(others, picks, strict=True) if taken)]
        room = width - sum(rip.width + kerf for rip in own) + kerf
        if room < 0 or sum(rip.low for rip in own) > 1 or sum(rip.high for rip in own) > 1:
            continue
        rest = tuple(rip for rip, taken in zip(others, picks, strict=True) if not taken)
        longest = max(rip.length for rip in own)
        found |= {tuple(sorted((longest, *more))) for more in poolings(rest, width, kerf)}
    return found


def least_cost(
    runs: list[Run],
    limits: Limits,
    stock: tuple[Stick, ...],
    kerf: int,
    others: tuple[int, ...] = (),
) -> int | None:
    """Least cost over all legal layouts and all cuttings; None if there is no layout.

    `others` are pieces that are cut from the same stock.
    """
    wanted = {
        tuple(sorted((*others, *(piece for run, joints in zip(runs, layout, strict=True)
                                 for piece in pieces_of(run, joints))), reverse=True))
        for layout in layouts(runs, limits)
    }  # fmt: skip
    return min((cheapest_cutting(pieces, stock, kerf) for pieces in wanted), default=None)


def all_subsets(items: Joints) -> list[Joints]:
    """Every subset, as a check on `joint_sets`."""
    return [
        tuple(item for item, taken in zip(items, picks, strict=True) if taken)
        for picks in product((False, True), repeat=len(items))
    ]
