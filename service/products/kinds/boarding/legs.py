"""Legs beside cut-outs: the sides at which they are nailed, and what is behind them (18.4)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import hypot

from service.geometry.plane import difference, union
from service.geometry.rings import Line, Point, Polygon
from service.layout.blocks import FROM_END
from service.layout.framing import Framing
from service.layout.runs import NOTHING, Cutout
from service.products.backing import Backer, backer
from service.products.framed_openings import carrying, cut_behind, framed
from service.products.kinds.boarding.findings.borne_ends import is_counted
from service.products.kinds.boarding.findings.hanging_ends import faces_at
from service.products.kinds.boarding.records import BoardPiece, Boards, LaidBoards
from service.units.ticks import INCH, SIXTY_FOURTH

NARROW_LEG = 2 * INCH
"""A leg under this splits off at the side of its hole unless it is fastened there."""


@dataclass(frozen=True, slots=True)
class LegNail:
    """A face fastener of a leg at one side of its hole: how far off a member, and if one bears it.

    `at` and `across` are its stations, `below` says that the leg lies below the hole and `first`
    that the side is the hole's low one. `off` is measured along the boards; None where they run
    with the members.
    """

    cutout: Cutout
    at: int
    across: int
    below: bool
    first: bool
    off: int | None
    borne: bool

    @property
    def leg(self) -> int:
        """How wide the leg is."""
        return self.cutout.legs[0 if self.below else 1]


def leg_nails(layer: LaidBoards, piece: BoardPiece) -> Iterator[LegNail]:
    """One at each side of a hole at which a leg is narrow, or off the members.

    A step of the outline has one side: its other is the end of the run. Boards that run with the
    members are fastened all along, so that only narrow legs have one more.
    """
    boards: Boards = layer.detail
    for cutout in piece.run.cutouts:
        for leg, middle, below in _legs(boards, cutout):
            for at, first in _sides(piece, cutout):
                off = _off(boards, at, middle)
                borne = off is None or off <= layer.task.rules.hanging_end
                if leg < NARROW_LEG or not borne:
                    yield LegNail(cutout, at, middle, below, first, off, borne)


def _legs(boards: Boards, cutout: Cutout) -> Iterator[tuple[int, int, bool]]:
    """The legs beside a hole, the station of their middles, and whether they lie below it."""
    course = boards.laid.course(cutout.course)
    below, above = cutout.legs
    if below:
        yield below, course.low + below // 2, True
    if above:
        yield above, course.high - above // 2, False


def _sides(piece: BoardPiece, cutout: Cutout) -> Iterator[tuple[int, bool]]:
    """The sides of a hole within a piece, its low one first, but those that end its run."""
    run, cut = piece.run, piece.cut
    if cutout.low > run.low + NOTHING and cut.low < cutout.low < cut.high:
        yield cutout.low, True
    if cutout.high < run.high - NOTHING and cut.low < cutout.high < cut.high:
        yield cutout.high, False


def _off(boards: Boards, at: int, across: int) -> int | None:
    """How far from there along the boards the nearest member lies; None where they cross none."""
    faces = faces_at(boards.bearings, across)
    return min((max(0, low - at, at - high) for low, high in faces), default=None)


def bare(layer: LaidBoards, nails: Iterable[LegNail]) -> list[LegNail]:
    """Those that neither a member, a panel, the frame of an opening nor the framer's own backs."""
    task = layer.task
    on_members = task.ground.depth is None
    if task.ground.backing is not None or (task.rules.backing == "none" and on_members):
        return []
    found = [one for one in nails if not one.borne]
    framing = task.ground.framed if found and is_counted(task) else None
    if framing is None:
        return found
    return [one for one in found if not _is_framed(layer, framing, one.cutout)]


