"""What the kind keeps of a layer of wrap: as it is laid, and with its pieces."""

from __future__ import annotations

from dataclasses import dataclass

from service.geometry.frame import Frame
from service.geometry.rings import Region, bounds
from service.layout.widths import RollStrip, SideLap, Width
from service.products.kinds.wrap.rulings import Task
from service.products.layer import LaidLayer, Placed


@dataclass(frozen=True, slots=True)
class Bay:
    """One part of the surface, in stations: its `outline`, and what is covered there.

    `cover` has the turn-downs and is without openings that are left out.
    """

    outline: Region
    cover: Region


@dataclass(frozen=True, slots=True)
class Wrap:
    """What the kind keeps of a laid layer for supplying, fastening and drawing.

    Regions are in the stations of `frame`: `open` are the openings as cut.
    """

    frame: Frame
    bays: tuple[Bay, ...]
    open: Region
    widths: tuple[Width, ...]
    strips: tuple[RollStrip, ...]
    seams: tuple[SideLap, ...]
    tried: tuple[tuple[RollStrip, ...], ...] = ()

    @property
    def outline(self) -> Region:
        """The surface, in all its parts."""
        return tuple(part for bay in self.bays for part in bay.outline)

    @property
    def cover(self) -> tuple[int, int]:
        """The lowest and the highest station across that is covered."""
        across = [bounds(bay.cover)[2:] for bay in self.bays]
        return min(low for low, _ in across), max(high for _, high in across)

    def across(self, strip: RollStrip) -> tuple[int, int]:
        """From where to where across a strip lies: over its bay, and at the outermost beyond."""
        width, (low, high) = self.widths[strip.width - 1], self.cover
        _, _, near, far = bounds(self.bays[strip.bay].cover)
        return (
            width.low if near == low else max(width.low, near),
            width.high if far == high else min(width.high, far),
        )

    @property
    def length(self) -> int:
        """Length of all strips, without end laps."""
        return sum(strip.high - strip.low for strip in self.strips)


@dataclass(frozen=True, slots=True)
class WrapPiece:
    """One placed piece: its width and reach, and the box that it is the first to cover.

    `zone` is low, high, near and far in stations; `covers` what of the surface lies in it, and
    `cut` twice the area that openings take of that.
    """

    id: str
    roll: int
    width: Width
    strip: RollStrip
    low: int
    high: int
    zone: tuple[int, int, int, int]
    covers: Region
    cut: int


LaidWrap = LaidLayer[Task, Wrap]
"""A laid layer of wrap."""

PlacedWrap = Placed[LaidWrap, tuple[WrapPiece, ...]]
"""A laid layer of wrap with its pieces."""
