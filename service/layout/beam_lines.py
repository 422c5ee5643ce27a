"""Lines of beams across a surface, and the clear widths between them (16.2).

Everything is measured across the beams from the surface's lowest point, in ticks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal, TypeAlias

from service.units.ticks import whole

Wall: TypeAlias = Literal["low", "high"]


@dataclass(frozen=True, slots=True, order=True)
class BeamLine:
    """A beam from its near to its far face; `wall` is the one that a half beam lies along."""

    near: int
    far: int
    wall: Wall | None = None

    @property
    def width(self) -> int:
        """From face to face."""
        return self.far - self.near

    @property
    def sides(self) -> tuple[int, int]:
        """Its near and its far face."""
        return self.near, self.far

    @property
    def middle(self) -> int:
        """Where its centre line lies."""
        return (self.near + self.far) // 2

    def within(self, near: int, far: int) -> BeamLine:
        """The line moved in by `near` and `far` at its faces, but not off a wall."""
        return BeamLine(
            self.near if self.wall == "low" else self.near + near,
            self.far if self.wall == "high" else self.far - far,
            self.wall,
        )


@dataclass(frozen=True, slots=True)
class Sizes:
    """What beams across an `extent` measure: each `width`, and half beams along some walls."""

    extent: int
    width: int
    walls: tuple[Wall, ...] = ()
    wall_width: int = 0

    @property
    def low(self) -> int:
        """Where what is left between half beams begins."""
        return self.wall_width if "low" in self.walls else 0

    @property
    def high(self) -> int:
        """Where it ends."""
        return self.extent - (self.wall_width if "high" in self.walls else 0)


def even(sizes: Sizes, count: int) -> tuple[BeamLine, ...]:
    """So many beams with equal clear widths between them and the walls (16.2).

    Clear is what all beams, and half beams at walls, leave, over one more than there are beams:
    never the extent in equal parts less a beam each.
    """
    free = sizes.high - sizes.low - count * sizes.width
    nears = [
        sizes.low + whole(Fraction(free * (k + 1), count + 1)) + k * sizes.width
        for k in range(count)
    ]
    return _with_walls(sizes, nears)


def on_centres(sizes: Sizes, centres: Sequence[int]) -> tuple[BeamLine, ...]:
    """Beams on the centre lines that are given."""
    return _with_walls(sizes, [at - sizes.width // 2 for at in sorted(centres)])


def by_clear(sizes: Sizes, clear: Sequence[int]) -> tuple[BeamLine, ...]:
    """A beam after each clear width in turn, from the low side on; the last bay is what is left."""
    nears, at = [], sizes.low
    for width in clear:
        nears.append(at + width)
        at += width + sizes.width
    return _with_walls(sizes, nears)


def mirrored(sizes: Sizes, lines: Sequence[BeamLine]) -> tuple[BeamLine, ...]:
    """The same lines measured from the high side."""
    other: dict[Wall | None, Wall | None] = {"low": "high", "high": "low", None: None}
    return tuple(
        sorted(
            BeamLine(sizes.extent - one.far, sizes.extent - one.near, other[one.wall])
            for one in lines
        )
    )


def clear_between(sizes: Sizes, lines: Sequence[BeamLine]) -> tuple[int, ...]:
    """The clear widths from the low side to the high one; 0 or less where beams leave none."""
    inner = [one for one in lines if one.wall is None]
    edges = [sizes.low, *(at for one in inner for at in (one.near, one.far)), sizes.high]
    return tuple(far - near for near, far in list(pairwise(edges))[::2])


def _with_walls(sizes: Sizes, nears: Sequence[int]) -> tuple[BeamLine, ...]:
    halves = {"low": BeamLine(0, sizes.low, "low"),
              "high": BeamLine(sizes.high, sizes.extent, "high")}  # fmt: skip
    own = [BeamLine(near, near + sizes.width) for near in nears]
    return tuple(sorted([*own, *(halves[wall] for wall in sizes.walls)]))
