"""What of a convex polygon lies between levels: where no set operation is needed for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.geometry.rings import Box, Polygon, Region, clean, clean_polygon


def between_levels(polygon: Polygon, boxes: Sequence[Box]) -> list[Region] | None:
    """For each box what of a polygon lies in it, snapped as a set operation snaps it.

    None where that is not known so: the polygon is not stout, or a box ends beside it.
    """
    low, high, _, _ = polygon.box
    if not all(box[0] <= low and high <= box[1] for box in boxes) or not polygon.is_stout:
        return None
    found = list(_known(polygon, boxes))
    return found if len(found) == len(boxes) else None


def _known(polygon: Polygon, boxes: Sequence[Box]) -> Iterator[Region]:
    """The parts in the boxes, up to the first in which it is not known."""
    _, _, low, high = polygon.box
    for _, _, near, far in boxes:
        if near >= high or far <= low:
            yield ()
            continue
        ring = polygon.flanks.between(near, far)
        if ring is None:
            return
        yield (clean_polygon(clean(ring)),)
