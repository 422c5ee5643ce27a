"""What should be said of laid sheets: trimming, lost length, bare edges, seams near corners."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.errors import Cure, Finding, Ticks
from service.geometry.plane import intersection, union
from service.geometry.rings import Point, bounds, twice_area
from service.layout.panels import usual_spacing
from service.products.kinds.sheathing.records import Sheets
from service.products.kinds.sheathing.row_seams import RowSeam
from service.products.kinds.sheathing.rulings import Task
from service.products.remarks import Remarks
from service.units.ticks import INCH
from service.units.writing import both, total_length

MOST_TRIMMED = 3 * INCH // 8
"""More than this cut off a sheet is a cut that the layout asks for, not drift."""


TRODDEN = frozenset({"floor", "deck"})
"""Surfaces that are walked on while they are built."""


@dataclass(frozen=True, slots=True)
class Trimmed:
    """A sheet that loses `by` at its ends, of which `walls` are at walls."""

    by: int
    walls: int


def say_what_was_laid(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Enter the findings of one laid layer."""
    _joints_near_corners(task, sheets, said)
    _drift(task, sheets, said)
    _lost_length(task, sheets, said)
    _narrow_strip(task, sheets, said)
    _bare_edges(task, sheets, said)
    _seams_near_corners(task, sheets, said)
    _blocks(task, sheets, said)
    _left_out(task, sheets, said)
    _covered_holes(task, sheets, said)


