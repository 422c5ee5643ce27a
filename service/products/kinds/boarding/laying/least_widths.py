"""How narrow a rip, and a leg beside a hole, may be: the rules, and what the groove needs."""

from __future__ import annotations

from service.layout.runs import Course
from service.products.goods.board.board import Board
from service.products.kinds.boarding.rulings import Task
from service.units.ticks import INCH

BESIDE_GROOVE = INCH // 2
"""Wood that must stand behind a groove, or its lips break off (3.9, 5.2)."""


def groove_floor(board: Board) -> int:
    """The narrowest strip that can hold the board's groove, 0 for a board without one (ticks)."""
    return board.grooved + BESIDE_GROOVE if board.grooved else 0


def least_rip(task: Task, board: Board) -> int:
    """The narrowest rip: `min_rip`, and never less than the groove needs (3.9)."""
    asked: int = task.rules.min_rip
    return max(asked, groove_floor(board))


def least_legs(task: Task, board: Board, course: Course) -> tuple[int, int]:
    """The narrowest legs of a course on its low and high side: more where its groove is (5.2)."""
    plain: int = task.rules.min_leg
    grooved = plain if course.rip in ("start", "both") else max(plain, groove_floor(board))
    return (grooved, plain) if course.starts_low else (plain, grooved)