def _is_framed(layer: LaidBoards, framing: Framing, cutout: Cutout) -> bool:
    """Whether backing frames the opening: boards end at it, or it crosses a member (5.7, 15.4)."""
    boards: Boards = layer.detail
    if not cutout.opening:
        return False
    own = [one for one in boards.laid.cutouts if one.opening == cutout.opening]
    names = boards.openings.get(cutout.opening, ())
    surface = layer.task.surface
    cuts = (cut_behind(surface, row) for row in layer.openings if row.opening in names)
    return any(one.effect == "cut_in_two" for one in own) or any(
        framing.crossed_by(framing.frame.bounds(tuple(map(Polygon, rings)))[:2]) for rings in cuts
    )


def frames_behind(layer: LaidBoards) -> list[Line]:
    """What is counted round openings and fixtures behind a panel, in the surface's coordinates.

    A leg beside such an opening is nailed through the panel into that (5.7). None without a panel.
    """
    task = layer.task
    counted = task.ground.frames(counted=task.rules.backing == "count")
    framing = task.ground.framed if counted else None
    if framing is None:
        return []
    cuts = ((cut_behind(task.surface, row), False) for row in layer.openings if row.courses)
    found = (
        *framed(framing, cuts, task.rules.opening_nailer),
        *carrying(framing, task.surface.bare_openings),
    )
    return [(one.start, one.end) for one in found]


def framed_legs(
    layer: LaidBoards, nails: Sequence[LegNail], lines: Sequence[Line]
) -> list[LegNail]:
    """Those of the nails that no member bears, but one of the `lines` behind a panel."""
    return [
        one
        for one in nails
        if (one.off is None or not one.borne)
        and any(_is_over(layer.frame.back((one.at, one.across)), line, one.leg) for line in lines)
    ]


def _is_over(at: Point, line: Line, leg: int) -> bool:
    """Whether a leg so wide, with its middle there, lies on a line along the side of its hole."""
    (a, b), (c, d) = line
    long = (c - a) ** 2 + (d - b) ** 2
    along = ((at[0] - a) * (c - a) + (at[1] - b) * (d - b)) / long if long else 0.0
    share = min(max(along, 0.0), 1.0)
    off = hypot(at[0] - a - share * (c - a), at[1] - b - share * (d - b))
    return off <= leg / 2 + SIXTY_FOURTH


def leg_blocks(layer: LaidBoards, nails: Iterable[LegNail]) -> dict[LegNail, Backer]:
    """The block of the clear bay that carries each of these nails, where backing is counted.

    It lies clear of the hole, with its middle under the leg, and is no nearer to one on the other
    side of the hole than blocks are merged. None where it would pass through another opening.
    """
    task, nails = layer.task, list(nails)
    framing = task.ground.framed if nails and is_counted(task) else None
    if framing is None:
        return {}
    room = difference(framing.outline, framing.frame.region(
        union(one.cut for one in task.surface.openings)))  # fmt: skip
    found = {}
    for one in nails:
        u, v = framing.frame.to(layer.frame.back(_stands(layer, one)))
        spans = framing.across(room, v)
        for low, high in framing.bays_over((u - NOTHING, u + NOTHING), v):
            if any(a <= low + SIXTY_FOURTH and b >= high - SIXTY_FOURTH for a, b in spans):
                found[one] = backer(framing, (low, v), (high, v), "block", "leg")
    return found


def _stands(layer: LaidBoards, nail: LegNail) -> tuple[int, int]:
    """A place under the middle of a block, in stations: clear of the hole, beside the nail."""
    boards: Boards = layer.detail
    cutout, course = nail.cutout, boards.laid.course(nail.cutout.course)
    apart = layer.task.rules.merge_blocks + SIXTY_FOURTH
    if boards.on_rows:
        off = max(FROM_END, -(-(apart - cutout.high + cutout.low) // 2))
        return nail.at + (-off if nail.first else off), nail.across
    below, above = cutout.legs
    hole = course.high - course.low - below - above
    off = max(FROM_END, (below if nail.below else above) // 2)
    off = max(off, -(-(apart - hole) // 2)) if below and above else off
    return nail.at, course.low + below - off if nail.below else course.high - above + off
