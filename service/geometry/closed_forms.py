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
    return (clean_polygon(clean(whole.outer), holes),)


def narrowed(region: Region, taken: Region) -> Region | None:
    """A rectangle less a strip all along its near or far side, clear of its holes; else None."""
    (whole, *others), (strip, *more) = region, taken
    if others or more or not strip.is_box or not Polygon(whole.outer).is_plain:
        return None
    low, high, near, far = whole.box
    left, right, below, above = strip.box
    if not (left <= low and high <= right) or (below > near) == (above < far):
        return None
    kept = (low, high, near, below) if below > near else (low, high, above, far)
    if not all(strictly_within(Polygon(hole).box, kept) for hole in whole.holes):
        return None
    outer = rectangle(low, kept[2], high, kept[3])
    return (Polygon(outer, whole.holes).tidy,)


def are_apart_in(region: Region, box: Box) -> bool:
    """Whether the parts of a region are convex, lie in a box and touch no box of each other."""
    inside = all(within(one.box, box) and one.cleaned.is_convex for one in region)
    return inside and not touching([one.box for one in region])
