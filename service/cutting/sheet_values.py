"""The most that one sheet can be worth, over every way of cutting it by through-cuts.

Exact for any number of stages and unlimited copies (Gilmore and Gomory, Operations Research 14,
1966; positions reduced as by Herz, IBM Journal 16, 1972). Where too many positions could occur,
sizes are rounded down to a raster: the worth found is then still no less than the true one.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from service.cutting.sheet_trees import Leaf, Part, Split, Tree

MOST_POSITIONS = 200


class Table:
    """Worths of all blocks of the largest sheet, for parts priced anew each time.

    `sheets` are lengths and widths, `parts` the parts in the order of their values; all in ticks.
    """

    def __init__(self, parts: Sequence[Part], sheets: Sequence[tuple[int, int]], kerf: int) -> None:
        self.parts = tuple(parts)
        lengths = [part.length + kerf for part in parts]
        widths = [part.width + kerf for part in parts]
        self._long = _Positions(lengths, [length + kerf for length, _ in sheets])
        self._wide = _Positions(widths, [width + kerf for _, width in sheets])
        self._corner = [
            (self._long.floor(length), self._wide.floor(width))
            for length, width in zip(lengths, widths, strict=True)
        ]
        self._sheets = [
            (self._long.floor(length + kerf), self._wide.floor(width + kerf))
            for length, width in sheets
        ]
        self.exact = self._long.exact and self._wide.exact
        self._worth: NDArray[np.int64] = np.zeros((1, 1), dtype=np.int64)
        self._values: tuple[int, ...] = ()

    def price(self, values: Sequence[int]) -> list[int]:
        """The most that each sheet can be worth, with `values` of the parts (integers)."""
        self._values = tuple(values)
        long, wide = self._long, self._wide
        worth = np.zeros((len(long.at), len(wide.at)), dtype=np.int64)
        for (i, j), value in zip(self._corner, values, strict=True):
            block = worth[i:, j:]
            np.maximum(block, value, out=block)
        for i in range(1, len(long.at)):
            low, high = long.pairs[i]
            if len(low):
                np.maximum(worth[i], (worth[low] + worth[high]).max(axis=0), out=worth[i])
            self._rips(worth[i])
        self._worth = worth
        return [int(worth[i, j]) for i, j in self._sheets]

    def _rips(self, row: NDArray[np.int64]) -> None:
        """Rips of all blocks of one length, the narrower blocks first."""
        for j, (low, high) in enumerate(self._wide.pairs):
            if len(low):
                most = (row[low] + row[high]).max()
                row[j] = max(row[j], most)

    def tree(self, sheet: int) -> Tree | None:
        """A best cutting of a sheet at the prices last given; None if it is worth nothing."""
        return self._tree(*self._sheets[sheet])

    def _tree(self, i: int, j: int) -> Tree | None:
        worth = int(self._worth[i, j])
        if not worth:
            return None
        low, high = self._long.pairs[i]
        for a, b in zip(low.tolist(), high.tolist(), strict=True):
            if self._worth[a, j] + self._worth[b, j] == worth:
                return _joined("crosscut", self._tree(a, j), self._tree(b, j))
        low, high = self._wide.pairs[j]
        for a, b in zip(low.tolist(), high.tolist(), strict=True):
            if self._worth[i, a] + self._worth[i, b] == worth:
                return _joined("rip", self._tree(i, a), self._tree(i, b))
        return Leaf(self._leaf(i, j, worth))

    def _leaf(self, i: int, j: int, worth: int) -> Part:
        return next(
            part
            for part, (x, y), value in zip(self.parts, self._corner, self._values, strict=True)
            if x <= i and y <= j and value == worth
        )


def _joined(cut: str, first: Tree | None, second: Tree | None) -> Tree | None:
    if first is None or second is None:
        return first or second
    return Split("rip" if cut == "rip" else "crosscut", first, second)


class _Positions:
    """Where cuts may lie along one side: every sum of part sizes, or a raster of them.

    `pairs` are, for each position, the positions that a cut of such a block leaves on both
    sides, the smaller first.
    """

    def __init__(self, sizes: Sequence[int], sides: Sequence[int]) -> None:
        self.step, self.exact = 1, True
        at = _sums(sizes, max(sides), MOST_POSITIONS)
        if at is None:
            # No size may be rounded down to nothing.
            self.step, self.exact = min(-(-max(sides) // (MOST_POSITIONS - 2)), *sizes), False
            at = _sums([size // self.step for size in sizes], max(sides) // self.step, None)
        assert at is not None
        self.at = at
        self.pairs = [self._pairs(i) for i in range(len(at))]

    def floor(self, size: int) -> int:
        """The number of the greatest position not over `size`."""
        return bisect_right(self.at, size // self.step) - 1

    def _pairs(self, i: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        side = self.at[i]
        low = [a for a in range(1, i) if 2 * self.at[a] <= side]
        high = [bisect_right(self.at, side - self.at[a]) - 1 for a in low]
        kept = [(a, b) for a, b in zip(low, high, strict=True) if b > 0]
        return (
            np.array([a for a, _ in kept], dtype=np.intp),
            np.array([b for _, b in kept], dtype=np.intp),
        )


def _sums(sizes: Sequence[int], most: int, limit: int | None) -> list[int] | None:
    """Ascending sums of `sizes` up to `most`, from 0; None if there are more than `limit`."""
    found = {0}
    fresh = {0}
    while fresh:
        fresh = {at + size for at in fresh for size in set(sizes) if at + size <= most} - found
        found |= fresh
        if limit is not None and len(found) > limit:
            return None
    return sorted(found)
