"""All ways to joint one run, as a graph from its low end to its high end."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from service.joints.records import Cut, JointRules, JointRun
from service.units.once import once

NEVER = 1 << 30
"""More pieces than any run has."""


Arcs = tuple[tuple[int, int], ...]
"""Where the pieces from one node end, with the number of the need of each, ascending."""


@dataclass(frozen=True)
class Graph:
    """Nodes are the low end, the allowed stations and the high end, ascending.

    `arcs[i]` lists (j, need number), ascending: the pieces that may start at node i; graphs that
    are alike there share the list. `bits[i]` is the station's place in the stack's masks (0 for the
    two ends). No way has more than `most` joints; with that, `fewest` are the pieces from each node
    to the high end at least.
    """

    places: tuple[int, ...]
    arcs: tuple[Arcs, ...]
    bits: tuple[int, ...]
    most: int | None = None
    fewest: Sequence[int] = ()

    @once
    def size(self) -> int:
        """Number of arcs: the work of one pass."""
        return sum(len(out) for out in self.arcs)

    def best(
        self, prices: Sequence[float], nodes: Sequence[float], forbidden: int = 0
    ) -> tuple[float, tuple[int, ...]] | None:
        """The cheapest way through, joints as node numbers; None if there is none."""
        found = self._cheapest(prices, nodes, forbidden)
        if found is None or self.most is None or len(found[1]) <= self.most:
            return found
        return self._within_most(prices, nodes, forbidden)

    def _cheapest(
        self, prices: Sequence[float], nodes: Sequence[float], forbidden: int
    ) -> tuple[float, tuple[int, ...]] | None:
        """The same with any number of joints."""
        worst = float("inf")
        last = len(self.places) - 1
        cost = [worst] * (last + 1)
        before = [0] * (last + 1)
        cost[0] = 0
        for node, out in enumerate(self.arcs):
            here = cost[node]
            if here == worst or self.bits[node] & forbidden:
                continue
            here += nodes[node]
            for to, need in out:
                total = here + prices[need]
                if total < cost[to]:
                    cost[to] = total
                    before[to] = node
        return None if cost[last] == worst else (cost[last], self.trail(before))

    def _within_most(
        self, prices: Sequence[float], nodes: Sequence[float], forbidden: int
    ) -> tuple[float, tuple[int, ...]] | None:
        """The cheapest way of at most `most` joints, grown piece by piece."""
        assert self.most is not None
        worst, last = float("inf"), len(self.places) - 1
        cost, least, best = [0, *[worst] * last], worst, 0
        before: list[list[int]] = []
        for pieces in range(1, self.most + 2):
            cost, came = self._longer(cost, prices, nodes, forbidden, self.most + 1 - pieces)
            before.append(came)
            if cost[last] < least:
                least, best = cost[last], pieces
        return None if least == worst else (least, self._back(before[:best]))

    def _longer(
        self, cost: Sequence[float], prices: Sequence[float], nodes: Sequence[float],
        forbidden: int, left: int,
    ) -> tuple[list[float], list[int]]:  # fmt: skip
        """The cheapest ways that are one piece longer, and whence they come.

        Only places count from which so many pieces as are `left` can lead to the end.
        """
        worst, fewest = float("inf"), self.fewest
        longer, came = [worst] * len(cost), [0] * len(cost)
        for node, out in enumerate(self.arcs):
            here = cost[node]
            if here == worst or self.bits[node] & forbidden:
                continue
            here += nodes[node]
            for to, need in out:
                total = here + prices[need]
                if total < longer[to] and fewest[to] <= left:
                    longer[to] = total
                    came[to] = node
        return longer, came

    def _back(self, before: Sequence[Sequence[int]]) -> tuple[int, ...]:
        """The joints of a way, from where each of its pieces came."""
        node, trail = len(self.places) - 1, list[int]()
        for came in reversed(before):
            node = came[node]
            trail.append(node)
        return tuple(reversed(trail[:-1]))

    def trail(self, before: Sequence[int]) -> tuple[int, ...]:
        """The joints of the way to the high end, from where a way to each node comes."""
        node, trail = before[len(self.places) - 1], []
        while node:
            trail.append(node)
            node = before[node]
        return tuple(reversed(trail))

    def with_most(self, most: int | None) -> Graph:
        """With so many joints at most, or as few as it can have."""
        if most is None:
            return self
        fewest = fewest_pieces(self.arcs)
        if fewest[0] >= NEVER:
            return self
        return replace(self, most=max(most, fewest[0] - 1), fewest=tuple(fewest))

    def renumbered(self, numbers: Sequence[int], known: dict[int, Arcs]) -> Graph:
        """With the needs that others stand for, by number.

        `known` are the lists of arcs that were renumbered so, by the identity of each.
        """
        for out in self.arcs:
            if id(out) not in known:
                known[id(out)] = tuple((to, numbers[need]) for to, need in out)
        return replace(self, arcs=tuple(known[id(out)] for out in self.arcs))

    def mask(self, joints: Sequence[int]) -> int:
        """The stations of `joints` (node numbers) as a mask."""
        made = 0
        for node in joints:
            made |= self.bits[node]
        return made

    def needs(self, joints: Sequence[int]) -> list[int]:
        """Need numbers of the pieces that `joints` make, low end first."""
        nodes = (0, *joints, len(self.places) - 1)
        return [self.need(a, b) for a, b in pairwise(nodes)]

    def need(self, node: int, to: int) -> int:
        """Number of the need of the piece between two nodes; there is one."""
        out = self.arcs[node]
        return out[bisect_left(out, (to,))][1]

    @once
    def every_need(self) -> frozenset[int]:
        """Numbers of the needs of all pieces."""
        return frozenset(need for out in self.arcs for _, need in out)

    def cuts(self, joints: Sequence[int], run: JointRun, rules: JointRules) -> tuple[Cut, ...]:
        """The pieces that `joints` make of a run, at the length to which each is cut."""
        nodes = (0, *joints, len(self.places) - 1)
        return tuple(rules.cut(run, self.places[a], self.places[b]) for a, b in pairwise(nodes))

    def ways(self, most: int) -> list[tuple[int, ...]] | None:
        """Every way through, or None if there are more than `most`."""
        found = list(_take(self._walk(0, (), self.fewest or fewest_pieces(self.arcs)), most + 1))
        return found if len(found) <= most else None

    def _walk(
        self, node: int, trail: tuple[int, ...], fewest: Sequence[int]
    ) -> Iterator[tuple[int, ...]]:
        """No step is taken from which the end is out of reach, or only with too many joints."""
        most = NEVER - 1 if self.most is None else self.most
        for to, _ in self.arcs[node]:
            if to == len(self.places) - 1:
                yield trail
            elif len(trail) + fewest[to] <= most:
                yield from self._walk(to, (*trail, to), fewest)


def fewest_pieces(steps: Sequence[Sequence[tuple[int, object]]]) -> list[int]:
    """The fewest pieces from each node to the last, a step each; `NEVER` where none lead there."""
    fewest = [NEVER] * len(steps)
    fewest[-1] = 0
    for node in reversed(range(len(steps) - 1)):
        ahead = min((fewest[to] for to, _ in steps[node]), default=NEVER)
        fewest[node] = min(NEVER, 1 + ahead)
    return fewest


def _take(ways: Iterator[tuple[int, ...]], most: int) -> Iterator[tuple[int, ...]]:
    for way, _ in zip(ways, range(most), strict=False):
        yield way
