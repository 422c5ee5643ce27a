"""What stays up and lies over what is made anew behind it: it is loosened first (21.4)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.changes.rows import ChangedPieceRow
from service.geometry.frame import Frame
from service.geometry.plane import difference, intersection, union, without_slivers
from service.geometry.rings import Polygon, Region, rectangle, twice_signed
from service.products.rows import PieceRow
from service.takeoff.pipeline import Takeoff
from service.units.ticks import INCH

Place = tuple[str, str]
"""A surface and a layer."""


def loosened(
    before: Takeoff, work: Takeoff, pieces: Sequence[ChangedPieceRow]
) -> Mapping[Place, Sequence[ChangedPieceRow]]:
    """Pieces that stay up over new ones of layers behind them, by surface and layer."""
    if not any(row.is_up for row in pieces):
        return {}
    frames = {
        (one.task.surface.id, one.task.layer_id): one.frame for one in (*work.laid, *before.laid)
    }
    patched = {
        (one.task.surface.id, one.task.layer_id): one.task.standing.over
        for one in work.laid
        if one.task.standing is not None and one.task.standing.over
    }
    own: dict[Place, list[ChangedPieceRow]] = {}
    for row in pieces:
        own.setdefault((row.surface, row.layer), []).append(row)
    found: dict[Place, Sequence[ChangedPieceRow]] = {}
    behind: dict[str, Region] = {}
    for place, rows in own.items():
        new = behind.get(place[0], ())
        stays = [row for row in rows
                 if row.is_up and row.do in ("keep", "recut") and not row.put_back]  # fmt: skip
        over = [row for row in stays if new and _lies_over(row, new, frames[place])]
        if over:
            found[place] = over
        if any(row.is_up for row in rows):
            made = [_covered(row.as_is, frames[place]) for row in rows
                    if row.do == "add" and row.as_is is not None]  # fmt: skip
            fresh = union(made)
            if place in patched:  # a roll is as wide as it is, and its patch is cut of that
                fresh = intersection(fresh, patched[place])
            behind[place[0]] = union([new, fresh])
    return found


def _lies_over(row: ChangedPieceRow, new: Region, frame: Frame) -> bool:
    """Whether more of a piece than an edge lies over what is new."""
    if row.as_is is None:
        return False
    return bool(without_slivers(intersection(_covered(row.as_is, frame), new), INCH // 2))


def _covered(row: PieceRow, frame: Frame) -> Region:
    """What a piece covers of its surface."""
    outer = tuple(Polygon(ring) for ring in row.rings if twice_signed(ring) > 0)
    holes = tuple(Polygon(ring[::-1]) for ring in row.rings if twice_signed(ring) < 0)
    if not outer:
        near, far = sorted((row.near, row.far))
        outer = (Polygon(rectangle(row.low, near, row.high, far)),)
    return frame.region_back(difference(outer, holes) if holes else outer)
