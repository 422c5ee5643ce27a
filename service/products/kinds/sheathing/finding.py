"""What should be said of laid sheets: trimming, lost length, bare edges, seams near corners."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.errors import Cure, Finding, Ticks
from service.layout.panels import usual_spacing
from service.products.kind import Said, Task
from service.units.ticks import INCH
from service.units.writing import both

if TYPE_CHECKING:
    from service.products.kinds.sheathing.laying import Sheets

MOST_TRIMMED = 3 * INCH // 8
"""More than this cut off a sheet is a cut that the layout asks for, not drift."""


def say_what_was_laid(task: Task, sheets: Sheets, said: Said) -> None:
    """Enter the findings of one laid layer."""
    _drift(task, sheets, said)
    _lost_length(task, sheets, said)
    _bare_edges(task, sheets, said)
    _seams_near_corners(task, sheets, said)
    _blocks(task, sheets, said)
    _left_out(task, sheets, said)


def _drift(task: Task, sheets: Sheets, said: Said) -> None:
    """Full-size sheets grow past the members by a gap each: they are trimmed (11.2)."""
    full = max(stock.length for stock in task.product.stock)
    trimmed = [
        full - (piece.high - piece.low)
        for piece in sheets.pieces
        if 0 < full - (piece.high - piece.low) <= MOST_TRIMMED
    ]
    if trimmed:
        gap = sheets.gap
        said.find(
            Finding(
                "sheets-trimmed",
                task.at,
                f"{len(trimmed)} sheets are trimmed by up to {both(max(trimmed))} so that their "
                f"ends meet on members with a gap of {both(gap)}: sheets made {both(gap)} short "
                f"need no trimming, with half that gap at the walls",
                rule="11.2",
                measure=max(trimmed),
                limit=gap,
                cure=Cure(f"{task.pointer}/rules/panel_wall_gap", Ticks(gap // 2)),
            )
        )


def _lost_length(task: Task, sheets: Sheets, said: Said) -> None:
    """Members at a spacing that does not divide the sheet lose part of each (11.3)."""
    if sheets.along_framing or not any(sheets.joints):
        return
    full = max(stock.length for stock in task.product.stock) + sheets.gap
    spacing = usual_spacing(sheets.lines[0])
    lost = full % spacing if spacing else 0
    if lost > INCH:
        said.find(
            Finding(
                "sheet-length-lost",
                task.at,
                f"members {both(spacing)} apart do not divide a sheet: its last member stands "
                f"{both(full - lost)} along and {both(lost)} of each jointed sheet is cut off",
                rule="11.3",
                measure=lost,
            )
        )


def _bare_edges(task: Task, sheets: Sheets, said: Said) -> None:
    """Long edges that nothing carries (11.8)."""
    length = unsupported(sheets)
    if length and sheets.edges == "open":
        said.find(
            Finding(
                "edges-unsupported",
                task.at,
                f"{both(length)} of seams between rows have nothing behind but the members they "
                "cross: block "
                "them, or use a sheet with a tongue or clips, where the instruction asks for it",
                rule="11.8",
                measure=length,
                cure=Cure(f"{task.pointer}/edges", "blocked"),
            )
        )


def unsupported(sheets: Sheets) -> int:
    """Length of seams between rows that no member carries; seams on members count nothing."""
    if sheets.along_framing:
        return 0
    last = len(sheets.laid.courses)
    return sum(run.high - run.low for run in sheets.laid.runs if run.course < last)


def _seams_near_corners(task: Task, sheets: Sheets, said: Said) -> None:
    """Seams between rows that meet the corner of an opening (5.5)."""
    near = task.rules.get("joint_from_corner")
    rows = sheets.laid.courses
    seams = [row.high if row.starts_low else row.low for row in rows[:-1]]
    sides = min(row.low for row in rows) + max(row.high for row in rows)
    edges = [edge for polygon in sheets.openings for edge in polygon.box[2:]]
    away = _least(seams, edges)
    if away is None or away >= near:
        return
    turned = _least([sides - at for at in seams], edges)
    cure = Cure(f"{task.pointer}/start_side", _other(task)) if turned and turned >= near else None
    text = "start the rows on the other side" if cure else "put a block behind"
    said.find(
        Finding(
            "seam-near-corner",
            task.at,
            f"a seam between rows lies {both(away)} from a corner of an opening, nearer than "
            f"{both(near)}: {text}",
            rule="5.5",
            measure=away,
            limit=near,
            cure=cure,
        )
    )


def _least(seams: list[int], edges: list[int]) -> int | None:
    """The least distance of a seam from an edge of an opening, None without either."""
    return min((abs(at - edge) for at in seams for edge in edges), default=None)


def _other(task: Task) -> str:
    return "low" if task.layer.start_side == "high" else "high"


def _blocks(task: Task, sheets: Sheets, said: Said) -> None:
    """Ends that meet between members need a block behind (11.1, 15.5)."""
    if sheets.rules.blocks:
        said.find(
            Finding(
                "blocks-needed",
                task.at,
                f"{sheets.rules.blocks} end joints of sheets that run with the members need a row "
                "of blocks each, as long as the clear bays; they are not in the order",
                rule="15.5",
            )
        )


def _left_out(task: Task, sheets: Sheets, said: Said) -> None:
    for polygon in sheets.laid.dropped:
        low, high, near, _ = polygon.box
        said.find(
            Finding(
                "part-left-out",
                task.at,
                f"a part {both(high - low)} long at station {both(low)}, {both(near)} across is "
                "too short for a sheet: it is left bare",
                rule="4.4",
                measure=high - low,
                limit=task.rules.get("min_run"),
            )
        )
