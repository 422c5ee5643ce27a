"""Equal courses in order: a trail through what may follow what.

A state is two courses that may touch; an arc leads from two courses to the second of them and one
more. Along a trail every course keeps stagger and repeat to those before it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from service.joints.graph import Graph
from service.joints.stack import Stack, spread

Joints = tuple[int, ...]
State = tuple[int, int]
Arc = tuple[int, int, int]

STRAY = 0.05
"""What leaving the flow costs a walk, as a share of a stick."""


@dataclass(frozen=True, slots=True)
class Ways:
    """Layouts by number, the states that they can be in, and the arcs between states.

    `complete`: there is no other layout.
    """

    layouts: tuple[Joints, ...]
    states: dict[State, int]
    arcs: tuple[Arc, ...]
    complete: bool


def is_plain(stack: Stack) -> bool:
    """Whether a stack is three or more equal runs, one to a course, and nothing installed."""
    jointed = stack.jointed
    if stack.installed or len(jointed) < 3 or len({id(stack.graphs[k]) for k in jointed}) > 1:
        return False
    courses = [stack.runs[k].course for k in jointed]
    return courses == list(range(courses[0], courses[0] + len(courses)))


def ways_of(
    stack: Stack, graph: Graph, layouts: Sequence[Joints], most: int, *, complete: bool
) -> Ways | None:
    """What may follow what, for as many of the first `layouts` as have at most `most` arcs."""
    masks = [graph.mask(joints) for joints in layouts]
    near = [spread(mask, stack.near) for mask in masks]
    same = [spread(mask, stack.same) for mask in masks]
    count = len(layouts)
    while count:
        arcs = _arcs(masks[:count], near, same, most)
        if arcs:
            states = sorted({arc[:2] for arc in arcs} | {arc[1:] for arc in arcs})
            numbered = {state: k for k, state in enumerate(states)}
            whole = complete and count == len(layouts)
            return Ways(tuple(layouts[:count]), numbered, tuple(arcs), whole)
        count = count * 3 // 4
    return None


def _arcs(
    masks: Sequence[int], near: Sequence[int], same: Sequence[int], most: int
) -> list[Arc] | None:
    """Layouts of three courses one after the other that keep stagger and repeat; None if too many.

    What may follow is held as bits by number of layout, so they are counted before they are listed.
    """
    numbers = range(len(masks))
    after = [_apart(near[a], masks) for a in numbers]
    later = [_apart(same[a], masks) for a in numbers]
    pairs = [(a, b) for a in numbers for b in numbers if after[a] >> b & 1]
    if sum((after[b] & later[a]).bit_count() for a, b in pairs) > most:
        return None
    return [(a, b, c) for a, b in pairs for c in numbers if after[b] & later[a] & 1 << c]


def _apart(shut: int, masks: Sequence[int]) -> int:
    """The layouts, as bits by number, that have no joint where it is shut."""
    return sum(1 << k for k, mask in enumerate(masks) if not shut & mask)


def cheapest(ways: Ways, prices: Sequence[int], runs: int) -> int | None:
    """The least sum of layout prices over a trail of `runs` courses; None if there is none.

    With all layouts there, no legal order of the courses is worth less.
    """
    never = np.iinfo(np.int64).max // 4
    # Less is still a bound, and nothing overflows.
    prices = [min(price, never // 4) for price in prices]
    cost: npt.NDArray[np.int64] = np.array(
        [prices[a] + prices[b] for a, b in ways.states], dtype=np.int64
    )
    here = np.array([ways.states[a, b] for a, b, _ in ways.arcs])
    there = np.array([ways.states[b, c] for _, b, c in ways.arcs])
    step = np.array([prices[c] for _, _, c in ways.arcs], dtype=np.int64)
    for _ in range(runs - 2):
        after = np.full(len(cost), never, dtype=np.int64)
        np.minimum.at(after, there, np.minimum(cost[here] + step, never))
        cost = after
    least = int(cost.min())
    return None if least >= never else least


@dataclass(frozen=True, slots=True)
class _Walk:
    score: float
    left: tuple[int, ...]
    before: _Walk | None
    layout: int


def walk(
    ways: Ways, wanted: Sequence[int], flow: Mapping[Arc, float], dear: Sequence[float],
    stick: float, width: int,
) -> list[int] | None:  # fmt: skip
    """Layout numbers of a trail that lays each layout as often as `wanted`, or nearly so.

    Of layouts that may follow, one that is wanted often goes first, so that none is left over;
    one that is no longer wanted costs a stick and what it is `dear` by; leaving the arcs of the
    flow costs a little.
    """
    runs, eager = sum(wanted), stick / max(1, sum(wanted)) ** 2
    out: dict[State, list[tuple[int, float]]] = defaultdict(list)
    for arc in ways.arcs:
        out[arc[:2]].append((arc[2], 0.0 if flow.get(arc, 0.0) > 1e-6 else STRAY * stick))
    walks: dict[State, _Walk] = {}
    for a, b in ways.states:
        first = _grown(None, a, 0.0, tuple(wanted), eager, dear, stick)
        walks[a, b] = _grown(first, b, 0.0, first.left, eager, dear, stick)
    for _ in range(runs - 2):
        grown: dict[State, _Walk] = {}
        best = sorted(walks.items(), key=lambda one: (one[1].score, one[0]))[:width]
        for (a, b), so_far in best:
            for c, stray in out[a, b]:
                new = _grown(so_far, c, stray, so_far.left, eager, dear, stick)
                if (b, c) not in grown or new.score < grown[b, c].score:
                    grown[b, c] = new
        walks = grown
    if not walks:
        return None
    return _back(min(walks.items(), key=lambda one: (one[1].score, one[0]))[1])


def _grown(
    before: _Walk | None, layout: int, stray: float, left: tuple[int, ...], eager: float,
    dear: Sequence[float], stick: float,
) -> _Walk:  # fmt: skip
    wanted = left[layout]
    cost = eager * (1 - 2 * wanted) if wanted > 0 else stick + dear[layout]
    score = (0.0 if before is None else before.score) + cost + stray
    return _Walk(score, (*left[:layout], wanted - 1, *left[layout + 1 :]), before, layout)


def _back(last: _Walk) -> list[int]:
    found: list[int] = []
    at: _Walk | None = last
    while at is not None:
        found.append(at.layout)
        at = at.before
    return found[::-1]
