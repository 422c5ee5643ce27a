"""The nailing pattern of boards: as asked, or by their profile and width (18.3)."""

from __future__ import annotations

from typing import Final

from service.errors import Cure, Fault, Finding, Relaxed, Ticks, TradeRefused
from service.fastening.boards import Pattern
from service.products.goods.board.board import Board
from service.products.kinds.boarding.records import LaidBoards
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.units.writing import both

BLIND: Final = frozenset({"blind", "blind_face"})
"""Patterns that hide a fastener in the tongue."""

EDGED: Final = BLIND | {"clip"}
"""Patterns that hold a board by its edges: in one of them a fastener, in the other a board."""


def pattern_of(layer: LaidBoards, said: Remarks) -> Pattern:
    """The nailing pattern: as asked, or by profile and width (18.3)."""
    task, board = layer.task, layer.detail.board
    limit = task.rules.blind_up_to
    plain: Pattern = "deck_face" if task.surface.type == "deck" else "face"
    plain = "lap" if board.lapped else plain
    if board.has_tongue:
        plain = "blind" if board.coverage <= limit else "blind_face"
    pattern = task.rules.pattern(plain)
    at = f"{task.pointer}/fastening/pattern"
    _suits(pattern, board, at)
    if pattern == "blind" and board.coverage > limit:
        _wide(task, said, at, board.coverage, limit)
    if pattern in ("face", "glue_pin") and board.lapped:
        _through_lap(task, said, at)
    return pattern


def _suits(pattern: Pattern, board: Board, at: str) -> None:
    """Refuse a pattern that the board's edges do not allow."""
    if pattern in BLIND and not board.has_tongue:
        code, text = "no-tongue", "blind nails need a tongue, which this profile has not"
    elif pattern == "lap" and not board.lapped:
        code, text = "no-lap", "only lapped boards are nailed as such: these lie side by side"
    else:
        return
    plain: Pattern = "lap" if board.lapped else "face"
    raise TradeRefused(Fault(code, text, at, cure=Cure(at, plain), rule="18.3"))


def _through_lap(task: Task, said: Remarks, at: str) -> None:
    """Several nails across a lapped board go through the one beneath too, and split both."""
    said.find(
        Finding(
            "lap-nailed-through",
            task.at,
            "lapped boards nailed by their width are nailed through the board beneath: neither can "
            "move, and they split; one nail clear of it holds",
            rule="18.3",
            cure=Cure(at, "lap"),
        )
    )


def _wide(task: Task, said: Remarks, at: str, coverage: int, limit: int) -> None:
    """Blind nails alone in a wide board: refused, or said if the caller relaxes."""
    text = f"boards over {both(limit)} wide are not held by blind nails alone"
    if not task.relax:
        raise TradeRefused(
            Fault(
                "blind-too-wide",
                text,
                at,
                cure=Cure(at, "blind_face"),
                rule="18.3",
                measure=coverage,
                limit=limit,
            )
        )
    said.relaxed.append(Relaxed("18.3", "blind_up_to", Ticks(limit), Ticks(coverage), (task.at,)))
    said.find(Finding("blind-too-wide", task.at, text, rule="18.3", measure=coverage, limit=limit))
