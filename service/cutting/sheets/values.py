"""The most that one sheet can be worth, over every way of cutting it by through-cuts.

Exact for any number of stages and unlimited copies (Gilmore and Gomory, Operations Research 14,
1966; positions reduced as by Herz, IBM Journal 16, 1972). Where too many positions could occur,
sizes are rounded down to a raster: the worth found is then still no less than the true one. Parts
that a raster would round to nothing are not priced; a bound on the others holds for all.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, islice

import numpy as np
from numpy.typing import NDArray

from service.cutting.sheets.trees import Cutting, Leaf, Part, Tree, joined

Indices = NDArray[np.intp]

Block = tuple[int, int]
"""The numbers of a block's length and of its width among the positions."""


class Table:
    """Worths of all blocks of the largest sheet, for parts priced anew each time.

    `parts` says how many of each are wanted, `sheets` are lengths and widths; all in ticks. With
    more than `most` positions along a side it is a raster, and not `exact`. Values are given in
    the order of the parts; `priced` says which of them count.
    """

    def __init__(
        self, parts: Mapping[Part, int], sheets: Sequence[tuple[int, int]], kerf: int, most: int
    ) -> None:
        self.parts = tuple(parts)
        lengths = [part.length + kerf for part in parts]
        widths = [part.width + kerf for part in parts]
        counts = list(parts.values())
        self._long = _Positions(lengths, counts, [length + kerf for length, _ in sheets], most)
        self._wide = _Positions(widths, counts, [width + kerf for _, width in sheets], most)
        self._corner = [
            (self._long.floor(length), self._wide.floor(width))
            for length, width in zip(lengths, widths, strict=True)
        ]
        self.priced = tuple(i > 0 and j > 0 for i, j in self._corner)
        self._sheets = [
            (self._long.floor(length + kerf), self._wide.floor(width + kerf))
            for length, width in sheets
        ]
        self.exact = self._long.exact and self._wide.exact
        self._worth: NDArray[np.int64] = np.zeros((1, 1), dtype=np.int64)
        self._values: tuple[int, ...] = ()

    def price(self, values: Sequence[int]) -> list[int]:
        """The most that each sheet can be worth, with `values` of the parts (integers).

        Blocks are taken diagonal by diagonal: those on one do not need each other.
        """
        values = [value if own else 0 for value, own in zip(values, self.priced, strict=True)]
        self._values = tuple(values)
        rows, columns = len(self._long.at), len(self._wide.at)
        self._worth = np.zeros((rows, columns), dtype=np.int64)
        for (i, j), value in zip(self._corner, values, strict=True):
            block = self._worth[i:, j:]
            np.maximum(block, value, out=block)
        for diagonal in range(2, rows + columns - 1):
            long = np.arange(max(1, diagonal - columns + 1), min(rows, diagonal))
            if long.size:
                self._cut(long, diagonal - long)
        return [int(self._worth[i, j]) for i, j in self._sheets]

    def sheet(self, number: int) -> Block:
        """The block that a sheet is."""
        return self._sheets[number]

    def worth(self, block: Block) -> int:
        """The most that a block can be worth at the prices last given."""
        return int(self._worth[block])

    def inside(self, block: Block) -> list[tuple[int, int]]:
        """Numbers and values of the parts that a block holds and that are worth something."""
        i, j = block
        return [
            (k, value)
            for k, ((x, y), value) in enumerate(zip(self._corner, self._values, strict=True))
            if value and x <= i and y <= j
        ]

    def partings(self, block: Block) -> Iterator[tuple[Block, Block]]:
        """The blocks on both sides of every first cut of a block."""
        i, j = block
        yield from (((a, j), (b, j)) for a, b in self._long.pairs[i])
        yield from (((i, a), (i, b)) for a, b in self._wide.pairs[j])

    def holds(self, sheet: int, part: int) -> bool:
        """Whether the part of that number goes into a sheet, sizes rounded as here."""
        corner, room = self._corner[part], self._sheets[sheet]
        return corner[0] <= room[0] and corner[1] <= room[1]

    def _cut(self, long: Indices, wide: Indices) -> None:
        """Blocks with the numbers `long` and `wide`: parted where that makes them worth more."""
        worth = self._worth
        best = worth[long, wide]
        low, high = self._long.halves(long)
        if low.size:
            across = wide[:, None]
            np.maximum(best, (worth[low, across] + worth[high, across]).max(axis=1), out=best)
        low, high = self._wide.halves(wide)
        if low.size:
            along = long[:, None]
            np.maximum(best, (worth[along, low] + worth[along, high]).max(axis=1), out=best)
        worth[long, wide] = best

    def trees(self, sheet: int, over: int, most: int) -> list[Tree]:
        """Up to `most` cuttings of a sheet worth more than `over` at the prices last given.

        They differ in their first cut; the one that is worth most comes first.
        """
        i, j = self._sheets[sheet]
        cuts = sorted(self._cuts(i, j), key=lambda one: (-one[0], one[1:]))
        paying = (one for one in cuts if one[0] > over)
        made = (self._parted(i, j, cut, a, b) for _, cut, a, b in islice(paying, most))
        found = [tree for tree in made if tree is not None]
        best = self._tree(i, j) if not found and self._worth[i, j] > over else None
        return found if best is None else [best]

    def _cuts(self, i: int, j: int) -> Iterator[tuple[int, Cutting, int, int]]:
        """Every first cut of a block: the worth that it leaves, and the blocks on its sides.

        The cuts nearest to the middle come first, so that trees do not become deep.
        """
        worth = self._worth
        for a, b in reversed(self._long.pairs[i]):
            yield int(worth[a, j] + worth[b, j]), "crosscut", a, b
        for a, b in reversed(self._wide.pairs[j]):
            yield int(worth[i, a] + worth[i, b]), "rip", a, b

    def _parted(self, i: int, j: int, cut: Cutting, a: int, b: int) -> Tree | None:
        if cut == "crosscut":
            return joined(cut, [self._tree(a, j), self._tree(b, j)])
        return joined(cut, [self._tree(i, a), self._tree(i, b)])

    def _tree(self, i: int, j: int) -> Tree | None:
        """A best cutting of a block; None if it is worth nothing."""
        worth = int(self._worth[i, j])
        if not worth:
            return None
        for value, cut, a, b in self._cuts(i, j):
            if value == worth:
                return self._parted(i, j, cut, a, b)
        return Leaf(self._leaf(i, j, worth))

    def _leaf(self, i: int, j: int, worth: int) -> Part:
        return next(
            part
            for part, (x, y), value in zip(self.parts, self._corner, self._values, strict=True)
            if x <= i and y <= j and value == worth
        )


