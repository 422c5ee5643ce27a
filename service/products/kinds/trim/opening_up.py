"""Trim that is up where a change lays it otherwise: what stays of it (21.4)."""

from __future__ import annotations

from service.products.kinds.trim.records import LaidTrim, PlacedTrim
from service.products.standing import OpenedUp, Opening, kept_whole


def open_up(placed: PlacedTrim, after: LaidTrim, opening: Opening) -> OpenedUp:
    """A length stays if it lies as before, from corner to corner, with both ends cut as before.

    Any other is taken off and made anew: what is pulled off a wall is seldom fit to be hung again.
    """
    lengths = zip(placed.laid.detail.lengths, placed.trim_lengths, strict=True)
    was = {one.known_by: row.pieces for one, row in lengths}
    now = {one.known_by for one in after.detail.lengths}
    return kept_whole(was, now, opening.up, after.task.pointer)