def _covered_holes(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Sheets of a floor lie whole over its openings until these are cut: a fall waits (5.7)."""
    if task.surface.type not in TRODDEN:
        return
    laid = union(piece.sawn for piece in sheets.pieces)
    for opening in task.surface.openings:
        if intersection(laid, sheets.frame.region(opening.drawn)):
            said.find(
                Finding(
                    "hole-covered",
                    f"{task.surface.id}.{opening.id}",
                    f"the sheets of {task.layer_id} cover this hole in the {task.surface.type}: "
                    "mark it, secure the sheet over it and guard it until it is framed",
                    rule="5.7",
                )
            )


def _joints_near_corners(task: Task, sheets: Sheets, said: Remarks) -> None:
    """End joints nearer to a corner of an opening than asked (5.5)."""
    near, limit = sheets.rules.arranged.near, task.rules.joint_from_corner
    if near:
        said.find(
            Finding(
                "joint-near-corner",
                task.at,
                f"{near} end joints lie nearer than {both(limit)} to a corner of an opening: "
                "no other joints keep the stagger",
                rule="5.5",
                limit=limit,
            )
        )


def _drift(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Sheets that lose a little so that their ends meet on members, or for the walls' gap (11.2).

    Full-size sheets grow past the members by a gap each; sheets made for gaps need only half that
    gap at a wall.
    """
    trimmed = _trimmed(sheets, _longest(task, sheets))
    wall, half = task.rules.panel_wall_gap(task.product), sheets.gap // 2
    narrower = wall - max((-(-one.by // max(1, one.walls)) for one in trimmed), default=0)
    if trimmed and all(one.walls for one in trimmed) and narrower >= half:
        _say_trimmed(
            task, trimmed, said, wall,
            f"for the gap of {both(wall)} at walls: with {both(narrower)} there they stay whole",
            Cure(f"{task.pointer}/rules/panel_wall_gap", Ticks(narrower)),
        )  # fmt: skip
        return
    grown = [one for one in trimmed if one.walls < 2]
    if grown:
        length, gap = _longest(task, sheets), sheets.gap
        number = [stock.length for stock in task.product.stock].index(length)
        over = min((one.by for one in grown if not one.walls), default=gap)
        _say_trimmed(
            task, grown, said, gap,
            f"so that their ends meet on members with a gap of {both(gap)}: sheets {both(over)} "
            "shorter need no trimming, with half that gap at the walls",
            Cure(f"{task.product_pointer}/stock/{number}/length", Ticks(length - over)),
        )  # fmt: skip


def _longest(task: Task, sheets: Sheets) -> int:
    """The shortest sheet that holds the longest piece."""
    piece = max(piece.high - piece.low for piece in sheets.pieces)
    lengths: list[int] = [stock.length for stock in task.product.stock]
    return min(length for length in lengths if length >= piece)


def _trimmed(sheets: Sheets, full: int) -> list[Trimmed]:
    """Square pieces a little shorter than a sheet; blocks are put where whole sheets end."""
    if sheets.along_framing:
        return []
    found = []
    for piece in sheets.pieces:
        low, high, near, far = bounds(piece.sawn)
        by, run = full - (high - low), sheets.run(piece)
        square = twice_area(piece.sawn) == 2 * (high - low) * (far - near)
        if square and 0 < by <= MOST_TRIMMED:
            found.append(Trimmed(by, (piece.low == run.low) + (piece.high == run.high)))
    return found


def _say_trimmed(
    task: Task, trimmed: list[Trimmed], said: Remarks, limit: int, why: str, cure: Cure
) -> None:
    most = max(one.by for one in trimmed)
    sheets = "1 sheet is" if len(trimmed) == 1 else f"{len(trimmed)} sheets are"
    text = f"{sheets} trimmed by up to {both(most)} {why}"
    said.find(
        Finding("sheets-trimmed", task.at, text, rule="11.2", measure=most, limit=limit, cure=cure)
    )


def _lost_length(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Members at a spacing that does not divide the sheet lose part of each (11.3)."""
    if sheets.along_framing or not any(sheets.joints):
        return
    full = _longest(task, sheets) + sheets.gap
    spacing = usual_spacing(sheets.lines[0])
    lost = full % spacing if spacing else 0
    if lost > INCH:
        said.find(
            Finding(
                "sheet-length-lost",
                task.at,
                f"members {both(spacing)} apart do not divide a sheet of "
                f"{both(full - sheets.gap)}: its last member stands {both(full - lost)} along and "
                f"{both(lost)} of each jointed sheet is cut off",
                rule="11.3",
                measure=lost,
            )
        )


def _narrow_strip(task: Task, sheets: Sheets, said: Remarks) -> None:
    """A row narrower than wanted, because its seam lies on a member (11.4)."""
    rows, least = sheets.laid.courses, task.rules.min_strip
    narrow = min(rows, key=lambda row: row.face)
    if len(rows) > 1 and narrow.face < least:
        said.find(
            Finding(
                "strip-narrow",
                task.at,
                f"row {narrow.number} is {both(narrow.face)} wide, under {both(least)}: no other "
                "member lets its seam move",
                rule="11.4",
                measure=narrow.face,
                limit=least,
            )
        )


def _bare_edges(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Long edges that nothing carries (11.8)."""
    length = unsupported(sheets)
    if length and sheets.edges == "open":
        said.find(
            Finding(
                "edges-unsupported",
                task.at,
                f"{total_length(length, task.unit)} of unsupported seams between rows: block them, "
                "or use a sheet with a tongue or clips, where the instruction asks for it",
                rule="11.8",
                measure=length,
                cure=Cure(f"{task.pointer}/edges", "blocked", sure=True),
            )
        )


def unsupported(sheets: Sheets) -> int:
    """Length of seams between rows that no member carries; seams on members count nothing."""
    if sheets.along_framing:
        return 0
    return sum(seam.high - seam.low for seam in sheets.seams(openings=True))


def _seams_near_corners(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Seams between rows that meet the corner of an opening (5.5)."""
    near = task.rules.joint_from_corner
    corners = [corner for polygon in sheets.framed for corner in polygon.outer]
    seams = sheets.seams(openings=False)
    away = _least(seams, corners, near)
    if away is None or away >= near:
        return
    rows = sheets.laid.courses
    sides = min(row.low for row in rows) + max(row.high for row in rows)
    turned = _least([replace(seam, at=sides - seam.at) for seam in seams], corners, near)
    better = turned is not None and turned >= near
    cure = Cure(f"{task.pointer}/start_side", _other(task)) if better else None
    behind = "cut one sheet round it" if sheets.along_framing else "put a block behind"
    text = "start the rows on the other side" if cure else behind
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


def _least(seams: list[RowSeam], corners: list[Point], near: int) -> int | None:
    """The least distance of a seam from a corner that it passes; None if it passes none."""
    return min(
        (
            abs(seam.at - v)
            for seam in seams
            for u, v in corners
            if seam.low - near < u < seam.high + near
        ),
        default=None,
    )


def _other(task: Task) -> str:
    return "low" if task.layer.start_side == "high" else "high"


def _blocks(task: Task, sheets: Sheets, said: Remarks) -> None:
    """Ends that meet between members need a block behind (11.1, 15.5)."""
    ground = task.ground
    bare = ground.depth is None and ground.backing is None
    counted = bare and task.rules.backing == "count"
    if sheets.rules.blocks and not counted:
        said.find(
            Finding(
                "blocks-needed",
                task.at,
                f"{sheets.rules.blocks} end joints of sheets that run with the members need a row "
                "of blocks each, as long as the clear bays; they are not in the order",
                rule="15.5",
            )
        )


def _left_out(task: Task, sheets: Sheets, said: Remarks) -> None:
    for polygon in sheets.laid.dropped:
        low, high, near, _ = polygon.box
        said.find(
            Finding(
                "part-left-out",
                task.at,
                f"a part {both(high - low)} long at the mark {both(low)}, {both(near)} across is "
                "too short for a sheet: it is left bare",
                rule="4.4",
                measure=high - low,
                limit=task.rules.min_run,
            )
        )
