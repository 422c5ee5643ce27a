"""What the kind keeps of a layer of wrap: as it is laid, and with its pieces."""

from __future__ import annotations

from dataclasses import dataclass

from service.geometry.frame import Frame
from service.geometry.rings import Region
from service.layout.widths import RollStrip, SideLap, Width
from service.products.kinds.wrap.rulings import Task
from service.products.layer import LaidLayer, Placed


@dataclass(frozen=True, slots=True)
class Wrap:
    """What the kind keeps of a laid layer for supplying, fastening and drawing.

    Regions are in the stations of `frame`: `cover` with the turn-downs and without openings that
    are left out, `outline` the surface, `open` the openings as cut.
    """

    frame: Frame
    cover: Region
    outline: Region
    open: Region
    widths: tuple[Width, ...]
    strips: tuple[RollStrip, ...]
    seams: tuple[SideLap, ...]
    tried: tuple[tuple[RollStrip, ...], ...] = ()

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
