"""Whether the members hold the sheets: every piece should touch two, and some must be there."""

from __future__ import annotations

from service.errors import Fault, Finding, TradeRefused
from service.geometry.rings import bounds
from service.products.kinds.sheathing.records import SheetPiece, Sheets
from service.products.kinds.sheathing.rulings import Task
from service.products.remarks import Remarks


def check_held(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Find the pieces that fewer than two members hold; refuse a layer that none holds (18.6)."""
    counts = [_members(task, sheets, piece) for piece in sheets.pieces]
    if not any(counts):
        raise _nothing_behind(task)
    unheld = sum(count < 2 for count in counts)
    if unheld:
        said.find(
            Finding(
                "piece-unheld",
                task.at,
                f"{unheld} of {len(counts)} pieces {'touches' if unheld == 1 else 'touch'} fewer "
                "than two members: give the ends backing",
                rule="11.1",
            )
        )


def _members(task: Task, sheets: Sheets, piece: SheetPiece) -> int:
    if not sheets.along_framing:
        touch = task.rules.min_touch
        return len(sheets.line(piece).touched(piece.low, piece.high, touch))
    _, _, near, far = bounds(piece.sawn)
    return sum(near - sheets.gap <= at <= far + sheets.gap for at in sheets.seats)


def _nothing_behind(task: Task) -> TradeRefused:
    # No cure: only the caller knows where the members are.
    return TradeRefused(
        Fault(
            "no-member-behind",
            "no member stands behind this surface: check the positions of its supports",
            f"{task.surface.pointer}/supports",
            rule="11.1",
        )
    )
