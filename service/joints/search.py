"""Course by course: a beam of partial layouts, and an exact search where few layouts exist."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import islice, product

from service.joints.graph import Graph
from service.joints.listing import Listing, priced
from service.joints.stack import Stack

MOST_OPTIONS = 4
"""Layouts of a run that a beam tries after each state."""

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
    layouts: Mapping[int, Listing]
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
    order, known = stack.jointed, _Known(guide)
    for k in order:
        graph = stack.graphs[k]
        assert graph is not None
        grown: list[tuple[float, int, _State, tuple[int, ...], int]] = []
        always = stack.always_shut(k)
        for state in states:
            shut = always | stack.shut_by(k, state.masks)
            for cost, joints, mask in known.options(graph, shut, state.used):
                grown.append((state.score + cost, len(grown), state, joints, mask))
        if not grown:
            return Found(None, k)
        states = _kept(stack, k, graph, grown, width, counted=bool(guide.pull))
    return Found(_joints(states[0], order))


_Option = tuple[float, tuple[int, ...], int]
"""What a layout costs, its joints and their mask."""


@dataclass(frozen=True, slots=True)
class _Ranked:
    """Prices as they are for one run, and its listed layouts at them, cheapest first."""

    prices: Sequence[float]
    options: list[_Option]
    of: Mapping[tuple[int, ...], _Option]


class _Known:
    """Options by what they depend on: courses often stand like those before them."""

    def __init__(self, guide: Guide) -> None:
        self.guide = guide
        self._ranked: dict[tuple[int, bytes], _Ranked] = {}
        self._targets: dict[int, list[tuple[int, float]]] = {}
        self._options: dict[tuple[int, int, bytes], list[_Option]] = {}

    def options(self, graph: Graph, shut: int, used: Mapping[int, int]) -> list[_Option]:
        """Legal layouts of a run where stations are shut, cheapest first, at most `MOST_OPTIONS`.

        `used` is how often each need is used already.
        """
        beyond = self._beyond(graph, used)
        key = (id(graph), shut, beyond)
        if key not in self._options:
            self._options[key] = self._new(graph, shut, beyond)
        return self._options[key]

    def _beyond(self, graph: Graph, used: Mapping[int, int]) -> bytes:
        """For each need of a run whether it is used as often as it is wanted; empty if all one."""
        if not self.guide.pull:
            return b""
        return bytes(used[need] >= target for need, target in self._wanted(graph))

    def _wanted(self, graph: Graph) -> list[tuple[int, float]]:
        """The needs of a run, and how often each is wanted in all."""
        if id(graph) not in self._targets:
            target = self.guide.target
            needs = sorted(graph.every_need)
            self._targets[id(graph)] = [(need, target.get(need, 0.0)) for need in needs]
        return self._targets[id(graph)]

    def _new(self, graph: Graph, shut: int, beyond: bytes) -> list[_Option]:
        ranked = self._listed(graph, beyond)
        best = graph.best(ranked.prices, self.guide.nodes[id(graph)], shut)
        if best is None:
            return []
        cost, joints = best
        first = ranked.of.get(joints) or (cost, joints, graph.mask(joints))
        others = (one for one in ranked.options if not one[2] & shut and one[1] != joints)
        return sorted([first, *islice(others, MOST_OPTIONS)])[:MOST_OPTIONS]

    def _listed(self, graph: Graph, beyond: bytes) -> _Ranked:
        key = (id(graph), beyond)
        if key not in self._ranked:
            self._ranked[key] = self._rank(graph, self._prices(graph, beyond))
        return self._ranked[key]

    def _prices(self, graph: Graph, beyond: bytes) -> Sequence[float]:
        """Prices of needs, dearer where a need is used as often as it is wanted."""
        prices = self.guide.prices
        if any(beyond):
            prices = list(prices)
            for (need, _), own in zip(self._wanted(graph), beyond, strict=True):
                prices[need] *= 1 + self.guide.pull if own else 1
        return prices

    def _rank(self, graph: Graph, prices: Sequence[float]) -> _Ranked:
        listing = self.guide.layouts[id(graph)]
        costs = listing.costs(priced(prices), priced(self.guide.nodes[id(graph)]))
        options = sorted(zip(costs, listing.joints, listing.masks, strict=True))
        return _Ranked(prices, options, {one[1]: one for one in options})


def _kept(
    stack: Stack,
    k: int,
    graph: Graph,
    grown: list[tuple[float, int, _State, tuple[int, ...], int]],
    width: int,
    *,
    counted: bool,
) -> list[_State]:
    """The best of the grown states, no two with the same recent joints.

    Where needs are `counted`, each knows how many of each it has used.
    """
    course = stack.runs[k].course
    kept: dict[tuple[int, ...], _State] = {}
    for score, _, state, joints, mask in sorted(grown, key=lambda one: (one[0], one[1])):
        masks = {r: m for r, m in state.masks.items() if stack.runs[r].course >= course - 2}
        masks[k] = mask
        key = tuple(masks.values())
        if key in kept:
            continue
        used = state.used
        if counted:
            used = used.copy()
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


def exact_search(stack: Stack) -> Found | None:
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
    return _searched(stack, ways)


def _searched(stack: Stack, ways: Mapping[int, list[tuple[int, ...]]]) -> Found | None:
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
