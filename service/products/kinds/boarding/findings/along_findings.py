"""What should be said of boards that run with the framing: what alone holds them (6.2, 15.2)."""

from __future__ import annotations

from itertools import pairwise

from service.errors import Finding
from service.layout.blocks import block_rows
from service.products.kinds.boarding.records import Boards
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.units.writing import both, counted


def say_along(task: Task, said: Remarks, boards: Boards) -> None:
    """That a panel alone carries them, or rows of blocks alone do; nothing where members do."""
    if boards.along_framing:
        said.find(_on_panel(task, boards))
    elif boards.on_rows:
        said.find(_on_blocks(task, boards))


def _on_panel(task: Task, boards: Boards) -> Finding:
    """Boards along the framing hang on the panel alone: always said (6.2, 15.2)."""
    spacing = task.rules.block_spacing
    rows = len(block_rows(boards.extent, spacing))
    mend = f"about {rows} rows of blocks or straps at {both(spacing)} would be the stronger cure"
    if boards.rows:
        mend = f"only at the {rows} rows of blocks do they hold in wood"
    return Finding(
        "held-by-panel",
        task.at,
        f"the boards run with the framing: their fasteners hold in the backing's thickness "
        f"only, and the bite asked for in framing is not met. Use ring shanks or screws and "
        f"follow the product's printed instruction; {mend}",
        rule="6.2",
    )


def _on_blocks(task: Task, boards: Boards) -> Finding:
    """Rows of blocks are all that bears the boards: set before them (15.2)."""
    rows = boards.rows
    apart = max((b - a for a, b in pairwise(rows)), default=0)
    ends = "the first and the last lie against the ends"
    if task.rules.plates:
        ends = "plates stand in the place of the first and the last"
    return Finding(
        "held-by-blocks",
        task.at,
        f"the boards run with the framing and are fastened to {counted(len(rows), 'rows')} of "
        f"blocks alone, at most {both(apart)} apart on centre; {ends}. Set them before the boards, "
        "which meet on the middle of a row alone; whether blocks are enough is for the designer",
        rule="15.2",
        measure=apart,
        limit=task.rules.block_spacing,
    )
