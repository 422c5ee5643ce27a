"""On which side courses start, and what goes on round a corner of walls (3.10, 3.16)."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final, Literal

from service.errors import Fault, TradeRefused
from service.geometry.ends import NEARLY_ALONG
from service.geometry.frame import frame_of
from service.products.goods.board.board import Board
from service.products.kinds.boarding.laying.direction import direction_of
from service.products.kinds.boarding.laying.least_widths import least_rip
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.ways import WholeAt

SEEN: Final[Mapping[str | None, WholeAt]] = {
    "outside_lapping": "outside corner",
    "outside_butting": "outside corner",
    "outside_mitred": "outside corner",
    "overhang": "rim",
}
"""Edges at which the first course is seen, and lies whole where it can."""


def is_reversed(task: Task) -> bool:
    """Whether mirroring turned the stations across the boards round."""
    return task.surface.turned_round(Fraction(task.layer.direction))


def starts_at_low_side(task: Task) -> bool:
    """Whether course 1 lies on the low side, facing the finished side."""
    turned, seen = is_reversed(task), seen_side(task)
    usual: Literal["low", "high"] = "low"
    if seen is not None:
        usual = "low" if (seen[0] == "low") != turned else "high"
    return (task.rules.start_side(usual) == "low") != turned


def seen_side(task: Task) -> tuple[Literal["low", "high"], WholeAt] | None:
    """The side across the boards that alone is seen: an outside corner, or a rim (3.16, 3.17).

    None where there is no such edge along the boards, or one on either side.
    """
    if not any(edge.what in SEEN for edge in task.surface.edges):
        return None
    frame = frame_of(task.surface.outline, direction_of(task))
    extent = max(frame.to(corner)[1] for corner in task.surface.outline)
    found: dict[Literal["low", "high"], WholeAt] = {}
    for edge in task.surface.edges:
        if edge.what in SEEN:
            a, b = frame.to(edge.start), frame.to(edge.end)
            if abs(b[1] - a[1]) < NEARLY_ALONG * abs(b[0] - a[0]):
                found["low" if a[1] + b[1] < extent else "high"] = SEEN[edge.what]
    return found.popitem() if len(found) == 1 else None


def rest_of(task: Task, board: Board) -> int | None:
    """The first course where it goes on round a corner: 0 for a new board; None where it does not.

    A rest too narrow to be laid is none. Refused where nothing of the product was laid there.
    """
    beside = task.layer.wrap_corner
    if beside is None:
        return None
    place = beside, task.product.id
    if place not in task.ground.rests:
        text = (
            f"nothing of {task.product.id} is laid before on a surface {beside}: courses go on "
            "round a corner from a surface that stands before in the request"
        )
        at = f"{task.pointer}/wrap_corner"
        raise TradeRefused(Fault("no-corner-before", text, at, rule="3.16"))
    rest = (task.ground.rests[place] or 0) - task.rules.kerf
    return rest if rest >= least_rip(task, board) else 0
