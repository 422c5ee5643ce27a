"""Set operations that need no library: their closed forms, where shapes are plain and apart."""

from __future__ import annotations

from service.geometry.rings import (
    Box,
    Polygon,
    Region,
    clean,
    clean_polygon,
    rectangle,
    strictly_within,
    touching,
    within,
)
from service.units.once import told


def pierced(region: Region, taken: Region) -> Region | None:
    """A rectangle with convex holes that touch neither it nor each other; None where it is not."""
    whole = region[0]
    if len(region) > 1 or not whole.is_plain:
        return None
    if not all(strictly_within(one.box, whole.box) and one.cleaned.is_convex for one in taken):
        return None
    if touching([one.box for one in taken]):
        return None
    holes = tuple(sorted(one.cleaned.outer[::-1] for one in taken))
    return (told(clean_polygon(clean(whole.outer), holes), is_pierced=True),)


def narrowed(region: Region, taken: Region) -> Region | None:
    """A rectangle less strips all along its sides, clear of its holes; None where it is not."""
    (whole, *others) = region
    if others or not Polygon(whole.outer).is_plain:
        return None
    kept: Box | None = whole.box
    for strip in taken:
        kept = None if kept is None else _less(kept, strip)
    if kept is None or not all(strictly_within(Polygon(hole).box, kept) for hole in whole.holes):
        return None
    low, high, near, far = kept
    made = whole.tidy
    outer = rectangle(low, near, high, far)
    return (told(clean_polygon(outer, made.holes), is_pierced=made.is_pierced),)


def _less(box: Box, strip: Polygon) -> Box | None:
    """A box less a strip all along its near or far side, beyond which it leaves something."""
    low, high, near, far = box
    left, right, below, above = strip.box
    if not strip.is_box or left > low or right < high or (below > near) == (above < far):
        return None
    return (low, high, near, below) if below > near else (low, high, above, far)


def are_apart_in(region: Region, box: Box) -> bool:
    """Whether the parts of a region are convex, lie in a box and touch no box of each other."""
    inside = all(within(one.box, box) and one.cleaned.is_convex for one in region)
    return inside and not touching([one.box for one in region])
