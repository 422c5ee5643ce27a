"""All that is wanted of one sheet, from parts nested into sheets to its order and ledger."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from service.cutting.effort import EFFORTS
from service.cutting.sheets.layouts import Measure, least_over, parts_of
from service.cutting.sheets.nesting import Nested, Part, Placed, SheetPlan, SheetStock, nest
from service.errors import TradeRefused
from service.ledger.book import Ledger
from service.products.bought_rows import CutPlanRow
from service.products.buying import flat_beside
from service.products.costs import Planned, as_laid, plan_row
from service.products.cut_rows import SheetRow
from service.products.goods.sheet.accounts import close, order_of
from service.products.goods.sheet.cuts_in_words import steps
from service.products.goods.sheet.needs import Need, SheetShare
from service.products.goods.sheet.rulings import Task
from service.products.goods.sheet.sizing import sheets_of
from service.products.remarks import Remarks
from service.products.same_length import cheapest_first, rows_taken, saved
from service.products.stock import Objective, stock_short
from service.products.supplied import SearchSettings, Supplied


@dataclass(frozen=True, slots=True)
class SheetsPlanned:
    """How all parts are sawn from sheets."""

    task: Task
    stocks: tuple[SheetStock, ...]
    objective: Objective
    plan: SheetPlan
    sheets: tuple[SheetRow, ...]


def plan(
    needs: Sequence[Need], settings: SearchSettings
) -> tuple[SheetsPlanned, tuple[SheetShare, ...]]:
    """Parts nested into sheets, and the share of each need; refused where stock is short."""
    task = needs[0].task
    kerf = task.rules.kerf
    stocks, objective = sheets_of(task, settings)
    parts = {name: part for need in needs for name, part in need.wanted.parts.items()}
    made = nest(Counter(parts.values()), stocks, kerf, EFFORTS[settings.effort])
    if made is None:
        raise _short(task, parts.values(), stocks, kerf)
    made = _cheapest_first(made, stocks)
    rows, where = _sheets(task, made, stocks, parts)
    share = SheetShare(where)
    return SheetsPlanned(task, stocks, objective, made, rows), (share,) * len(needs)


def supplied(
    planned: SheetsPlanned,
    needs: Sequence[Need],
    made: Supplied,
    ledger: Ledger,
    settings: SearchSettings,
    said: Remarks,
) -> None:
    """Sheets, order, plan, ledger and comparison; the pieces are in the ledger already."""
    task, objective = planned.task, planned.objective
    made.sheets = planned.sheets
    by_price = objective.measured_in == "money"
    numbers = [one.stock for one in planned.plan.sheets]
    taken = rows_taken(task, numbers, planned.stocks, by_price=by_price)
    made.order, extra = order_of(task, taken, said)
    made.plans = (_plan_row(planned, needs, made, extra),)
    close(made, ledger, task.product.width, extra)
    drawn = sum(need.task.surface.net for need in needs)
    made.compared = (flat_beside(task, made, drawn, "sheets"),)


def _cheapest_first(plan: SheetPlan, stocks: Sequence[SheetStock]) -> SheetPlan:
    """Of sheets as long the cheapest are used up first."""
    before = [sheet.stock for sheet in plan.sheets]
    after = cheapest_first(before, stocks)
    sheets = (replace(sheet, stock=k) for sheet, k in zip(plan.sheets, after, strict=True))
    return replace(plan, sheets=tuple(sheets), cost=plan.cost - saved(before, after, stocks))


def _plan_row(
    planned: SheetsPlanned, needs: Sequence[Need], made: Supplied, extra: Counter[str]
) -> CutPlanRow:
    """How good the plan is over every way of jointing the rows, and with the joints as laid.

    `extra` is what the order holds beyond the plan.
    """
    task, plan, objective = planned.task, planned.plan, planned.objective
    ways = [way for need in needs for way in need.wanted.ways]
    longest = sum(way.last for way in ways)
    measure = Measure(parts_of(ways), planned.stocks, task.rules.kerf, longest)
    bare = sum(need.wanted.bare for need in needs)
    bound = min(plan.bound, least_over(ways, measure, bare))
    came_to = Planned(plan.cost, bound, plan.work, len(plan.sheets))
    row = plan_row(task, came_to, objective, "sheets", made.order, extra)
    if bound == plan.bound:
        return row
    return as_laid(row, plan.bound, objective, task.unit, ("sheets", "joints"))


def _sheets(
    task: Task, plan: SheetPlan, stocks: Sequence[SheetStock], parts: dict[str, Part]
) -> tuple[tuple[SheetRow, ...], dict[str, tuple[str, Part]]]:
    """Sheet rows, and the sheet and size of each piece."""
    waiting: dict[Part, deque[str]] = defaultdict(deque)
    for name, part in parts.items():
        waiting[part].append(name)
    rows: list[SheetRow] = []
    where: dict[str, tuple[str, Part]] = {}
    for k, sheet in enumerate(plan.sheets):
        name = f"{task.product.id}-{k + 1}"
        ids = tuple(waiting[one.part].popleft() for one in sheet.placed)
        where |= {piece: (name, one.part) for piece, one in zip(ids, sheet.placed, strict=True)}
        rows.append(_sheet(name, task, sheet, stocks[sheet.stock], ids))
    return tuple(rows), where


def _sheet(
    name: str, task: Task, sheet: Nested, stock: SheetStock, ids: tuple[str, ...]
) -> SheetRow:
    long, wide = task.rules.keep_offcut, task.rules.min_strip
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


def _short(
    task: Task,
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

    return stock_short(task, stocks, "sheets", needed)
