"""What stays up and lies over what is made anew behind it: it is loosened first (21.4)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.changes.rows import ChangedPieceRow
from service.geometry.frame import Frame
from service.geometry.plane import difference, intersection, union, without_slivers
from service.geometry.rings import Polygon, Region, rectangle, twice_signed
from service.products.rows import PieceRow
from service.takeoff.pipeline import Takeoff
from service.units.ticks import INCH

Place = tuple[str, str]
"""A surface and a layer."""


@dataclass(frozen=True, slots=True)
class Loosened:
    """The pieces of a layer that are loosened, and the new work behind that they lie over.

    That is in the surface's coordinates, without what the layer itself has new there.
    """

    rows: Sequence[ChangedPieceRow]
    over: Region


def loosened(
    before: Takeoff, work: Takeoff, pieces: Sequence[ChangedPieceRow]
) -> Mapping[Place, Loosened]:
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
    found: dict[Place, Loosened] = {}
    behind: dict[str, Region] = {}
    for place, rows in own.items():
        new = behind.get(place[0], ())
        stays = [row for row in rows
                 if row.is_up and row.do in ("keep", "recut") and not row.put_back]  # fmt: skip
        over = [row for row in stays if new and _lies_over(row, new, frames[place])]
        fresh = _fresh(rows, frames[place], patched.get(place))
        if over:
            found[place] = Loosened(over, difference(new, fresh) if fresh else new)
        if any(row.is_up for row in rows):
            behind[place[0]] = union([new, fresh])
    return found


def _fresh(rows: Sequence[ChangedPieceRow], frame: Frame, patched: Region | None) -> Region:
    """What of a layer is new; a roll is as wide as it is, and its patches are cut of that."""
    made = union(_covered(row.as_is, frame) for row in rows
                 if row.do == "add" and row.as_is is not None)  # fmt: skip
    return made if patched is None else intersection(made, patched)


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
