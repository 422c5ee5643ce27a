"""Trim that is up where a change lays it otherwise: what stays of it (21.4)."""

from __future__ import annotations

from dataclasses import replace

from service.products.kinds.trim.records import LaidTrim, PlacedTrim
from service.products.kinds.trim.recutting import recut
from service.products.standing import OpenedUp, Opening, kept_whole


def open_up(placed: PlacedTrim, after: LaidTrim, opening: Opening) -> OpenedUp:
    """A length stays if it lies as before, from corner to corner, with both ends cut as before.

    Of one whose wall became shorter the pieces at the ends that moved are taken off, cut and put
    back. Any other is made anew: what is pulled off a wall is seldom fit to be hung elsewhere.
    """
    lengths = zip(placed.laid.detail.lengths, placed.trim_lengths, strict=True)
    was = {one.known_by: row.pieces for one, row in lengths}
    now = {one.known_by for one in after.detail.lengths}
    found = kept_whole(was, now, opening.up, after.task.pointer)
    cut = dict(recut(placed, after, opening, found.standing.kept))
    kept = found.standing.kept | cut.keys()
    return replace(
        found,
        standing=replace(found.standing, kept=kept),
        stays=(*found.stays, *(stay for stays in cut.values() for stay in stays)),
        complete=now <= kept,
    )
