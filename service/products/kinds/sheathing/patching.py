"""Patches of sheets that are up: from which line to which, and what is left round them (21.4).

All in stations. A line is cut half a gap off on either side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.geometry.plane import difference
from service.geometry.rings import Line, Polygon, Region, bounds, rectangle
from service.layout.pieces_up import Opened, Span, Up
from service.products.kinds.sheathing.records import LaidSheets
from service.units.ticks import down, up


@dataclass(frozen=True, slots=True)
class Patch:
    """What is cut out of a sheet: along it from `low` to `high`, across it from `near` to `far`.

    None is a side at which the sheet is not cut, but goes to its own end or seam.
    """

    low: int | None
    high: int | None
    near: int | None
    far: int | None

    def box(self, out: Region, apart: tuple[int, int]) -> Region:
        """Its box within that of `out`, its cut sides so far further low and further high."""
        ends, (back, on) = bounds(out), apart
        low, near = (end if at is None else at + back
                     for at, end in ((self.low, ends[0]), (self.near, ends[2])))  # fmt: skip
        high, far = (end if at is None else at + on
                     for at, end in ((self.high, ends[1]), (self.far, ends[3])))  # fmt: skip
        return (Polygon(rectangle(low, near, high, far)),)


def opened_at(changed: Region, after: LaidSheets) -> Opened:
    """From where to where a sheet is opened, so that its patch is no shorter than a piece may be.

    Its ends are off the corners of what changes (5.5).
    """
    low, high, *_ = bounds(changed)
    rules = after.task.rules
    off = rules.joint_from_corner
    short = max(0, rules.panel_min_piece - (high - low) - 2 * off)
    return Opened(low - short // 2, high + short // 2, off)


def patch_of(up_there: Up, changed: Region, spans: Sequence[Span], after: LaidSheets) -> Patch:
    """The patch of a sheet of which so much stays along it, at its row's full width or less."""
    first = [b for _, b in spans if b < up_there.high]
    last = [a for a, _ in spans if a > up_there.low]
    near, far = _across(up_there, changed, after) if is_on_blocks(after) else (None, None)
    return Patch(min(first, default=None), max(last, default=None), near, far)


def is_on_blocks(after: LaidSheets) -> bool:
    """Whether patches have edges on blocks."""
    return after.task.rules.patches == "blocks"


def _across(up_there: Up, changed: Region, after: LaidSheets) -> tuple[int | None, int | None]:
    """Where a patch is cut lengthwise: off the corners, where enough of the sheet stays (11.3).

    Not where members run with the sheets: its long edges are on them.
    """
    if after.detail.along_framing:
        return None, None
    rules, row = after.task.rules, after.detail.laid.course(up_there.course)
    least, off, step = rules.min_strip, rules.joint_from_corner, rules.cut_to
    *_, low, high = bounds(changed)
    short = max(0, least - (high - low) - 2 * off) // 2
    near, far = down(low - off - short, step), up(high + off + short, step)
    return (
        near if near - row.low >= least else None,
        far if row.high - far >= least else None,
    )


def stays_round(patch: Patch, shape: Region, gap: int) -> Region:
    """What is left of a sheet: all but the patch and half a gap on each side that is cut."""
    return difference(shape, patch.box(shape, (-(gap // 2), gap - gap // 2)))


def kept_clear(patch: Patch, shape: Region, gap: int) -> Region:
    """The gap round the patch, where its sides are cut."""
    hole = patch.box(shape, (-(gap // 2), gap - gap // 2))
    return difference(hole, patch.box(shape, (gap - gap // 2, -(gap // 2))))


def edges_on_blocks(patch: Patch, up_there: Up, after: LaidSheets) -> list[Line]:
    """The cut sides of a patch that no member carries, in the surface's coordinates."""
    row, back = after.detail.laid.course(up_there.course), after.detail.frame.back
    low = up_there.low if patch.low is None else patch.low
    high = up_there.high if patch.high is None else patch.high
    near = row.low if patch.near is None else patch.near
    far = row.high if patch.far is None else patch.far
    along = [((low, at), (high, at)) for at in (patch.near, patch.far) if at is not None]
    ends = [((at, near), (at, far)) for at in (patch.low, patch.high) if at is not None]
    lines = along + (ends if after.detail.along_framing else [])
    return [(back(start), back(end)) for start, end in lines]
