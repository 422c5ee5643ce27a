"""What should be said of sheets that show: whether beads run on over their seams (12.1)."""

from __future__ import annotations

from service.errors import Cure, Finding, Ticks
from service.products.kinds.sheathing.records import Sheets
from service.products.kinds.sheathing.rulings import Task
from service.products.remarks import Remarks
from service.units.ticks import INCH, SIXTY_FOURTH
from service.units.writing import both, counted

WIDEST_SEAM = INCH // 4
"""A gap up to this makes good what a sheet is narrower than whole beads."""


def say_of_pattern(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Enter that beads do not run on, where nothing covers the seams."""
    beads, seams = task.product.beads, len(sheets.laid.courses) - 1
    covered = task.layer.strips is not None and task.layer.strips.seams is not None
    if beads is None or covered or seams < 1:
        return
    gap = 0 if task.product.lap else task.rules.panel_gap(task.product)
    short = -(task.product.cover + gap) % beads.pitch
    if min(short, beads.pitch - short) > SIXTY_FOURTH:
        wider = gap + short
        cure = None
        if task.product.lap is None and wider <= WIDEST_SEAM:
            cure = Cure(f"{task.pointer}/rules/panel_gap", Ticks(wider))
        said.find(_broken(task, seams, beads.pitch - short, cure))


def _broken(task: Task, seams: int, left: int, cure: Cure | None) -> Finding:
    """The beads that a sheet covers, and what is left over at each seam."""
    assert task.product.beads is not None
    pitch = task.product.beads.pitch
    way = (
        f"leave {both(cure.value)} between the sheets"
        if cure is not None and isinstance(cure.value, int)
        else "cover the seams (`strips`), or take sheets of whole beads"
    )
    return Finding(
        "beads-broken",
        task.at,
        f"the pattern does not run on over {counted(seams, 'seams')}: a sheet with its gap covers "
        f"{both(left)} more than whole beads {both(pitch)} apart: {way}",
        rule="12.1",
        measure=left,
        cure=cure,
    )
