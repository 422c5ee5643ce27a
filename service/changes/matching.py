"""Pieces of two takeoffs matched by where they lie and how they are cut, never by number (21.1)."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass
from typing import TypeAlias, TypeVar

from service.geometry.frame import Frame
from service.geometry.rings import Point, rectangle
from service.products.backing import spanned
from service.products.backing_rows import BackingRow, backing_line
from service.products.rows import PieceRow
from service.takeoff.lasting import lasting
from service.takeoff.pipeline import Takeoff

Key: TypeAlias = tuple[object, ...]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A piece with its lasting id, and what it is known by: layer, product, outline and ends."""

    id: str
    row: PieceRow
    key: Key


def placed_pieces(takeoff: Takeoff) -> list[PlacedPiece]:
    """Every piece of a takeoff, layer by layer in the order of the request."""
    names = lasting(takeoff)
    order = {one.task.at: k for k, one in enumerate(takeoff.laid)}
    placed = sorted(takeoff.placed, key=lambda one: order[one.laid.task.at])
    return [
        PlacedPiece(names[row.id], row, _key(row, one.laid.frame))
        for one in placed
        for row in one.pieces
    ]


def _key(row: PieceRow, frame: Frame) -> Key:
    near, far = sorted((row.near, row.far))
    rings = row.rings or (rectangle(row.low, near, row.high, far),)
    shape = tuple(sorted(_turned(tuple(frame.back(point) for point in ring)) for ring in rings))
    return row.surface, row.layer, row.product, shape, row.ends, row.cut, row.rip


def _turned(ring: tuple[Point, ...]) -> tuple[Point, ...]:
    """A ring from its first corner on, whichever corner it was told from."""
    first = min(range(len(ring)), key=lambda k: ring[k])
    return ring[first:] + ring[:first]


@dataclass(frozen=True, slots=True)
class Matched:
    """Pairs that are alike, and what of either side has none."""

    kept: Sequence[tuple[PlacedPiece, PlacedPiece]]
    removed: Sequence[PlacedPiece]
    added: Sequence[PlacedPiece]


def matched(before: Sequence[PlacedPiece], after: Sequence[PlacedPiece]) -> Matched:
    """The pieces of two takeoffs, like to like; of several alike the first with the first."""
    pairs, removed, added = _paired(before, after, lambda one: one.key)
    return Matched(pairs, removed, added)


def framing_matched(
    before: Sequence[BackingRow], after: Sequence[BackingRow]
) -> tuple[list[tuple[BackingRow, BackingRow]], list[BackingRow], list[BackingRow]]:
    """Lines of framing, like to like: by surface, what they are, and where they lie."""
    return _paired(before, after, backing_line)


def nailers_that_stay(
    removed: Sequence[BackingRow], after: Sequence[BackingRow], surfaces: Container[str]
) -> tuple[list[BackingRow], list[BackingRow]]:
    """Of nailers that match none of the second job, those on the line of one of it, and the rest.

    Behind surfaces of which some is up: they stand there, and are longer or shorter than is asked.
    """
    own = (row for row in removed if row.surface in surfaces)
    stays = [row for row in own if any(is_one_line(row, one) for one in after)]
    return stays, [row for row in removed if row not in stays]


def is_one_line(was: BackingRow, now: BackingRow) -> bool:
    """Whether two nailers of one lumber lie on one line, behind one surface."""
    alike = (was.surface, was.what, was.product) == (now.surface, now.what, now.product)
    on_it = spanned(now.start, now.end, (was.start, was.end)) is not None
    return was.what == "nailer" and alike and on_it


def _paired(
    before: Sequence[T], after: Sequence[T], key: Callable[[T], Key]
) -> tuple[list[tuple[T, T]], list[T], list[T]]:
    waiting: dict[Key, deque[T]] = defaultdict(deque)
    for one in before:
        waiting[key(one)].append(one)
    pairs, added = [], []
    for one in after:
        if waiting[key(one)]:
            pairs.append((waiting[key(one)].popleft(), one))
        else:
            added.append(one)
    left = {id(one) for own in waiting.values() for one in own}
    return pairs, [one for one in before if id(one) in left], added
