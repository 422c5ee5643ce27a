"""Course by course: a beam of partial layouts, and an exact walk where few layouts exist."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from service.joints.graph import Graph
from service.joints.stack import Stack

MOST_WAYS = 400
MOST_STATES = 40_000


@dataclass(frozen=True, slots=True)
class Guide:
    """What steers the search over one stack.

    `prices` by need; `nodes[id(graph)]` costs of joints; `layouts[id(graph)]` layouts worth
    trying; `target` how often each need is wanted; `pull` how dear it is to go beyond.
    """

    prices: Sequence[float]
    nodes: Mapping[int, Sequence[float]]
    layouts: Mapping[int, Sequence[tuple[int, ...]]]
    target: Mapping[int, float]
    pull: float


@dataclass(frozen=True, slots=True)
class _State:
    score: float
    masks: dict[int, int]
    used: Counter[int]
    trail: tuple[tuple[int, ...], ...] | None
    before: _State | None
    joints: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """Joints (node numbers) of each jointed run, or the run at which the search stopped."""

    joints: dict[int, tuple[int, ...]] | None
    stopped: int = -1


def beam(stack: Stack, guide: Guide, width: int) -> Found:
    """Lay the jointed runs in order, keeping the best `width` partial layouts."""
    states = [_State(0.0, {}, Counter(), None, None, ())]
    order = stack.jointed
    for k in order:
        graph = stack.graphs[k]
        assert graph is not None
        grown: list[tuple[float, int, _State, tuple[int, ...], int]] = []
        for state in states:
            for cost, joints in _options(stack, k, graph, guide, state):
                grown.append((state.score + cost, len(grown), state, joints, graph.mask(joints)))
        if not grown:
            return Found(None, k)
        states = _kept(stack, k, graph, grown, width)
    return Found(_joints(states[0], order))


def _options(
    stack: Stack, k: int, graph: Graph, guide: Guide, state: _State
) -> list[tuple[float, tuple[int, ...]]]:
    """Legal layouts of run k after a state, cheapest first, at most four."""
    shut = stack.shut(k, state.masks)
    nodes = guide.nodes[id(graph)]
    prices = [
        price if state.used[need] < guide.target.get(need, 0.0) else price * (1 + guide.pull)
        for need, price in enumerate(guide.prices)
    ]
    found: dict[tuple[int, ...], float] = {}
    best = graph.best(prices, nodes, shut)
    if best is None:
        return []
    found[best[1]] = best[0]
    for joints in guide.layouts[id(graph)]:
        if not graph.mask(joints) & shut:
            found[joints] = _cost(graph, joints, prices, nodes)
    return sorted((cost, joints) for joints, cost in found.items())[:4]


def _cost(
    graph: Graph, joints: tuple[int, ...], prices: Sequence[float], nodes: Sequence[float]
) -> float:
    return sum(prices[need] for need in graph.needs(joints)) + sum(nodes[j] for j in joints)


def _kept(
    stack: Stack,
    k: int,
    graph: Graph,
    grown: list[tuple[float, int, _State, tuple[int, ...], int]],
    width: int,
) -> list[_State]:
    """The best of the grown states, no two with the same recent joints."""
    course = stack.runs[k].course
    kept: dict[tuple[int, ...], _State] = {}
    for score, _, state, joints, mask in sorted(grown, key=lambda one: (one[0], one[1])):
        masks = {r: m for r, m in state.masks.items() if stack.runs[r].course >= course - 2}
        masks[k] = mask
        key = tuple(masks.values())
        if key in kept:
            continue
        used = state.used.copy()
        used.update(graph.needs(joints))
        kept[key] = _State(score, masks, used, None, state, joints)
        if len(kept) >= width:
            break
    return list(kept.values())


def _joints(state: _State, order: Sequence[int]) -> dict[int, tuple[int, ...]]:
    found: dict[int, tuple[int, ...]] = {}
    at: _State | None = state
    for k in reversed(order):
        assert at is not None
        found[k] = at.joints
        at = at.before
    return found


def walk(stack: Stack) -> Found | None:
    """An exact search for any legal layout; None if there are too many to be sure.

    Follows every set of joints that the last two courses can have. A `Found` without joints is
    a proof that no layout exists.
    """
    ways: dict[int, list[tuple[int, ...]]] = {}
    for k in stack.jointed:
        graph = stack.graphs[k]
        assert graph is not None
        listed = graph.ways(MOST_WAYS)
        if listed is None:
            return None
        ways[k] = listed
    return _walk(stack, ways)


def _walk(stack: Stack, ways: Mapping[int, list[tuple[int, ...]]]) -> Found | None:
    by_course: dict[int, list[int]] = {}
    for k in ways:
        by_course.setdefault(stack.runs[k].course, []).append(k)
    states: dict[tuple[tuple[int, int], ...], tuple[dict[int, tuple[int, ...]], dict[int, int]]]
    states = {(): ({}, {})}
    for course, runs in by_course.items():
        grown: dict[
            tuple[tuple[int, int], ...], tuple[dict[int, tuple[int, ...]], dict[int, int]]
        ] = {}
        for trail, masks in states.values():
            for joints, new in _course(stack, runs, ways, masks):
                recent = {
                    r: m for r, m in masks.items() if stack.runs[r].course >= course - 1
                } | new
                grown.setdefault(tuple(sorted(recent.items())), (trail | joints, recent))
            if len(grown) > MOST_STATES:
                return None
        if not grown:
            return Found(None, runs[0])
        states = grown
    return Found(next(iter(states.values()))[0])


def _course(
    stack: Stack,
    runs: Sequence[int],
    ways: Mapping[int, list[tuple[int, ...]]],
    masks: dict[int, int],
) -> list[tuple[dict[int, tuple[int, ...]], dict[int, int]]]:
    """Every legal choice for the runs of one course."""
    legal = []
    for k in runs:
        graph = stack.graphs[k]
        assert graph is not None
        shut = stack.shut(k, masks)
        legal.append([(k, way, graph.mask(way)) for way in ways[k] if not graph.mask(way) & shut])
    return [
        ({k: way for k, way, _ in chosen}, {k: mask for k, _, mask in chosen})
        for chosen in product(*legal)
    ]
