"""The cheapest ways through many graphs at once: node by node, in all of them abreast."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from service.joints.graph import Arcs, Graph

FEWEST = 20
"""Graphs from which on it is quicker than one after the other."""

Numbers = npt.NDArray[np.int64]
Amounts = npt.NDArray[np.float64]

Way = tuple[float, tuple[int, ...]] | None
"""What a way costs, and its joints as node numbers; None where there is none."""


class _Step(NamedTuple):
    """The arcs from one node of all graphs: the graph of each, where it ends, and its need."""

    graphs: Numbers
    to: Numbers
    needs: Numbers


class Abreast:
    """Graphs side by side, each node of all of them in a column."""

    def __init__(self, graphs: Sequence[Graph]) -> None:
        self._graphs = graphs
        self._wide = max(len(graph.places) for graph in graphs)
        known = dict[int, Numbers]()
        self._steps = [self._step(node, known) for node in range(self._wide - 1)]

    def _step(self, node: int, known: dict[int, Numbers]) -> _Step:
        """`known` are the lists of arcs that are told in numbers already, by their identity."""
        numbers, pairs = list[int](), [np.zeros((0, 2), dtype=np.int64)]
        for number, graph in enumerate(self._graphs):
            own = graph.arcs[node] if node < len(graph.arcs) else ()
            if own:
                pairs.append(_told(own, known))
                numbers += [number] * len(own)
        graphs, arcs = np.array(numbers, dtype=np.int64), np.concatenate(pairs)
        return _Step(graphs, graphs * self._wide + arcs[:, 0], arcs[:, 1])

    def best(self, prices: Sequence[float], nodes: Sequence[Sequence[float]]) -> list[Way]:
        """What `Graph.best` gives for each, by its own costs of a joint at each node."""
        worth, count = np.array(prices, dtype=float), len(self._graphs)
        at: Amounts = np.zeros((count, self._wide))
        for row, own in zip(at, nodes, strict=True):
            row[: len(own)] = own
        cost: Amounts = np.full(count * self._wide, inf)
        cost[:: self._wide] = 0.0
        before: Numbers = np.zeros(len(cost), dtype=np.int64)
        for node, (graphs, to, needs) in enumerate(self._steps):
            here = cost[node :: self._wide] + at[:, node]
            total = here[graphs] + worth[needs]
            better = total < cost[to]
            cost[to[better]] = total[better]
            before[to[better]] = node
        costs, trails = cost.reshape(count, -1).tolist(), before.reshape(count, -1).tolist()
        return [
            _way(graph, own, trail, prices, joints)
            for graph, own, trail, joints in zip(self._graphs, costs, trails, nodes, strict=True)
        ]


def _told(arcs: Arcs, known: dict[int, Numbers]) -> Numbers:
    if id(arcs) not in known:
        known[id(arcs)] = np.array(arcs, dtype=np.int64)
    return known[id(arcs)]


def _way(
    graph: Graph, cost: Sequence[float], before: Sequence[int], prices: Sequence[float],
    nodes: Sequence[float],
) -> Way:  # fmt: skip
    """The cheapest way that has no more joints than a graph allows."""
    least = cost[len(graph.places) - 1]
    if least == inf:
        return None
    joints = graph.trail(before)
    if graph.most is not None and len(joints) > graph.most:
        return graph.best(prices, nodes)
    return least, joints
