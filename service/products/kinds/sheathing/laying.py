"""Sheets on a surface: direction, rows and end joints.

Rows are jointed at what the layer's sheets would cost by themselves; where other layers take the
same sheets, all of them are then jointed together with the stock.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from math import atan2, degrees

from service.errors import Cure, Fault, TradeRefused
from service.geometry.frame import Frame, frame_of
from service.geometry.holes import holes_of
from service.geometry.plane import difference, union, without_needles
from service.geometry.rings import Region, bounds, twice_area
from service.layout.bearings import Bearing, bearings_of, lines_of
from service.layout.panelling import Module, Seats, panelled, panelled_on
from service.layout.rows import rows_by_members, rows_by_width
from service.layout.runs import Course, lay_runs
from service.products.ground import Offered
from service.products.kinds.sheathing.arranging import Openings, arranged
from service.products.kinds.sheathing.corner import offcut_before, say_of_corner
from service.products.kinds.sheathing.records import LaidSheets, Sheets
from service.products.kinds.sheathing.refusing import check_edges, nothing_left
from service.products.kinds.sheathing.row_seams import midway
from service.products.kinds.sheathing.rulings import Task, margins_of
from service.products.kinds.sheathing.settling import in_pieces
from service.products.laid_rows import CourseRow
from service.products.layer import Areas, LaidLayer
from service.products.opening_rows import opening_rows
from service.products.remarks import Remarks
from service.units.writing import both


def lay(task: Task, said: Remarks) -> LaidSheets:
    """Lay the sheets of one layer; raises TradeRefused where no rows or no joints will do."""
    check_edges(task)
    inset = margins_of(task).inset(task.surface.parts)
    if not inset:
        text = "the gaps at the walls leave nothing to cover: lower `panel_wall_gap`"
        raise nothing_left(task, text)
    direction = direction_of(task)
    frame = frame_of(task.surface.outline, direction)
    region = frame.region(inset)
    sheets = _sheets(task, frame, region, direction, said)
    in_rows = LaidLayer(
        task=task,
        direction=direction,
        frame=frame,
        areas=Areas(0, twice_area(difference(_left(task, frame, region), sheets.openings))),
        openings=opening_rows(task, frame, sheets.holes, region, sheets.laid.courses),
        courses=tuple(_row(task, row, begun=sheets.begun) for row in sheets.laid.courses),
        alternatives=(),
        detail=sheets,
        offered=Offered(),
    )
    return in_pieces(in_rows, sheets, said)


def _left(task: Task, frame: Frame, region: Region) -> Region:
    """What of the region is to be laid: all of it, but for what is up already."""
    if task.standing is None:
        return region
    return without_needles(difference(region, frame.region(task.standing.area)))


def _sheets(task: Task, frame: Frame, region: Region, direction: Fraction, said: Remarks) -> Sheets:
    """Rows, joints and pieces over the region."""
    openings = task.surface.openings
    bearings = bearings_of(task.ground.bearings, frame)
    members = () if bearings else _seats(task, frame)
    seats = Seats(tuple(one.base for one in members), _room(task, members))
    offcut = offcut_before(task)
    begun = _rows_on(task, region, direction, seats, offcut) if offcut else None
    rows = begun or _rows(task, region, direction, seats)
    say_of_corner(task, rows[0], offcut, said, begun=begun is not None)
    added = _unborne(task, rows, seats) if members else frozenset()
    laid = lay_runs(_left(task, frame, region), rows, (), task.rules.min_run)
    if not laid.runs:
        raise nothing_left(task, "no part is long enough to cover")
    cut = frame.region(union(opening.cut for opening in openings))
    framed = frame.region(union(one.cut for one in openings if not one.diameter))
    corners = tuple(point for polygon in framed for point in polygon.outer)
    lines = tuple(lines_of(bearings, (row.middle for row in rows)))
    arrangement = arranged(task, laid, lines, bearings, Openings(cut, corners), said)
    # Upright sheets of a wall end on its plates.
    upright = task.surface.type == "wall" and not bearings
    edges = task.rules.edges("blocked" if upright or task.product.shows else "open")
    return Sheets(
        frame=frame,
        laid=laid,
        bearings=bearings,
        lines=lines,
        seats=tuple(sorted({*seats.stations, *added})),
        added=added,
        joints=arrangement.joints,
        pieces=(),
        openings=cut,
        framed=framed,
        holes=tuple((one.openings, frame.region(one.cut)) for one in holes_of(openings, 0)),
        gap=task.rules.panel_gap(task.product),
        edges=edges,
        rules=arrangement,
        begun=begun is not None,
    )


def direction_of(task: Task) -> Fraction:
    """The sheets' direction facing the finished side: as sent, or across the members."""
    sent = task.layer.direction
    if sent is not None:
        asked = Fraction(sent) % 180
        task.rules.note_direction(asked)
        return task.surface.facing(asked)
    if task.product.shows and task.surface.type == "wall":
        task.rules.note_direction(Fraction(90), "12.1")
        return task.surface.facing(Fraction(90))
    member = task.ground.bearings[0] if task.ground.bearings else None
    if member is None:
        return Fraction(0)
    across = Fraction(round(degrees(atan2(member.b, member.a)) * 10**6), 10**6) % 180
    task.rules.note_direction(across)
    return across


