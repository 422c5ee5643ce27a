"""Rows of sheets with their joints: the pieces they leave, what is said, what they offer."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from service.geometry.plane import clip_to_boxes, difference
from service.geometry.rings import Line, Region, twice_area
from service.geometry.strips import refined
from service.layout.panel_runs import Joints, spans
from service.layout.runs import Run
from service.products.goods.sheet.needs import SheetJoints
from service.products.ground import Offered
from service.products.kinds.sheathing.corner import left_of
from service.products.kinds.sheathing.findings import say_what_was_laid
from service.products.kinds.sheathing.holding import check_held
from service.products.kinds.sheathing.pattern import say_of_pattern
from service.products.kinds.sheathing.records import LaidSheets, SheetPiece, Sheets
from service.products.kinds.sheathing.refusing import nothing_left
from service.products.kinds.sheathing.rulings import Task, is_backed
from service.products.remarks import Remarks


def settle(layer: LaidSheets, chosen: SheetJoints, said: Remarks) -> LaidSheets:
    """The layer with joints that were chosen for all layers of its product (11.5, 19.2)."""
    sheets = layer.detail
    arrangement = sheets.rules.settled(chosen)
    return in_pieces(layer, replace(sheets, joints=arrangement.joints, rules=arrangement), said)


def in_pieces(layer: LaidSheets, sheets: Sheets, said: Remarks) -> LaidSheets:
    """The layer in the pieces that the joints of its `sheets` leave; raises TradeRefused."""
    task = layer.task
    pieces = _pieces(task, sheets)
    if not pieces:
        raise nothing_left(task, "the openings leave nothing to cover: check their sizes")
    sheets = replace(sheets, pieces=pieces)
    check_held(task, sheets, said)
    say_what_was_laid(task, sheets, said)
    say_of_pattern(task, sheets, said)
    installed = sum(twice_area(piece.shape) for piece in pieces)
    return replace(
        layer,
        areas=replace(layer.areas, installed=installed),
        detail=sheets,
        offered=Offered(
            task.product.thickness,
            carries=True,
            frames=is_backed(task),
            joints=_joint_lines(sheets),
            rest=left_of(task, sheets.laid.courses, begun=sheets.begun),
        ),
    )


def _pieces(task: Task, sheets: Sheets) -> tuple[SheetPiece, ...]:
    found: list[SheetPiece] = []
    parts: Counter[int] = Counter()
    for k, (run, joints) in enumerate(zip(sheets.laid.runs, sheets.joints, strict=True)):
        apart = True
        number = 0
        for low, high, sawn in _cut_up(run, joints, sheets.gap):
            shape = difference(sawn, sheets.openings)
            if not shape:
                apart = True
                continue
            if apart:
                parts[run.course] += 1
                apart, number = False, 0
            number += 1
            name = f"{task.at}.{run.course}.{parts[run.course]}"
            found.append(SheetPiece(f"{name}.{number}", name, k, low, high, sawn, shape))
    return tuple(found)


def _cut_up(run: Run, joints: Joints, gap: int) -> list[tuple[int, int, Region]]:
    """The pieces of a run before openings are cut: from, to and shape."""
    sides = spans(run.low, run.high, joints, gap)
    _, _, near, far = run.polygon.box
    whole = refined((run.polygon,), sorted({at for side in sides for at in side}), axis=0)
    parts = clip_to_boxes(whole, [(a, b, near, far) for a, b in sides])
    return [(low, high, part) for (low, high), part in zip(sides, parts, strict=True)]


def _joint_lines(sheets: Sheets) -> tuple[Line, ...]:
    """End joints and seams between rows, in the surface's coordinates."""
    back = sheets.frame.back
    found: list[Line] = []
    found += [(back((at, near)), back((at, far))) for at, near, far in sheets.ends(openings=False)]
    found += [
        (back((seam.low, seam.at)), back((seam.high, seam.at)))
        for seam in sheets.seams(openings=False)
    ]
    return tuple(found)
