"""Tape over the seams of sheets, over their end joints and round openings as cut (13.5)."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from service.geometry.plane import difference
from service.geometry.rings import Region, reaches
from service.layout.runs import Run
from service.products.goods.tape.spec import TapeProduct
from service.products.kinds.sheathing.records import LaidSheets, Sheets
from service.products.rows import ConsumableRow
from service.products.taping import round_openings, tape_round, tape_rows
from service.units.ticks import SIXTY_FOURTH


def taped(layer: LaidSheets) -> tuple[ConsumableRow, ...]:
    """The tape of one layer by place; none where no tape is named.

    A patch is taped to the sheets round it, and round openings that are new, moved or resized, or
    that it goes round.
    """
    task = layer.task
    sheets: Sheets = layer.detail
    if task.layer.tape is None:
        return ()
    product, _ = task.named(task.layer.tape, TapeProduct)
    lengths = {
        "seams": sum(seam.high - seam.low for seam in sheets.seams(openings=True)),
        "end joints": sum(far - near for _, near, far in sheets.ends(openings=True)),
    }
    standing = task.standing
    if standing is not None:
        lengths["patches"] = _round_patches(sheets, sheets.frame.region(standing.area))
    rims = None if standing is None else standing.rims
    lengths["openings"] = round_openings(task, product.width, rims)
    return tape_rows(task, product, lengths, Fraction(task.rules.tape_loss) / 100)


def seal_again(layer: LaidSheets, rims: frozenset[str]) -> tuple[ConsumableRow, ...]:
    """The tape round some openings of a layer that is up, cut in place (13.5)."""
    task = layer.task
    return tape_round(task, task.layer.tape, rims, Fraction(task.rules.tape_loss) / 100)


def _round_patches(sheets: Sheets, up_there: Region) -> int:
    """How long the sides are at which what is laid meets sheets that are up."""
    return sum(
        max(0, min(b, d) - max(a, c))
        for run in sheets.laid.runs
        for axis, inside, outside in _sides(run, sheets.gap)
        for a, b in _reaches(difference((run.polygon,), sheets.openings), inside, axis)
        for c, d in _reaches(up_there, outside, axis)
    )


def _sides(run: Run, gap: int) -> Iterator[tuple[int, int, int]]:
    """The four sides of a patch: the axis, a line just within it, and one beyond the gap."""
    low, high, near, far = run.polygon.box
    for axis, first, last in ((0, low, high), (1, near, far)):
        yield axis, first + 1, first - gap - SIXTY_FOURTH
        yield axis, last - 1, last + gap + SIXTY_FOURTH


def _reaches(region: Region, at: int, axis: int) -> list[tuple[int, int]]:
    return [span for part in region for span in reaches(part, at, axis)]