def _seats(task: Task, frame: Frame) -> tuple[Bearing, ...]:
    """Members that run with the sheets, as they lie across them."""
    found = bearings_of(task.ground.bearings, frame_across(frame))
    if any(abs(one.slant) > 1e-6 for one in found):  # pragma: no cover - bearings would cross
        return ()
    return found


def frame_across(frame: Frame) -> Frame:
    """The frame in which what runs with the sheets lies across them."""
    return Frame(frame.across, frame.along, frame.base, frame.origin[::-1])


def _room(task: Task, members: Sequence[Bearing]) -> int:
    """How far off a member's centre two sheets may meet and both still bear on it (12.3)."""
    rules, half = task.rules, min((one.seated for one in members), default=0)
    gap = rules.panel_gap(task.product)
    return max(0, half - (gap + 1) // 2 - rules.panel_end_bearing)


def _unborne(task: Task, rows: Sequence[Course], seats: Seats) -> frozenset[int]:
    """Seams of sheets that show which no member bears: each is to have one of its own (12.3)."""
    if not task.product.shows:
        return frozenset()
    seams = (midway(*pair) for pair in pairwise(rows))
    return frozenset(at for at in seams if not seats.bears(at))


def _rows(task: Task, region: Region, direction: Fraction, seats: Seats) -> tuple[Course, ...]:
    """Rows across the region: by the sheet's width, or with their seams on members."""
    _, _, low, high = bounds(region)
    width, gap = task.product.width, task.rules.panel_gap(task.product)
    starts_low = _starts_low(task, direction)
    least = task.rules.min_strip
    if task.product.shows:
        return panelled(low, high, _module(task), seats if seats.stations else None, starts_low)
    if not seats.stations:
        return rows_by_width(low, high, width, gap, least, starts_low)
    rows = rows_by_members(low, high, width, gap, seats.stations, least, starts_low)
    if rows is None:
        at = f"{task.pointer}/direction"
        sent = task.layer.direction
        assert sent is not None, "sheets run with the members only where they were sent so"
        turned = float((sent + 90) % 180)
        raise TradeRefused(
            Fault(
                "seam-on-no-member",
                f"sheets {both(width)} wide that run with the members find none to meet on: turn "
                "them across the members",
                at,
                cure=Cure(at, turned),
                rule="11.1",
                measure=width,
            )
        )
    return rows


def _rows_on(
    task: Task, region: Region, direction: Fraction, seats: Seats, offcut: int
) -> tuple[Course, ...] | None:
    """Rows that start with an offcut; None where one would be too narrow (12.4)."""
    _, _, low, high = bounds(region)
    own = seats if seats.stations else None
    return panelled_on(low, high, _module(task), own, _starts_low(task, direction), offcut)


def _starts_low(task: Task, direction: Fraction) -> bool:
    """Whether row 1 lies on the low side, facing the finished side."""
    return (task.rules.start_side == "low") != task.surface.turned_round(direction)


def _module(task: Task) -> Module:
    """What the sheets of a panelling have in common; those that lap have no gap between rows."""
    product = task.product
    return Module(
        width=product.width,
        cover=product.cover,
        gap=0 if product.lap else task.rules.panel_gap(product),
        pitch=product.beads.pitch if product.beads else 0,
        least=task.rules.min_strip,
    )


def _row(task: Task, row: Course, *, begun: bool) -> CourseRow:
    near, far = row.from_start(row.low, row.high)
    ripped = row.rip != "none"
    return CourseRow(
        surface=task.surface.id,
        layer=task.layer_id,
        course=row.number,
        near=near,
        far=far,
        width=row.face,
        rip=("near" if row.first and not row.last else "far") if ripped else "none",
        tongue="none",
        note=_note(task, row, begun) if ripped else "",
    )


def _note(task: Task, row: Course, begun: bool) -> str:
    """What is said of a ripped row."""
    if begun and row.first:
        return f"ripped from the offcut of the last row of {task.layer.wrap_corner}"
    return "ripped"
