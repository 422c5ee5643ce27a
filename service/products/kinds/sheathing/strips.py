"""Strips over the seams and the end joints of sheets that show: battens, and H-strips (12.2, 12.3).

They are lumber of the layer's own, cut as long as what they cover.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter

from service.products.goods.lumber.spec import LumberProduct
from service.products.kinds.sheathing.records import LaidSheets, Sheets
from service.products.laths import Laths, Line, laths_of
from service.units.ticks import SIXTY_FOURTH


def strips_of(layer: LaidSheets) -> Iterator[Laths]:
    """The strips over seams, then those along end joints; only where a lumber is named for them."""
    asked, sheets = layer.task.layer.strips, layer.detail
    if asked is None:
        return
    sorts = (("seam", asked.seams, _over_seams), ("end", asked.ends, _along_ends))
    for what, name, lines in sorts:
        if name is not None:
            task = layer.task.taking(*layer.task.named(name, LumberProduct))
            laths = laths_of(task, what, lines(sheets))
            if laths:
                yield Laths(task, laths)


def _over_seams(sheets: Sheets) -> Iterator[Line]:
    """One line for each inner seam, or what openings leave of it."""
    for seam in sheets.seams(openings=True):
        yield Line(seam.row, "along", sheets.middle(seam), seam.low, seam.high)


def _along_ends(sheets: Sheets) -> Iterator[Line]:
    """One line for each end joint, as far as the sheets reach there; over all rows where level."""
    lines = sorted(
        (at, near, far, run.course)
        for run, joints in zip(sheets.laid.runs, sheets.joints, strict=True)
        for at, near, far in sheets.ends_of(run, joints, openings=True)
    )
    for at, group in groupby(lines, key=itemgetter(0)):
        (_, low, high, course), *others = group
        for _, near, far, other in others:
            if near > high + sheets.gap + SIXTY_FOURTH:
                yield Line(course, "across", at, low, high)
                low, course = near, other
            high = max(high, far)
        yield Line(course, "across", at, low, high)
