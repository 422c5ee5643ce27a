"""The starter strip of lapped boards: a lath behind the first course, as long as that (3.15)."""

from __future__ import annotations

from collections.abc import Iterator

from service.errors import Fault, TradeRefused
from service.products.goods.lumber.spec import LumberProduct
from service.products.kinds.boarding.records import LaidBoards
from service.products.laths import Laths, Line, laths_of


def starter_of(layer: LaidBoards) -> Laths | None:
    """The strip of a layer that names a lumber for it; refused where its boards do not lap."""
    name = layer.task.layer.starter
    if name is None:
        return None
    if not layer.detail.board.lapped:
        text = "boards that do not lap start on no strip: leave `starter` out"
        raise TradeRefused(
            Fault("starter-needs-lapped", text, f"{layer.task.pointer}/starter", rule="3.15")
        )
    task = layer.task.taking(*layer.task.named(name, LumberProduct))
    laths = laths_of(task, "starter", _lines(layer, task.product.width))
    return Laths(task, laths) if laths else None


def _lines(layer: LaidBoards, width: int) -> Iterator[Line]:
    """One along the edge at which each run of a first course starts, on the side of its board."""
    laid = layer.detail.laid
    for run in laid.runs:
        course = laid.course(run.course)
        if course.first:
            low, high = run.polygon.box[2:]
            at = low + width // 2 if course.starts_low else high - width // 2
            yield Line(course.number, "along", at, run.low, run.high)
