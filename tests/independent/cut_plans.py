"""A verifier of cut plans and course layouts in whole numbers; imports nothing of the service."""

from __future__ import annotations

from collections import Counter
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


def layout_faults(rules: CourseRules, courses: Sequence[Sequence[int]]) -> list[str]:
    """What is wrong with the joint stations of each course."""
    found = []
    for number, joints in enumerate(courses):
        ends = (0, *joints, rules.length)
        if joints and min(b - a for a, b in pairwise(ends)) < rules.min_piece:
            found.append(f"course {number} has a piece that is too short")
        if rules.supports is not None and not rules.supports.issuperset(joints):
            found.append(f"course {number} has a joint off the supports")
        for back, least in ((1, rules.stagger), (2, rules.repeat)):
            before = courses[number - back] if number >= back else ()
            if any(abs(a - b) < least for a in joints for b in before):
                found.append(f"course {number} is too near the course {back} before it")
    return found


def pieces_of(length: int, courses: Sequence[Sequence[int]]) -> Counter[int]:
    """Lengths of all pieces that the joints of equal courses make."""
    return Counter(b - a for joints in courses for a, b in pairwise((0, *joints, length)))


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
