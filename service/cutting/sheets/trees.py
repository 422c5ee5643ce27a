"""A sheet cut up by through-cuts, as a tree: which cut parts which block, down to the parts.

Sizes inside a tree are grossed by one kerf: a part of `length` takes `length + kerf` and a sheet
offers its own length and a kerf, so that n parts and the n - 1 cuts between them fit exactly when
they should, and the last cut takes what is there (8.2).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

Cutting = Literal["rip", "crosscut"]
"""A rip runs along the sheet, a crosscut across it."""

Box: TypeAlias = tuple[int, int, int, int]
"""Low corner along and across the sheet, then length and width, in ticks."""


class Part(NamedTuple):
    """A piece of a sheet: length along its strength axis and width across it; never turned."""

    length: int
    width: int


@dataclass(frozen=True, slots=True)
class Leaf:
    """A block of which one part is cut."""

    part: Part


@dataclass(frozen=True, slots=True)
class Split:
    """A block parted into several by cuts of one direction; the first lies on the low side.

    No block of it is itself parted by the same cut: `joined` sees to that.
    """

    cut: Cutting
    blocks: tuple[Tree, ...]


Tree: TypeAlias = Leaf | Split


@dataclass(frozen=True, slots=True, order=True)
class Placed:
    """A part and its low corner in the sheet."""

    part: Part
    at: int
    across: int


@dataclass(frozen=True, slots=True)
class Through:
    """One cut through the whole of `block`: what comes off its low side is `at` long or wide."""

    block: Box
    cut: Cutting
    at: int


@dataclass(frozen=True, slots=True)
class Nested:
    """One sheet of stock number `stock`: its parts, its cuts in order, and what is left.

    `kerf` is twice the area that the cuts take. Parts, rests and kerf are the whole sheet. Where
    there is a `trim`, the first cut takes that off the low long edge, its own kerf with it (16.7).
    """

    stock: int
    placed: tuple[Placed, ...]
    cuts: tuple[Through, ...]
    rests: tuple[Box, ...]
    kerf: int
    trim: int = 0


def extent(tree: Tree, kerf: int) -> tuple[int, int]:
    """Length and width that a tree takes, grossed by a kerf."""
    if isinstance(tree, Leaf):
        return tree.part.length + kerf, tree.part.width + kerf
    return tails(tree.cut, [extent(block, kerf) for block in tree.blocks])[0]


def tails(cut: Cutting, sides: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """For each of some blocks side by side, the extent of it and all that follow."""
    long, wide, found = 0, 0, []
    for length, width in reversed(sides):
        if cut == "crosscut":
            long, wide = long + length, max(wide, width)
        else:
            long, wide = max(long, length), wide + width
        found.append((long, wide))
    return found[::-1]


def parts_of(tree: Tree) -> Iterator[Part]:
    """The parts of a tree, low side first."""
    if isinstance(tree, Leaf):
        yield tree.part
    else:
        for block in tree.blocks:
            yield from parts_of(block)


def joined(cut: Cutting, trees: Iterable[Tree | None]) -> Tree | None:
    """Blocks side by side, parted by cuts of one direction; None if there is none."""
    blocks: list[Tree] = []
    for tree in trees:
        if isinstance(tree, Split) and tree.cut == cut:
            blocks += tree.blocks
        elif tree is not None:
            blocks.append(tree)
    if len(blocks) < 2:
        return blocks[0] if blocks else None
    return Split(cut, tuple(blocks))


def clipped(tree: Tree, left: Counter[Part]) -> Tree | None:
    """The tree with only the parts still in `left`, which are taken off it."""
    if isinstance(tree, Split):
        return joined(tree.cut, [clipped(block, left) for block in tree.blocks])
    if not left[tree.part]:
        return None
    left[tree.part] -= 1
    return tree


def fitted(tree: Tree, length: int, width: int, kerf: int) -> Tree | None:
    """The tree with only the parts that a block (sides grossed by a kerf) has room for."""
    if isinstance(tree, Leaf):
        long, wide = extent(tree, kerf)
        return tree if long <= length and wide <= width else None
    kept = []
    for block in tree.blocks:
        fit = fitted(block, length, width, kerf)
        if fit is None:
            continue
        kept.append(fit)
        long, wide = extent(fit, kerf)
        if tree.cut == "crosscut":
            length -= long
        else:
            width -= wide
    return joined(tree.cut, kept)


def nested(tree: Tree, stock: int, length: int, width: int, kerf: int, trim: int = 0) -> Nested:
    """The tree laid out on a sheet of `length` x `width`, its cuts in the order of sawing.

    The sheet is wider by a `trim`, which is ripped off its low long edge first.
    """
    bench = _Bench(kerf)
    bench.rip_off(length, width, trim)
    bench.lay(tree, 0, trim, length + kerf, width + kerf)
    used = sum(one.part.length * one.part.width for one in bench.placed)
    rest = sum(long * wide for _, _, long, wide in bench.rests)
    return Nested(
        stock,
        tuple(bench.placed),
        tuple(bench.cuts),
        tuple(bench.rests),
        2 * (length * (width + trim) - used - rest),
        trim,
    )


class _Bench:
    """Lays a tree out, block by block; all sizes grossed by a kerf."""

    def __init__(self, kerf: int) -> None:
        self.kerf = kerf
        self.placed: list[Placed] = []
        self.cuts: list[Through] = []
        self.rests: list[Box] = []

    def rip_off(self, length: int, width: int, trim: int) -> None:
        """Rip `trim` off the low long edge; what is no wider than the kerf is dust."""
        if not trim:
            return
        left = max(0, trim - self.kerf)
        self.cuts.append(Through((0, 0, length, width + trim), "rip", left))
        if left:
            self.rests.append((0, 0, length, left))

    def lay(self, tree: Tree, x: int, y: int, length: int, width: int) -> None:
        """Trim the block to the tree's own extent, then cut off its first; so on with the rest."""
        if isinstance(tree, Leaf):
            self._trimmed(extent(tree, self.kerf), None, x, y, length, width)
            self.placed.append(Placed(tree.part, x, y))
            return
        sides = [extent(block, self.kerf) for block in tree.blocks]
        for block, (long, wide), left in zip(
            tree.blocks[:-1], sides, tails(tree.cut, sides), strict=False
        ):
            length, width = self._trimmed(left, tree.cut, x, y, length, width)
            if tree.cut == "crosscut":
                self._cut("crosscut", x, y, length, width, long)
                self.lay(block, x, y, long, width)
                x, length = x + long, length - long
            else:
                self._cut("rip", x, y, length, width, wide)
                self.lay(block, x, y, length, wide)
                y, width = y + wide, width - wide
        self.lay(tree.blocks[-1], x, y, length, width)

    def _trimmed(
        self, to: tuple[int, int], parting: Cutting | None, x: int, y: int, length: int, width: int
    ) -> tuple[int, int]:
        """The block's sides when it is cut down to an extent, the larger rest first.

        What is over along the way of parting stays with the last part, to be cut off there.
        """
        own, deep = to
        if self._crosscut_first(parting, length - own, width - deep, length, width):
            self._trim("crosscut", x, y, length, width, own)
            deep = width if parting == "rip" else deep
            self._trim("rip", x, y, own, width, deep)
        else:
            self._trim("rip", x, y, length, width, deep)
            own = length if parting == "crosscut" else own
            self._trim("crosscut", x, y, length, deep, own)
        return own, deep

    def _crosscut_first(
        self, parting: Cutting | None, over: int, beside: int, length: int, width: int
    ) -> bool:
        """Whether the rest beyond the length is to stay whole: it is the larger, or the only one.

        One that the parting itself leaves at its end needs no trimming first.
        """
        if parting == "crosscut" and not beside:
            return False
        if parting == "rip" and not over:
            return True
        return over * width >= beside * length

    def _trim(self, cut: Cutting, x: int, y: int, length: int, width: int, to: int) -> None:
        """Cut a block down to `to`, if it is larger; what is left over is a rest."""
        over = (length if cut == "crosscut" else width) - to
        if over <= 0:
            return
        self._cut(cut, x, y, length, width, to)
        if over <= self.kerf:
            return
        if cut == "crosscut":
            self.rests.append((x + to, y, over - self.kerf, width - self.kerf))
        else:
            self.rests.append((x, y + to, length - self.kerf, over - self.kerf))

    def _cut(self, cut: Cutting, x: int, y: int, length: int, width: int, at: int) -> None:
        block = (x, y, length - self.kerf, width - self.kerf)
        self.cuts.append(Through(block, cut, at - self.kerf))
