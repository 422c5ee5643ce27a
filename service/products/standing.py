"""What of a layer is up already when a job changes: what of it stays, and what is laid beside (21).

Kinds say themselves how far a change opens their layers (`Kind.open_up`).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from pydantic import BaseModel

from service.errors import Fault, TradeRefused
from service.geometry.frame import Frame
from service.geometry.rings import Line, Point, Region, bounds
from service.products.rows import PieceRow
from service.units.ticks import INCH


@dataclass(frozen=True, slots=True)
class Standing:
    """What of a layer stays up, in the surface's coordinates.

    Nothing is laid on its `area`; its pieces meet at `joints`, those that are laid beside them keep
    their stagger from these. A layer that laps what stays, as wrap does, is laid on all of `over`.
    Of `kept` is what is hung as one, as a length of trim, by what its kind knows it by. `cut_ends`
    is how many ends are new of what stays, as it was cut in place. Blocks are to stand behind
    `edges` of patches that no member carries. Its pieces go by `names`, which no new one takes.
    Round the openings of those ids in `rims` it is sealed anew, where it is sealed. Lines of straps
    of those numbers in `pairs` are two side by side.
    """

    area: Region = ()
    joints: tuple[Point, ...] = ()
    over: Region = ()
    kept: frozenset[object] = frozenset()
    cut_ends: int = 0
    edges: tuple[Line, ...] = ()
    names: frozenset[str] = frozenset()
    rims: frozenset[str] = frozenset()
    pairs: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Stay:
    """What stays of one piece: its id as it was placed, and its shape in stations.

    A shape of None is all of it. What is taken off, cut to its new length and put back `becomes`
    the piece that the second job has in its place, with so many ends `cut`.
    """

    piece: str
    shape: Region | None = None
    becomes: PieceRow | None = None
    cut: int = 0

    def ends_cut(self, was: PieceRow) -> int:
        """How many of its ends are new: where it was cut back, not where it was notched."""
        if not self.shape:
            return self.cut
        low, high, *_ = bounds(self.shape)
        return (low != was.low) + (high != was.high)


@dataclass(frozen=True, slots=True)
class OpenedUp:
    """A layer as a change opens it: what stays of its pieces, and what that is to what is laid."""

    standing: Standing
    stays: tuple[Stay, ...]
    complete: bool
    """Whether nothing is to be laid of it."""


@dataclass(frozen=True, slots=True)
class Opening:
    """What a change asks of a layer: the pieces that are up, and lines of framing to be reached."""

    up: frozenset[str]
    framing: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Reopened:
    """What stays of a layer, and the new work behind it (surface's coordinates) that it lies over.

    There it is loosened, and nailed anew once that is done.
    """

    stays: tuple[Stay, ...]
    over: Region = ()


def kept_whole(
    was: Mapping[object, Sequence[str]], now: Collection[object], up: frozenset[str], pointer: str
) -> OpenedUp:
    """What stays of a layer whose pieces are hung as one, as lengths of trim: what does not change.

    What lies or ends otherwise comes down and is made anew. `was` are the pieces of each by what it
    is known by, `now` what is to be. Raises TradeRefused where some of what is to stay is up.
    """
    there = {key: names for key, names in was.items() if key in now and not up.isdisjoint(names)}
    parted = sorted(name for names in there.values() for name in names if name not in up)
    if parted:
        text = f"{parted[0]} is not up, and what it is joined to is: say all of its pieces, or none"
        raise TradeRefused(Fault("cannot-be-opened", text, pointer, rule="21.4"))
    stays = tuple(Stay(name) for names in there.values() for name in names)
    return OpenedUp(Standing(kept=frozenset(there)), stays, complete=set(now) <= there.keys())


ON_PAPER: Final = frozenset({
    "stock", "owned", "nominal", "density", "description", "species", "grade", "coating", "gauge",
})  # fmt: skip
"""What may change of a product while its pieces are up: what is bought of it, and its words."""


def same_goods(was: object, now: object) -> bool:
    """Whether two products are one, by id and by all that its pieces lie by."""
    return _shaped(was) == _shaped(now)


def _shaped(product: object) -> Mapping[str, object]:
    assert isinstance(product, BaseModel)
    return {key: value for key, value in product if key not in ON_PAPER}


REACH: Final = 2 * INCH
"""How near to what is lost of a piece framing must be set for the piece to be in its way."""


def is_reached(gone: Region, framing: Sequence[Line], frame: Frame) -> bool:
    """Whether framing is to be set or taken out where a piece loses something, in stations."""
    low, high, near, far = bounds(gone)
    for line in framing:
        (a, b), (c, d) = map(frame.to, line)
        if (
            min(a, c) <= high + REACH
            and max(a, c) >= low - REACH
            and min(b, d) <= far + REACH
            and max(b, d) >= near - REACH
        ):
            return True
    return False
