"""A verifier of cut plans and course layouts in whole numbers; imports nothing of the service."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True)
class Bar:
    """One length that can be bought: usable length, cost, and how many there are."""

    usable: int
    cost: int
    supply: int | None = None


def plan_faults(
    bars: Sequence[Bar],
    kerf: int,
    wanted: Mapping[int, int],
    sticks: Sequence[tuple[int, Sequence[int]]],
    cost: int,
) -> list[str]:
    """What is wrong with a plan: `sticks` are (number of the bar, lengths cut from it)."""
    found = []
    for number, (bar, lengths) in enumerate(sticks):
        taken = sum(lengths) + kerf * (len(lengths) - 1)
        if lengths and taken > bars[bar].usable:
            found.append(f"stick {number} holds {taken} of {bars[bar].usable}")
    cut = Counter(length for _, lengths in sticks for length in lengths)
    if cut != Counter({length: count for length, count in wanted.items() if count}):
        found.append(f"cut and wanted differ: {cut - Counter(wanted)}, {Counter(wanted) - cut}")
    used = Counter(bar for bar, _ in sticks)
    for number, bar in enumerate(bars):
        if bar.supply is not None and used[number] > bar.supply:
            found.append(f"{used[number]} of bar {number} used, {bar.supply} there")
    if sum(bars[bar].cost for bar, _ in sticks) != cost:
        found.append(f"the sticks cost {sum(bars[bar].cost for bar, _ in sticks)}, not {cost}")
    return found


@dataclass(frozen=True)
class CourseRules:
    """Rules of equal courses: supports as stations or None where joints may be anywhere."""

    length: int
    supports: frozenset[int] | None
    min_piece: int
    stagger: int
    repeat: int


@dataclass(frozen=True)
class LaidRun:
    """One run as it was laid: its course, its two ends, and its joints from low to high."""

    course: int
    low: int
    high: int
    joints: tuple[int, ...]


def run_faults(rules: CourseRules, runs: Sequence[LaidRun]) -> list[str]:
    """What is wrong with the joints of runs of any lengths; those that overlap keep apart.

    The length of the rules plays no part.
    """
    found = []
    by_course: dict[int, list[LaidRun]] = defaultdict(list)
    for run in runs:
        by_course[run.course].append(run)
        ends = (run.low, *run.joints, run.high)
        if run.joints and min(b - a for a, b in pairwise(ends)) < rules.min_piece:
            found.append(f"{run} has a piece that is too short")
        if rules.supports is not None and not rules.supports.issuperset(run.joints):
            found.append(f"{run} has a joint off the supports")
    for run in runs:
        for back, least in ((1, rules.stagger), (2, rules.repeat)):
            for other in by_course[run.course - back]:
                if other.low < run.high and other.high > run.low and near(run, other, least):
                    found.append(f"{run} is too near {other}")
    return found


def near(one: LaidRun, other: LaidRun, least: int) -> bool:
    """Whether any two joints of two runs are nearer than `least`."""
    return any(abs(a - b) < least for a in one.joints for b in other.joints)


def layout_faults(rules: CourseRules, courses: Sequence[Sequence[int]]) -> list[str]:
    """What is wrong with the joint stations of each of some equal courses."""
    return run_faults(rules, equal_runs(rules.length, courses))


def equal_runs(length: int, courses: Sequence[Sequence[int]]) -> list[LaidRun]:
    """Runs of equal courses, one for the joints of each."""
    return [LaidRun(k, 0, length, tuple(joints)) for k, joints in enumerate(courses)]


def pieces_of(length: int, courses: Sequence[Sequence[int]]) -> Counter[int]:
    """Lengths of all pieces that the joints of equal courses make."""
    return pieces_of_runs(equal_runs(length, courses))


def pieces_of_runs(runs: Sequence[LaidRun]) -> Counter[int]:
    """Lengths of all pieces that the joints of runs make."""
    return Counter(b - a for run in runs for a, b in pairwise((run.low, *run.joints, run.high)))


@dataclass(frozen=True)
class Wanted:
    """A piece of a tiny job: its length, and whether it takes the low or high end of a bar."""

    length: int
    low: bool = False
    high: bool = False


def holds(bar: Bar, pieces: Sequence[Wanted], kerf: int) -> bool:
    """Whether one bar gives these pieces: kerfs between them, each end taken once."""
    taken = sum(piece.length for piece in pieces) + kerf * (len(pieces) - 1)
    whole = [piece for piece in pieces if piece.low and piece.high]
    if whole:
        return len(pieces) == 1 and taken == bar.usable
    ends = sum(p.low for p in pieces) <= 1 and sum(p.high for p in pieces) <= 1
    return ends and taken <= bar.usable


def least_by_trying(bars: Sequence[Bar], kerf: int, pieces: Sequence[Wanted]) -> int | None:
    """Least cost of all plans of a tiny job: the first piece goes with every subset of the rest."""
    best: list[int] = []

    def grow(rest: list[Wanted], left: list[int], cost: int) -> None:
        if best and cost >= best[0]:
            return
        if not rest:
            best[:] = [cost]
            return
        first, others = rest[0], rest[1:]
        for chosen in range(1 << len(others)):
            taken = [first, *(o for k, o in enumerate(others) if chosen >> k & 1)]
            after = [o for k, o in enumerate(others) if not chosen >> k & 1]
            for number, bar in enumerate(bars):
                if left[number] and holds(bar, taken, kerf):
                    spent = [n - (k == number) for k, n in enumerate(left)]
                    grow(after, spent, cost + bar.cost)

    plenty = len(pieces)
    grow(list(pieces), [plenty if b.supply is None else b.supply for b in bars], 0)
    return best[0] if best else None


def fewest_blank_length(rips: Sequence[tuple[int, int, bool, bool]], width: int, kerf: int) -> int:
    """Least length of blanks for rips (length, width, low edge, high edge), by trying all sets."""
    if not rips:
        return 0
    first, others = rips[0], list(rips[1:])
    best = 10**18
    for chosen in range(1 << len(others)):
        taken = [first, *(o for k, o in enumerate(others) if chosen >> k & 1)]
        if holds(Bar(width, 0), [Wanted(w, low, high) for _, w, low, high in taken], kerf) or (
            len(taken) == 1 and first[1] <= width
        ):
            after = [o for k, o in enumerate(others) if not chosen >> k & 1]
            length = max(one[0] for one in taken)
            best = min(best, length + fewest_blank_length(after, width, kerf))
    return best
