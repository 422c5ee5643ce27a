"""Layouts worth trying of one graph, ready to be priced all at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

import numpy as np
import numpy.typing as npt

from service.joints.graph import Graph

Amounts = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Listing:
    """Layouts by their joints (node numbers), the mask of each, and their needs and joints.

    `needs` and `nodes` have a column for each layout; where it has fewer pieces than another
    there stands a number beyond the last.
    """

    joints: tuple[tuple[int, ...], ...]
    masks: tuple[int, ...]
    needs: Places
    nodes: Places

    def costs(self, prices: Amounts, nodes: Amounts) -> list[float]:
        """What each layout costs: its pieces, then its joints, added from left to right.

        Both end with the price of what is not there, nothing.
        """
        made: list[float] = (_sums(prices, self.needs) + _sums(nodes, self.nodes)).tolist()
        return made


def listing_of(graph: Graph, layouts: Sequence[tuple[int, ...]]) -> Listing:
    """The listing of these layouts of a graph."""
    return Listing(
        tuple(layouts),
        tuple(map(graph.mask, layouts)),
        _columns([graph.needs(joints) for joints in layouts]),
        _columns(layouts),
    )


def priced(amounts: Sequence[float]) -> Amounts:
    """Prices by number, and nothing beyond the last."""
    return np.array([*amounts, 0.0])


def _columns(rows: Sequence[Sequence[int]]) -> Places:
    """Rows of numbers as columns, filled up with -1, which is the last of all prices."""
    made = list(zip_longest(*rows, fillvalue=-1))
    return np.array(made, dtype=np.int64).reshape(len(made), len(rows))


def _sums(prices: Amounts, numbers: Places) -> Amounts:
    """The sum of each column's prices, row by row so that every machine rounds alike."""
    found = np.zeros(numbers.shape[1])
    for row in numbers:
        found += prices[row]
    return found
