"""Rows that go on round a corner of walls with what the last sheet left (12.4).

The offcut keeps the far edge of its sheet, which goes to the next row; the edge that was sawn is
hidden in the corner, and only there a bead is broken.
"""

from __future__ import annotations

from collections.abc import Sequence

from service.errors import Cure, Fault, Finding, TradeRefused
from service.layout.runs import Course
from service.products.goods.sheet.needs import Edge
from service.products.goods.sheet.sizing import sizing_of
from service.products.kinds.sheathing.rulings import Task
from service.products.remarks import Remarks
from service.units.writing import both


def offcut_before(task: Task) -> int | None:
    """What the offcut covers that may start the first row, 0 where there is none.

    None where the rows do not go on round a corner. Refused where nothing of the product was laid
    there, and of sheets that do not show: their seams go by members.
    """
    beside = task.layer.wrap_corner
    if beside is None:
        return None
    at = f"{task.pointer}/wrap_corner"
    if not task.product.shows:
        text = (
            "only rows of sheets that show, with `beads` or a `lap`, go on round a corner: offcuts "
            "of others are shared by all walls as they are"
        )
        raise TradeRefused(Fault("wrap-needs-panelling", text, at, Cure(at, None), "12.4"))
    place = beside, task.product.id
    if place not in task.ground.rests:
        text = (
            f"nothing of {task.product.id} is laid before on a surface {beside}: rows go on round "
            "a corner from a surface that stands before in the request"
        )
        raise TradeRefused(Fault("no-corner-before", text, at, rule="12.4"))
    left = task.ground.rests[place] or 0
    return max(0, left - task.rules.kerf - (task.product.lap or 0))


def left_of(task: Task, rows: Sequence[Course], *, begun: bool) -> int | None:
    """What the last row leaves of the width of its sheet; None where it is whole.

    An offcut that is all of a row leaves nothing more.
    """
    last = rows[-1]
    if not task.product.shows or kept_edge(last, begun=begun) != "near":
        return None
    return task.product.width - sizing_of(task).of_row(last.face, laps=False)


def kept_edge(row: Course, *, begun: bool = False) -> Edge | None:
    """Which mill edge pieces of a ripped row keep; a single row `begun` with an offcut the far."""
    if row.rip == "none" or not (row.first or row.last):
        return None
    return "near" if row.last and not (row.first and begun) else "far"


def say_of_corner(
    task: Task, first: Course, offcut: int | None, said: Remarks, *, begun: bool
) -> None:
    """Enter from which wall the first row starts, or why it does not."""
    beside = task.layer.wrap_corner
    if beside is None or not offcut:
        return
    if begun:
        code = "corner-wrapped"
        text = (
            f"row {first.number} starts with the offcut of the last row of {beside}: mark it when "
            f"that is ripped, rip it to {both(first.face)} on the face, and lay its mill edge "
            "towards the next row; the sawn edge goes into the corner"
        )
    else:
        code = "corner-not-wrapped"
        text = (
            f"the rows of {beside} do not go on round the corner: with the offcut of its last "
            f"sheet, {both(offcut)} on the face, a row would be narrower than `min_strip`"
        )
    said.find(Finding(code, task.at, text, rule="12.4", measure=first.face if begun else offcut))