class _Positions:
    """Where cuts may lie along one side: every sum of wanted sizes, or a raster of them.

    `pairs` are, for each position, the positions that a cut of such a block leaves on both
    sides, the smaller first.
    """

    def __init__(
        self, sizes: Sequence[int], counts: Sequence[int], sides: Sequence[int], most: int
    ) -> None:
        self.step, self.exact = 1, True
        at = _sums(sizes, counts, max(sides), most)
        if at is None:
            self.step, self.exact = -(-max(sides) // (most - 2)), False
            rounded = [size // self.step for size in sizes]
            at = _sums(rounded, counts, max(sides) // self.step, None)
        assert at is not None
        self.at = at
        self.pairs = [self._pairs(i) for i in range(len(at))]
        self._counts = np.array([len(own) for own in self.pairs])
        self._low, self._high = self._padded(0), self._padded(1)

    def floor(self, size: int) -> int:
        """The number of the greatest position not over `size`."""
        return bisect_right(self.at, size // self.step) - 1

    def halves(self, numbers: Indices) -> tuple[Indices, Indices]:
        """The pairs of several positions, a row for each; filled up with nothing and nothing."""
        most = int(self._counts[numbers].max())
        return self._low[numbers, :most], self._high[numbers, :most]

    def _padded(self, side: int) -> Indices:
        most = max(len(own) for own in self.pairs)
        return np.array(
            [
                list(chain((pair[side] for pair in own), [0] * (most - len(own))))
                for own in self.pairs
            ],
            dtype=np.intp,
        )

    def _pairs(self, i: int) -> list[tuple[int, int]]:
        side = self.at[i]
        low = [a for a in range(1, i) if 2 * self.at[a] <= side]
        return [(a, bisect_right(self.at, side - self.at[a]) - 1) for a in low]


def _sums(
    sizes: Sequence[int], counts: Sequence[int], most: int, limit: int | None
) -> list[int] | None:
    """Ascending sums up to `most` of at most `counts` of each size, from 0.

    None if there are more than `limit`. No block of a plan needs more of a part than is wanted.
    """
    found = {0}
    for size, count in zip(sizes, counts, strict=True):
        if not size:
            continue
        fresh = found
        for _ in range(min(count, most // size)):
            fresh = {at + size for at in fresh if at + size <= most} - found
            if not fresh:
                break
            found = found | fresh
            if limit is not None and len(found) > limit:
                return None
    return sorted(found)
