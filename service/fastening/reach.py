"""How far a fastener reaches through the layers into what carries it (18.11)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import cos, radians
from typing import Literal

from service.units.ticks import whole


@dataclass(frozen=True, slots=True)
class Ply:
    """A layer that a fastener goes through before it meets the framing; `wood` holds it."""

    thickness: int
    wood: bool = False


@dataclass(frozen=True, slots=True)
class Way:
    """The way of a fastener from where it enters.

    It enters `entry` ticks from the back of the layer that it fastens, leans `lean` degrees from
    square, and goes through the plies `behind`, the outermost first, into the framing. `carrier`
    is what is meant to hold it: the framing, framing and panels together (`wood`), or the panels
    alone, where no framing is hit. The framing is `depth` ticks deep; None where no fastener goes
    through it.
    """

    entry: int
    behind: tuple[Ply, ...] = ()
    lean: Fraction = Fraction(0)
    carrier: Literal["framing", "wood", "panel"] = "framing"
    depth: int | None = None

    @property
    def slant(self) -> float:
        """Depth square to the face for each tick along the shank."""
        return cos(radians(float(self.lean)))

    @property
    def covered(self) -> int:
        """Length of shank above the framing's face, ticks."""
        return self._along(self.entry + sum(ply.thickness for ply in self.behind))

    def in_framing(self, length: int) -> int:
        """What of a fastener of `length` ticks lies in the framing, along the shank."""
        reached = 0 if self.carrier == "panel" else max(0, length - self.covered)
        return reached if self.depth is None else min(reached, self._along(self.depth))

    def spans(self) -> Iterator[tuple[int, int, Ply]]:
        """Where along the shank each ply begins and ends."""
        at = self.entry
        for ply in self.behind:
            yield self._along(at), self._along(at + ply.thickness), ply
            at += ply.thickness

    def _along(self, depth: int) -> int:
        return whole(depth / self.slant)


@dataclass(frozen=True, slots=True)
class Reach:
    """What a fastener of `length` holds in, measured along its shank; all in ticks.

    `framing` is what lies in the framing, `wood` that and what lies in wood panels. `hold` is what
    lies in that which is meant to carry it, `depth` how deep its point is in that, square to the
    face.
    """

    length: int
    way: Way
    framing: int
    wood: int

    @property
    def hold(self) -> int:
        """Length of shank in what is meant to carry it."""
        return self.framing if self.way.carrier == "framing" else self.wood

    @property
    def depth(self) -> int:
        """How deep the point is in what carries it, square to the face."""
        return whole(self.hold * self.way.slant)


@dataclass(frozen=True, slots=True)
class Need:
    """What must lie in wood (framing and wood panels together), and what of it in framing."""

    wood: int
    framing: int = 0


def blind_entry(thickness: int) -> int:
    """Where tongue and shoulder meet on the face side, from the back of a board (18.11).

    The tongue is a third of the board and lies in its middle.
    """
    return whole(Fraction(2 * thickness, 3))


def reach_of(length: int, way: Way) -> Reach:
    """How far a fastener of `length` ticks gets; nothing is less than none."""
    framing = way.in_framing(length)
    panels = (max(0, min(length, end) - start) for start, end, ply in way.spans() if ply.wood)
    return Reach(length, way, framing, framing + sum(panels))


def shortest(lengths: Sequence[int], ways: Sequence[Way], need: Need) -> int | None:
    """The shortest of `lengths` that holds what is needed on each way; None where none does."""
    least = needed_length(ways, need)
    return min((one for one in lengths if least is not None and one >= least), default=None)


def needed_length(ways: Sequence[Way], need: Need) -> int | None:
    """The least length that holds on each way, ticks; None where too little wood is behind."""
    found = [_least(way, need) for way in ways]
    least = [length for length in found if length is not None]
    return max(least) if len(least) == len(found) else None


def _least(way: Way, need: Need) -> int | None:
    """The least length that holds on one way: deep enough in wood, and in framing."""
    wanted = need.wood
    for start, end, ply in way.spans():
        if ply.wood and end - start >= wanted:
            return _into_framing(way, need, start + wanted)
        wanted -= end - start if ply.wood else 0
    deep = way.covered + wanted
    return None if way.in_framing(deep) < wanted else _into_framing(way, need, deep)


def _into_framing(way: Way, need: Need, least: int) -> int | None:
    """`least`, or what reaches far enough into the framing; None where that is too thin."""
    if not need.framing:
        return least
    deep = way.covered + need.framing
    return None if way.in_framing(deep) < need.framing else max(least, deep)
