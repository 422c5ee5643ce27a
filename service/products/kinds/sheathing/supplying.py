"""Stock for all layers of one sheet: parts nested into sheets, then rows, order and ledger."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from service.cutting.sheet_layouts import Measure, least_over, parts_of
from service.cutting.sheets import Nested, Part, Placed, SheetPlan, SheetStock, nest
from service.cutting.solve import EFFORTS
from service.errors import TradeRefused
from service.geometry.rings import bounds, twice_area
from service.products.costs import Planned, as_laid, plan_row
from service.products.kind import LaidLayer, Said, Settings, Supplied
from service.products.kinds.sheathing.counting import account_for, compare, order_of
from service.products.kinds.sheathing.sizing import sheets_of, sizing_of
from service.products.kinds.sheathing.wording import steps
from service.products.rows import JointRow, OrderRow, PieceRow, PlanRow, RunRow, SheetRow
from service.products.same_length import cheapest_first, rows_taken, saved
from service.products.stock import Objective, stock_short

if TYPE_CHECKING:
    from service.products.kinds.sheathing.arranging import Arrangement
    from service.products.kinds.sheathing.laying import Piece, Sheets


def supply(layers: Sequence[LaidLayer], settings: Settings, said: Said) -> Supplied:
    """Pieces, sheets, order and ledger of one sheet; raises TradeRefused where stock is short."""
    task = layers[0].task
    product, kerf = task.product, task.rules.get("kerf")
    stocks, objective = sheets_of(task, settings)
    parts = {(k, piece.id): _part(layer, piece) for k, layer in enumerate(layers)
             for piece in layer.detail.pieces}  # fmt: skip
    plan = nest(Counter(parts.values()), stocks, kerf, EFFORTS[settings.effort])
    if plan is None:
        raise _short(layers, parts.values(), stocks, kerf)
    plan = _cheapest_first(plan, stocks)
    rows, where = _sheets(layers, plan, stocks, parts)
    made = Supplied(product.id, tuple(layers))
    made.sheets = rows
    made.pieces = tuple(row for layer in layers for row in _pieces(layer, where))
    made.runs = tuple(row for layer in layers for row in _runs(layer, made.pieces))
    made.joints = tuple(row for layer in layers for row in _joints(layer))
    by_price, numbers = objective.measured_in == "money", [one.stock for one in plan.sheets]
    taken = rows_taken(task, numbers, stocks, by_price=by_price)
    made.order, extra = order_of(task, taken, said)
    made.plans = (_plan(layers, plan, stocks, objective, (made.order, extra)),)
    made.details = tuple(tuple(row for row in made.pieces if _of(row, layer)) for layer in layers)
    account_for(made, extra)
    made.compared = (compare(made),)
    return made


def _cheapest_first(plan: SheetPlan, stocks: Sequence[SheetStock]) -> SheetPlan:
    """Of sheets as long the cheapest are used up first."""
    before = [sheet.stock for sheet in plan.sheets]
    after = cheapest_first(before, stocks)
    sheets = (replace(sheet, stock=k) for sheet, k in zip(plan.sheets, after, strict=True))
    return replace(plan, sheets=tuple(sheets), cost=plan.cost - saved(before, after, stocks))


def _plan(
    layers: Sequence[LaidLayer],
    plan: SheetPlan,
    stocks: Sequence[SheetStock],
    objective: Objective,
    order: tuple[Sequence[OrderRow], Mapping[str, int]],
) -> PlanRow:
    """How good the plan is over every way of jointing the rows, and with the joints as laid.

    `order` is its lines, and what they hold beyond the plan.
    """
    task = layers[0].task
    laid: list[Arrangement] = [layer.detail.rules for layer in layers]
    ways = [way for own in laid for way in own.ways]
    longest = sum(way.last for way in ways)
    measure = Measure(parts_of(ways), stocks, task.rules.get("kerf"), longest)
    bound = min(plan.bound, least_over(ways, measure, sum(own.bare for own in laid)))
    planned = Planned(plan.cost, bound, plan.work, len(plan.sheets))
    row = plan_row(task, planned, objective, "sheets", *order)
    if bound == plan.bound:
        return row
    return as_laid(row, plan.bound, objective, task.unit, ("sheets", "joints"))


def _of(row: PieceRow, layer: LaidLayer) -> bool:
    return (row.surface, row.layer) == (layer.task.surface.id, layer.task.layer_id)


def _part(layer: LaidLayer, piece: Piece) -> Part:
    """What is cut from a sheet for a piece: the box round its shape."""
    low, high, near, far = bounds(piece.sawn)
    return sizing_of(layer.task).part(high - low, far - near)


def _sheets(
    layers: Sequence[LaidLayer],
    plan: SheetPlan,
    stocks: Sequence[SheetStock],
    parts: dict[tuple[int, str], Part],
) -> tuple[tuple[SheetRow, ...], dict[str, tuple[str, Part]]]:
    """Sheet rows, and the sheet and size of each piece."""
    task = layers[0].task
    waiting: dict[Part, deque[str]] = defaultdict(deque)
    for (_, name), part in parts.items():
        waiting[part].append(name)
    rows: list[SheetRow] = []
    where: dict[str, tuple[str, Part]] = {}
    for k, sheet in enumerate(plan.sheets):
        name = f"{task.product.id}-{k + 1}"
        ids = tuple(waiting[one.part].popleft() for one in sheet.placed)
        where |= {piece: (name, one.part) for piece, one in zip(ids, sheet.placed, strict=True)}
        rows.append(_sheet(name, layers, sheet, stocks[sheet.stock], ids))
    return tuple(rows), where


def _sheet(
    name: str, layers: Sequence[LaidLayer], sheet: Nested, stock: SheetStock, ids: tuple[str, ...]
) -> SheetRow:
    task = layers[0].task
    long, wide = task.rules.get("keep_offcut"), task.rules.get("min_strip")
    kept = tuple(box for box in sheet.rests if box[2] >= long and box[3] >= wide)
    return SheetRow(
        sheet=name,
        product=task.product.id,
        length=stock.length,
        width=stock.width,
        pieces=ids,
        boxes=tuple(_box(one) for one in sheet.placed),
        steps=steps(sheet, task.unit),
        kerf=sheet.kerf,
        kept=kept,
        waste=tuple(box for box in sheet.rests if box not in kept),
    )


def _box(one: Placed) -> tuple[int, int, int, int]:
    return one.at, one.across, one.part.length, one.part.width


def _pieces(layer: LaidLayer, where: dict[str, tuple[str, Part]]) -> list[PieceRow]:
    return [_piece(layer, piece, *where[piece.id]) for piece in layer.detail.pieces]


def _piece(layer: LaidLayer, piece: Piece, sheet: str, part: Part) -> PieceRow:
    sheets: Sheets = layer.detail
    task, run, row = layer.task, sheets.run(piece), sheets.row(piece)
    low, high, near, far = bounds(piece.sawn)
    box = 2 * (high - low) * (far - near)
    plain = twice_area(piece.shape) == box
    rings = () if plain else tuple(ring for polygon in piece.shape for ring in polygon.rings)
    touch = task.rules.get("min_touch")
    if not row.starts_low:
        near, far = far, near
    return PieceRow(
        id=piece.id,
        run=piece.run,
        surface=task.surface.id,
        layer=task.layer_id,
        product=task.product.id,
        course=run.course,
        near=near,
        far=far,
        low=piece.low,
        high=piece.high,
        cut=part.length,
        ends=("square", "square") if twice_area(piece.sawn) == box else ("shaped", "shaped"),
        rip="none" if part.width == task.product.width else "far",
        notches=sum(_bites(piece)),
        holes=sum(len(polygon.holes) for polygon in piece.shape),
        rings=rings,
        twice_area=twice_area(piece.shape),
        bearings=len(sheets.line(piece).touched(piece.low, piece.high, touch)),
        stick=sheet,
        cut_width=part.width,
    )


def _bites(piece: Piece) -> list[bool]:
    """Whether an opening bites into an edge of each polygon before it was cut."""
    own = [polygon.outer for polygon in piece.shape]
    return [polygon.outer not in own for polygon in piece.sawn]


def _runs(layer: LaidLayer, pieces: Sequence[PieceRow]) -> list[RunRow]:
    """Every connected part of every row."""
    sheets: Sheets = layer.detail
    task = layer.task
    touch = task.rules.get("min_touch")
    own: dict[str, list[PieceRow]] = defaultdict(list)
    for piece in pieces:
        if _of(piece, layer):
            own[piece.run].append(piece)
    rows = []
    for name, parts in own.items():
        row, line = sheets.laid.courses[parts[0].course - 1], sheets.lines[parts[0].course - 1]
        near = min(min(part.near, part.far) for part in parts)
        far = max(max(part.near, part.far) for part in parts)
        if not row.starts_low:
            near, far = far, near
        low, high = parts[0].low, parts[-1].high
        rows.append(
            RunRow(
                id=name,
                surface=task.surface.id,
                layer=task.layer_id,
                course=row.number,
                near=near,
                far=far,
                low=low,
                high=high,
                bearings=len(line.touched(low, high, touch)),
                pieces=len(parts),
                gap=sheets.gap,
            )
        )
    return rows


def _joints(layer: LaidLayer) -> list[JointRow]:
    """Every end joint, with the member it lands on and the distance to its neighbours."""
    sheets: Sheets = layer.detail
    rows: dict[int, list[int]] = defaultdict(list)
    for run, joints in zip(sheets.laid.runs, sheets.joints, strict=True):
        rows[run.course] += joints
    found = []
    for run, joints in zip(sheets.laid.runs, sheets.joints, strict=True):
        own = {piece.low: piece.id for piece in sheets.pieces if sheets.run(piece) is run}
        ends = {piece.high: piece.id for piece in sheets.pieces if sheets.run(piece) is run}
        for at in joints:
            before = ends.get(at - sheets.gap // 2)
            after = own.get(at + sheets.gap - sheets.gap // 2)
            if before is not None and after is not None:
                found.append(_joint(layer, run.course, at, (before, after), rows))
    return found


def _joint(
    layer: LaidLayer, row: int, at: int, between: tuple[str, str], rows: dict[int, list[int]]
) -> JointRow:
    sheets: Sheets = layer.detail
    line, task = sheets.lines[row - 1], layer.task
    number = line.numbers[line.stations.index(at)] if at in line.stations else None
    return JointRow(
        surface=task.surface.id,
        layer=task.layer_id,
        course=row,
        between=between,
        at=at,
        on="block" if number is None else "framing",
        bearing=number,
        offset_before=_offset(at, rows.get(row - 1)),
        offset_after=_offset(at, rows.get(row + 1)),
        offset_repeat=_offset(at, rows.get(row - 2)),
    )


def _offset(at: int, others: list[int] | None) -> int | None:
    return min((abs(at - other) for other in others), default=None) if others else None


def _short(
    layers: Sequence[LaidLayer],
    parts: Iterable[Part],
    stocks: Sequence[SheetStock],
    kerf: int,
) -> TradeRefused:
    """The sheets at hand do not reach: how many of which length would."""
    wanted = Counter(parts)

    def needed(number: int) -> int | None:
        free = [replace(s, supply=None) if k == number else s for k, s in enumerate(stocks)]
        plan = nest(wanted, free, kerf, EFFORTS["quick"])
        return None if plan is None else sum(sheet.stock == number for sheet in plan.sheets)

    return stock_short(layers[0].task, stocks, "sheets", needed)
