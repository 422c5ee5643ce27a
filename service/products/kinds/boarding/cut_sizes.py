"""Sizes of what is sawn beside the ends, written on the drawing: rips of pieces, and notches."""

from __future__ import annotations

from collections.abc import Iterator

from service.geometry.rings import Point, Ring, rectangle
from service.products.drawing import Callout, length_text, width_text
from service.products.kinds.boarding.records import PlacedBoards
from service.products.rows import CutoutRow, PieceRow
from service.units.ticks import INCH

_WHOLE = INCH // 8
"""A notch that ends no farther than this short of its piece is a rip of it."""


def callouts(placed: PlacedBoards, unit: str) -> Iterator[Callout]:
    """Of each piece that is narrower than its course its width, and the size of each notch."""
    courses = {row.course: row for row in placed.laid.courses}
    for row in placed.detail.rows:
        course = courses[row.course]
        if not course.end_widths and _is_narrow(row, abs(course.far - course.near)):
            yield _rip(placed, row, unit)
        for cutout in row.cutouts:
            if _is_notch(placed, row, cutout):
                yield _notch(placed, row, cutout, unit)


def _is_narrow(row: PieceRow, width: int) -> bool:
    return abs(row.far - row.near) < width


def _is_notch(placed: PlacedBoards, row: PieceRow, cutout: CutoutRow) -> bool:
    """A notch for a part of the length: one for all of it is a rip, one of a round hole scribed."""
    is_rip = row.cut - (cutout.high - cutout.low) < _WHOLE
    named = set(cutout.openings)
    rounds = [one for one in placed.laid.task.surface.openings if one.id in named and one.diameter]
    return cutout.effect == "notch" and not is_rip and not rounds


def _rip(placed: PlacedBoards, row: PieceRow, unit: str) -> Callout:
    """Its width as ripped, under the number of its course where all of that is ripped alike."""
    near, far = sorted((row.near, row.far))
    ring = _back(placed, rectangle(row.low, near, row.high, far))
    text = f"rip to {width_text(far - near, unit)}"
    others = (one for one in placed.detail.rows if one.course == row.course)
    alike = all((one.near, one.far) == (row.near, row.far) for one in others)
    return Callout(_middle(ring), ring, text, f"{_named(row, alike)}: {text}")


def _named(row: PieceRow, alike: bool) -> str:
    return f"no. {row.course}" if alike else row.label


def _notch(placed: PlacedBoards, row: PieceRow, cutout: CutoutRow, unit: str) -> Callout:
    """How far it reaches in and its length along the board, in its opening and close to it."""
    near, far = sorted((cutout.near, cutout.far))
    ring = _back(placed, rectangle(cutout.low, near, cutout.high, far))
    openings = placed.laid.task.surface.openings
    rings = [one.drawn[0].outer for one in openings if one.id in cutout.openings and one.drawn]
    along = length_text(cutout.high - cutout.low, unit)
    text = f"notch {width_text(far - near, unit)} x {along}"
    whence = f" at {', '.join(cutout.openings)}" if cutout.openings else ""
    listed = f"{row.label}: {text}{whence}"
    return Callout(_middle(ring), rings[0] if rings else ring, text, listed, close=True)


def _back(placed: PlacedBoards, ring: Ring) -> Ring:
    return placed.laid.detail.frame.ring_back(ring)


def _middle(ring: Ring) -> Point:
    """The middle of a rectangle, however it lies."""
    (x0, y0), _, (x1, y1), _ = ring
    return (x0 + x1) // 2, (y0 + y1) // 2
