"""A sheet cut up by through-cuts, as a tree: which cut parts which block, down to the parts.

Sizes inside a tree are grossed by one kerf: a part of `length` takes `length + kerf` and a sheet
offers its own length and a kerf, so that n parts and the n - 1 cuts between them fit exactly when
they should, and the last cut takes what is there (8.2).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

Cutting = Literal["rip", "crosscut"]
"""A rip runs along the sheet, a crosscut across it."""

Box: TypeAlias = tuple[int, int, int, int]
"""Low corner along and across the sheet, then length and width, in ticks."""


@dataclass(frozen=True, slots=True, order=True)
class Part:
    """A piece of a sheet: length along its strength axis and width across it; never turned."""

    length: int
    width: int


@dataclass(frozen=True, slots=True)
class Leaf:
    """A block of which one part is cut."""

    part: Part


@dataclass(frozen=True, slots=True)
class Split:
    """A block parted in two by one cut; `first` lies on the low side."""

    cut: Cutting
    first: Tree
    second: Tree


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

    `kerf` is twice the area that the cuts take. Parts, rests and kerf are the whole sheet.
    """

    stock: int
    placed: tuple[Placed, ...]
    cuts: tuple[Through, ...]
    rests: tuple[Box, ...]
    kerf: int


def extent(tree: Tree, kerf: int) -> tuple[int, int]:
    """Length and width that a tree takes, grossed by a kerf."""
    if isinstance(tree, Leaf):
        return tree.part.length + kerf, tree.part.width + kerf
    a, b = extent(tree.first, kerf), extent(tree.second, kerf)
    if tree.cut == "crosscut":
        return a[0] + b[0], max(a[1], b[1])
    return max(a[0], b[0]), a[1] + b[1]


def parts_of(tree: Tree) -> Iterator[Part]:
    """The parts of a tree, low side first."""
    if isinstance(tree, Leaf):
        yield tree.part
    else:
        yield from parts_of(tree.first)
        yield from parts_of(tree.second)


def chain(cut: Cutting, trees: list[Tree]) -> Tree | None:
    """Blocks side by side, parted by cuts of one direction; None if there is none."""
    made: Tree | None = None
    for tree in reversed(trees):
        made = tree if made is None else Split(cut, tree, made)
    return made


def clipped(tree: Tree, left: Counter[Part]) -> Tree | None:
    """The tree with only the parts still in `left`, which are taken off it."""
    if isinstance(tree, Leaf):
        if not left[tree.part]:
            return None
        left[tree.part] -= 1
        return tree
    first, second = clipped(tree.first, left), clipped(tree.second, left)
    if first is None or second is None:
        return first or second
    return Split(tree.cut, first, second)


def nested(tree: Tree, stock: int, length: int, width: int, kerf: int) -> Nested:
    """The tree laid out on a sheet of `length` x `width`, its cuts in the order of sawing."""
    bench = _Bench(kerf)
    bench.lay(tree, 0, 0, length + kerf, width + kerf)
    used = sum(one.part.length * one.part.width for one in bench.placed)
    rest = sum(long * wide for _, _, long, wide in bench.rests)
    return Nested(
        stock,
        tuple(bench.placed),
        tuple(bench.cuts),
        tuple(bench.rests),
        2 * (length * width - used - rest),
    )


class _Bench:
    """Lays a tree out, block by block; all sizes grossed by a kerf."""

    def __init__(self, kerf: int) -> None:
        self.kerf = kerf
        self.placed: list[Placed] = []
        self.cuts: list[Through] = []
        self.rests: list[Box] = []

    def lay(self, tree: Tree, x: int, y: int, length: int, width: int) -> None:
        """Trim the block to the tree's own extent, the larger rest first; then part it."""
        own, deep = extent(tree, self.kerf)
        if (length - own) * width >= (width - deep) * length:
            self._trim("crosscut", x, y, length, width, own)
            self._trim("rip", x, y, own, width, deep)
        else:
            self._trim("rip", x, y, length, width, deep)
            self._trim("crosscut", x, y, length, deep, own)
        if isinstance(tree, Leaf):
            self.placed.append(Placed(tree.part, x, y))
            return
        first = extent(tree.first, self.kerf)
        if tree.cut == "crosscut":
            self._cut("crosscut", x, y, own, deep, first[0])
            self.lay(tree.first, x, y, first[0], deep)
            self.lay(tree.second, x + first[0], y, own - first[0], deep)
        else:
            self._cut("rip", x, y, own, deep, first[1])
            self.lay(tree.first, x, y, own, first[1])
            self.lay(tree.second, x, y + first[1], own, deep - first[1])

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
