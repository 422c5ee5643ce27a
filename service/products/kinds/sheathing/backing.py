"""What must stand behind sheets: at walls, round framed openings, under seams and ends (15)."""

from __future__ import annotations

from collections.abc import Iterator

from service.geometry.frame import Frame
from service.geometry.rings import Point
from service.layout.framing import Framing, framing_of
from service.products.backed_edges import walls_beside_members
from service.products.backing import Backer, blocks_under, merged, straight
from service.products.framed_openings import carrying, cut_behind, framed
from service.products.kinds.sheathing.records import LaidSheets, PlacedSheets, Sheets
from service.products.kinds.sheathing.rulings import is_backed, margins_of
from service.units.ticks import SIXTY_FOURTH


def back(placed: PlacedSheets) -> tuple[Backer, ...]:
    """Nailers, headers and blocks behind a layer of sheets; none unless they are counted.

    Sheets on a panel or on strapping have what they need.
    """
    layer = placed.laid
    task, rules = layer.task, layer.task.rules
    if not is_backed(task):
        return ()
    framing = framing_of(task.surface, task.ground.bearings)
    if framing is None:
        return ()
    found = [
        *walls_beside_members(framing, task.surface, margins_of(task), rules.edge_nailer),
        *framed(
            framing,
            ((cut_behind(task.surface, row), False) for row in layer.openings if row.courses),
            rules.opening_nailer,
        ),
        *carrying(framing, task.surface.bare_openings),
        *_edges(layer, framing),
        *_behind_patches(layer, framing),
    ]
    return merged(framing, found, rules.merge_blocks)


def _edges(layer: LaidSheets, framing: Framing) -> Iterator[Backer]:
    """Blocks under seams between rows where those are blocked (15.5), and under ends that meet."""
    sheets = layer.detail
    if sheets.along_framing:
        yield from _behind_seams(sheets)
        if sheets.rules.blocks:
            for at, near, far in sheets.ends(openings=True):
                yield from _under(framing, sheets.frame, (at, near), (at, far))
    elif sheets.edges == "blocked":
        for seam in sheets.seams(openings=True):
            low, high = (seam.low, seam.at), (seam.high, seam.at)
            yield from _under(framing, sheets.frame, low, high)


def _behind_patches(layer: LaidSheets, framing: Framing) -> Iterator[Backer]:
    """Blocks behind the edges of patches that no member carries (21.4)."""
    standing = layer.task.standing
    for start, end in standing.edges if standing is not None else ():
        (a, v), (b, _) = sorted(framing.frame.to(point) for point in (start, end))
        yield from blocks_under(framing, (a, b), v, "seam")


def _behind_seams(sheets: Sheets) -> Iterator[Backer]:
    """A nailer behind each seam of a panelling that no member bears (12.3)."""
    for seam in sheets.seams(openings=True) if sheets.added else ():
        at = sheets.middle(seam)
        if at in sheets.added:
            back = sheets.frame.back
            yield straight(back((seam.low, at)), back((seam.high, at)), "nailer", "seam")


def _under(framing: Framing, frame: Frame, first: Point, last: Point) -> Iterator[Backer]:
    """A block in each bay under a line of (u, v), if it runs square to the members."""
    (a, v), (b, w) = (framing.frame.to(frame.back(point)) for point in (first, last))
    if abs(v - w) <= SIXTY_FOURTH:
        yield from blocks_under(framing, (min(a, b), max(a, b)), v, "seam")
