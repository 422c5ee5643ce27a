"""What a layer stands on: the lines that bear it, and what lies between those and the layer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from service.errors import Cure
from service.fastening.reach import Ply
from service.geometry.edges import Edge
from service.geometry.openings import Opening
from service.geometry.rings import Line, Region
from service.geometry.surface import Member, Surface
from service.layout.framing import Framing, framing_of
from service.units.once import once


@dataclass(frozen=True, slots=True)
class Offered:
    """What a laid layer offers to the layers laid on it.

    A fastener passes its `thickness` (ticks). `carries` says that it holds fasteners and board
    ends anywhere, as a panel does; with `frames` what frames openings is counted behind it.
    `joints` are its joint lines, in the surface's coordinates. With
    `bearings`, as strapping has, what is laid on it bears on those lines and on nothing behind.
    `cuts` are areas of the surface that it takes away, as beams do: what follows is laid beside
    them, with its gaps there as at walls but for their `edges`, and not on it. `hides` is what lies
    under it once it is finished, where boards reach under its faces: trim runs along those. What
    it `splits` is laid each by itself on either side of it (3.18), and trim runs on over it.
    `rest` is what is left of its last board's width, which may go on round a corner (3.16).
    `cased` are openings with the frame that was laid round them: what follows ends at that.
    `closes` is a cure by which the surface would be open for what is laid after: as it is, none of
    that may cover it.
    """

    thickness: int = 0
    carries: bool = False
    frames: bool = False
    joints: tuple[Line, ...] = ()
    bearings: tuple[Member, ...] = ()
    cuts: Region = ()
    edges: tuple[Edge, ...] = ()
    hides: Region = ()
    splits: bool = False
    rest: int | None = None
    cased: tuple[Opening, ...] = ()
    closes: Cure | None = None


@dataclass(frozen=True)
class Ground:
    """What a layer stands on.

    `surface` is what it may be laid on. `bearings` are the lines that its fasteners are driven
    into, `depth` how deep those are; None where no fastener goes through. Where they are rows of
    blocks, those stand `between` the members. `over` is what was laid
    between them and the layer, the nearest to them first, `standing` the thickness of panels that
    stood there before. A `shim` on the members is passed and holds nothing (18.11). `split`: its
    parts are laid each by itself, where no course runs on from one into another. All that was laid
    flat on the surface is so `thick`, straps and what lies behind them with it. `rests` are what
    layers laid before on other surfaces left of their last boards, by surface and product.
    """

    surface: Surface
    bearings: tuple[Member, ...]
    over: tuple[Offered, ...] = ()
    standing: int | None = None
    shim: int = 0
    depth: int | None = None
    between: tuple[Member, ...] = ()
    split: bool = False
    rests: Mapping[tuple[str, str], int | None] = field(default_factory=dict)
    thick: int = 0

    def under(self, offered: Offered) -> Ground:
        """What the next layer stands on, when one that offers this was laid."""
        left = self.surface.less(offered.cuts, offered.edges).under(offered.hides)
        left = left.cased(offered.cased)
        split = self.split or offered.splits
        left = left.spanning(offered.cuts) if offered.splits else left
        thick = self.thick + offered.thickness
        if offered.bearings:
            return Ground(left, offered.bearings, depth=offered.thickness, split=split,
                          rests=self.rests, thick=thick)  # fmt: skip
        if offered.cuts:
            return replace(self, surface=left, split=split)
        return replace(self, surface=left, over=(*self.over, offered), thick=thick)

    def blocked(self, rows: tuple[Member, ...]) -> Ground:
        """The same with rows of blocks between its members as what bears (15.2)."""
        return replace(self, bearings=rows, between=self.bearings)

    @property
    def framing(self) -> tuple[Member, ...]:
        """The members, or the straps, whose bays are clear between them."""
        return self.between or self.bearings

    @once
    def framed(self) -> Framing | None:
        """Those as the framer sees them; None where there are none."""
        return framing_of(self.surface, self.framing)

    @property
    def regions(self) -> Region:
        """The connected parts of what the layer may be laid on, numbered from 1 on."""
        return self.surface.regions

    @property
    def backing(self) -> int | None:
        """Thickness of the panels behind, standing there or laid before; None without any."""
        panels = [one.thickness for one in self.over if one.carries]
        if self.standing is not None:
            panels.append(self.standing)
        return sum(panels) if panels else None

    def frames(self, *, counted: bool) -> bool:
        """Whether what frames openings is counted behind the panels (5.7).

        Behind one that stood there before it is where the layer itself has it `counted`.
        """
        panels = [one for one in self.over if one.carries]
        if panels or self.depth is not None:
            return any(one.frames for one in panels)
        return self.standing is not None and counted

    @property
    def plies(self) -> tuple[Ply, ...]:
        """What a fastener goes through on its way to the bearings, the outermost first."""
        laid = (Ply(one.thickness, one.carries) for one in reversed(self.over))
        stands = () if self.standing is None else (Ply(self.standing, wood=True),)
        return (*laid, *stands, Ply(self.shim))

    @property
    def joints(self) -> tuple[Line, ...]:
        """Joint lines of the panels behind."""
        return tuple(line for one in self.over if one.carries for line in one.joints)


def ground_of(surface: Surface) -> Ground:
    """What the first layer of a surface stands on: its members, and what stood there before."""
    return Ground(surface, surface.members, standing=surface.backing, shim=surface.shim)
