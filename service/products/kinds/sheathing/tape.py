"""Tape over the seams of sheets, over their end joints and round openings as cut (13.5)."""

from __future__ import annotations

from fractions import Fraction

from service.products.goods.tape.spec import TapeProduct
from service.products.kinds.sheathing.records import LaidSheets, Sheets
from service.products.rows import ConsumableRow
from service.products.taping import round_openings, tape_rows


def taped(layer: LaidSheets) -> tuple[ConsumableRow, ...]:
    """The tape of one layer by place; none where no tape is named.

    A patch is taped to the sheets round it, and not round what it closes.
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
    if task.standing is not None:
        lengths["patches"] = task.surface.perimeter
    else:
        lengths["openings"] = round_openings(task, product.width)
    return tape_rows(task, product, lengths, Fraction(task.rules.tape_loss) / 100)
