"""A surface in true size as one sees it facing the finished side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from service.geometry.edges import Edge
from service.geometry.flatness import Flatness
from service.geometry.openings import Opening
from service.geometry.plane import difference, intersection, union, without_needles
from service.geometry.regions import in_order
from service.geometry.rings import Polygon, Region, Ring, around, twice_area
from service.geometry.slope import Slope, stretch_point
from service.units.once import once
from service.units.ticks import whole


@dataclass(frozen=True, slots=True)
class Member:
    """The centre line `a x + b y = d` of one support (unit normal) and its thickness (ticks).

    `reach` is from where to where along that line it goes, as the line has `a y - b x` there;
    None where it goes as far as the surface does. Where pieces meet on it it is made as wide as
    `seat`, if that is more than its thickness.
    """

    a: float
    b: float
    d: int
    thickness: int
    reach: tuple[int, int] | None = None
    seat: int = 0


@dataclass(frozen=True)
class Surface:
    """Outline, openings and members in (x, y) ticks, true size, facing the finished side.

    `shim` is the thickness of the thickest shim on the members, which fasteners pass. `ends_free`:
    the members stand at a spacing, and none was asked for against the ends. The slope rises as it
    is seen facing the finished side, whatever `view` it was drawn in. `taken` is what layers take
    away of it for those laid on them: openings that lie wholly in it are none of theirs. `edges`
    are those of its outline of which something was said, in the order of their numbers, `known`
    those of which it was said what they lie beside, and `sides` all of them. `hidden` is what
    finished layers lie over, beams as a rule, `spanned` what was taken and trim runs over all the
    same, as over a vent strip. `framed` are openings as they were before a frame was laid round
    them. `treated` is framing with a preservative, `near_salt` says what air there is.
    """

    id: str
    type: str
    outline: Ring
    openings: tuple[Opening, ...]
    members: tuple[Member, ...]
    backing: int | None
    mirrored: bool
    view_sent: bool
    pointer: str
    slope: Slope | None = None
    shim: int = 0
    ends_free: bool = False
    taken: Region = ()
    edges: tuple[Edge, ...] = ()
    known: tuple[Edge, ...] = ()
    flatness: Flatness | None = None
    sides: tuple[Edge, ...] = ()
    hidden: Region = ()
    spanned: Region = ()
    framed: tuple[Opening, ...] = ()
    treated: bool = False
    near_salt: bool = False

    def turned_round(self, direction: Fraction) -> bool:
        """Whether stations across a layer run against those of the request's own drawing.

        So they do where it was drawn in plan and the layer runs in `direction` 90 (facing): then
        low and high there lie the other way (0.3).
        """
        return self.mirrored and direction % 180 == 90

    def facing(self, direction: Fraction) -> Fraction:
        """A direction of the request as seen facing the finished side, 0 up to 180 degrees.

        And back: mirrored twice, it is the request's own.
        """
        return (180 - direction if self.mirrored else direction) % 180

    def true_station(self, across: tuple[float, float], at: int) -> int:
        """A station `at` across a level plan, along the unit vector `across`, in true size."""
        if self.slope is None:
            return at
        x, y = stretch_point((whole(across[0] * at), whole(across[1] * at)), self.slope)
        return whole(x * across[0] + y * across[1])

    @once
    def parts(self) -> Region:
        """What of the outline is there to be laid on, openings and all: bays, where beams part it.

        Its edges are walls to what is laid, wherever they are.
        """
        whole = (Polygon(self.outline),)
        return without_needles(difference(whole, self.taken)) if self.taken else whole

    def less(self, area: Region, edges: Sequence[Edge] = ()) -> Surface:
        """The surface as it is there for what is laid when `area` was taken away.

        `edges` are what there is to say of the edges of the area.
        """
        if not area:
            return self
        left = replace(self, taken=union([self.taken, area]), edges=(*self.edges, *edges))
        cut = (opening.left_in(left.parts) for opening in self.openings)
        return replace(left, openings=tuple(one for one in cut if one is not None))

    def spanning(self, area: Region) -> Surface:
        """The surface whose trim runs on over an `area` that was taken of it."""
        return replace(self, spanned=union([self.spanned, area]))

    def cased(self, frames: Sequence[Opening]) -> Surface:
        """The surface with frames round openings: to what is laid after they are holes too."""
        if not frames:
            return self
        cased, framed = ({one.id: one for one in some} for some in (frames, self.framed))
        own = tuple(cased.get(one.id, one) for one in self.openings)
        bare = (one for one in self.openings if one.id in cased and one.id not in framed)
        return replace(self, openings=own, framed=(*self.framed, *bare))

    @once
    def bare_openings(self) -> tuple[Opening, ...]:
        """The openings as they are behind the frames that were laid round them."""
        bare = {one.id: one for one in self.framed}
        return tuple(bare.get(one.id, one) for one in self.openings)

    def under(self, area: Region) -> Surface:
        """The surface with finished work over an `area` of it."""
        return replace(self, hidden=union([self.hidden, area])) if area else self

    @once
    def clear(self) -> Region:
        """What of the parts is in view once all that is laid is finished: clear bays (17.5)."""
        seen = union([self.parts, self.spanned]) if self.spanned else self.parts
        return without_needles(difference(seen, self.hidden)) if self.hidden else seen

    @once
    def gross(self) -> int:
        """Twice the area of the parts."""
        return twice_area(self.parts)

    @once
    def drawn_openings(self) -> Region:
        """The union of the openings as drawn, inside the parts."""
        holes = union(opening.drawn for opening in self.openings)
        return intersection(holes, self.parts) if holes else ()

    @once
    def net(self) -> int:
        """Twice the area of the parts less the openings as drawn."""
        return self.gross - twice_area(self.drawn_openings)

    @property
    def perimeter(self) -> int:
        """Length of all edges of the parts, to the nearest tick."""
        return sum(around(ring) for part in self.parts for ring in part.rings)

    @once
    def regions(self) -> Region:
        """What a layer may be laid on: the connected parts that the openings as cut leave.

        In a fixed order, by which they are numbered from 1 on.
        """
        return in_order(difference(self.parts, union(one.cut for one in self.openings)))

    def less_openings_at_edges(self, inset: Region) -> Region:
        """`inset` without the openings that reach an edge: they are notches of it (1.1)."""
        return difference(inset, union(one.cut for one in self.openings if one.crosses_edge))
