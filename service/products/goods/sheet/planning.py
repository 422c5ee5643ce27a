"""All that is wanted of one sheet, from parts nested into sheets to its order and ledger."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from service.cutting.effort import EFFORTS, TRIAL
from service.cutting.sheets.fill import fills
from service.cutting.sheets.layouts import Measure, least_over
from service.cutting.sheets.master import SheetMaster
from service.cutting.sheets.nesting import Nested, Part, SheetPlan, SheetStock
from service.cutting.sheets.ways import Jointing, counted, parts_of
from service.errors import TradeRefused
from service.ledger.book import Ledger
from service.products.bought_rows import CutPlanRow
from service.products.buying import flat_beside
from service.products.costs import Planned, as_laid, plan_row
from service.products.cut_rows import SheetRow
from service.products.goods.sheet.accounts import close, order_of, owned_of
from service.products.goods.sheet.blanks import Blank, blanks_of, bounded, parted
from service.products.goods.sheet.cuts_in_words import steps
from service.products.goods.sheet.needs import Need, SheetShare, Together
from service.products.goods.sheet.rulings import Task
from service.products.goods.sheet.sizing import sheets_of
from service.products.goods.sheet.squared import Groups, groups_of, planned_for, trimmed
from service.products.remarks import Remarks
from service.products.same_length import rows_taken
from service.products.stock import Objective, is_owned, stock_short
from service.products.supplied import SearchSettings, Supplied

MOST_ROUNDS = 60
"""Rounds of pricing for the bound at any effort: an answer is due in seconds."""

MOST_PRICED = 150
"""With more different parts over all ways of jointing, none are priced for the bound."""

Waiting: TypeAlias = defaultdict[tuple[int, Part], deque[Blank]]
"""Blanks in the order in which sheets take them, by what those lose at an edge and part."""


@dataclass(frozen=True, slots=True)
class SheetsPlanned:
    """How all parts are sawn from sheets.

    `together` is there where the joints of all layers were chosen with this plan.
    """

    task: Task
    stocks: tuple[SheetStock, ...]
    objective: Objective
    plan: SheetPlan
    together: Together | None
    sheets: tuple[SheetRow, ...]


def plan(
    needs: Sequence[Need], settings: SearchSettings
) -> tuple[SheetsPlanned, tuple[SheetShare, ...]]:
    """Parts nested into sheets, and the share of each need; refused where stock is short."""
    task = needs[0].task
    kerf = task.rules.kerf
    stocks, objective = sheets_of(task, settings)
    effort = EFFORTS[settings.effort]
    blanks = blanks_of(needs, kerf)
    groups = groups_of(blanks)
    together = _together(needs, stocks, groups.get(0, Counter()))
    made = together.plan if together is not None else None
    if made is None or max(groups, default=0):
        made = planned_for(groups, stocks, kerf, effort, made)
    if made is None:
        raise _short(task, groups, stocks, kerf)
    made = bounded(made, needs, blanks, stocks, kerf, effort)
    if max(groups, default=0):
        together, stocks = None, trimmed(stocks, min(groups))
    rows, where = _sheets(task, made, stocks, _waiting(blanks))
    share = SheetShare(where)
    return SheetsPlanned(task, stocks, objective, made, together, rows), (share,) * len(needs)


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
    made.owned = owned_of(task, taken)
    made.plans = (_plan_row(planned, needs, made, extra, settings),)
    close(made, ledger, task.product.width, extra)
    drawn = sum(need.task.surface.net for need in needs)
    made.compared = (flat_beside(task, made, drawn, "sheets"),)


def _together(
    needs: Sequence[Need], stocks: Sequence[SheetStock], parts: Counter[Part]
) -> Together | None:
    """The plan that was made when the layers were jointed, if it holds these very parts."""
    found = next((need.wanted.together for need in needs if need.wanted.together), None)
    if found is None or found.stocks != tuple(stocks):
        return None
    held = Counter(one.part for sheet in found.plan.sheets for one in sheet.placed)
    return found if held == parts else None


def _plan_row(
    planned: SheetsPlanned,
    needs: Sequence[Need],
    made: Supplied,
    extra: Counter[str],
    settings: SearchSettings,
) -> CutPlanRow:
    """How good the plan is over every way of jointing the rows, and with the joints as laid.

    `extra` is what the order holds beyond the plan.
    """
    task, plan, objective = planned.task, planned.plan, planned.objective
    bound, as_it_is = _bounds(planned, needs, settings)
    bought = sum(not is_owned(task, planned.stocks[one.stock]) for one in plan.sheets)
    came_to = Planned(plan.cost, bound, plan.work, bought)
    row = plan_row(task, came_to, objective, "sheets", made.order, extra)
    if bound == as_it_is:
        return row
    return as_laid(row, as_it_is, objective, task.unit, ("sheets", "joints"))


def _bounds(
    planned: SheetsPlanned, needs: Sequence[Need], settings: SearchSettings
) -> tuple[int, int]:
    """What no plan costs less than over every way of jointing the rows, and with these joints."""
    bound = planned.plan.bound
    if all(need.wanted.whole for need in needs):
        return bound, bound
    if planned.together is not None:
        least = planned.together.least
        return least, max(least, bound)
    ways = [way for need in needs for way in need.wanted.ways]
    longest = sum(way.last for way in ways)
    measure = Measure(parts_of(ways), planned.stocks, planned.task.rules.kerf, longest)
    bare = sum(need.wanted.bare for need in needs)
    least = least_over(ways, measure, bare)
    if least < bound and not settings.trial and all(need.wanted.rows for need in needs):
        least = max(least, _least_priced(planned, ways, EFFORTS[settings.effort].rounds))
    return min(bound, least), bound


def _least_priced(planned: SheetsPlanned, ways: Sequence[Jointing], rounds: int) -> int:
    """What all runs cost at least however each is jointed, as prices of their parts show it."""
    plan, stocks, kerf = planned.plan, planned.stocks, planned.task.rules.kerf
    if len(parts_of(ways)) > MOST_PRICED:
        return 0
    laid = Counter(one.part for sheet in plan.sheets for one in sheet.placed)
    start = [cutup for found in fills(laid, stocks, kerf, {}) for cutup in found]
    master = SheetMaster({}, stocks, kerf, start, counted(ways))
    return master.bound(min(rounds, MOST_ROUNDS), plan.cost)


def _waiting(blanks: Iterable[tuple[int, Blank]]) -> Waiting:
    """The blanks that each part is sawn for, by what its sheet loses at an edge."""
    found: Waiting = defaultdict(deque)
    for trim, blank in blanks:
        found[trim, blank.part].append(blank)
    return found


def _sheets(
    task: Task, plan: SheetPlan, stocks: Sequence[SheetStock], waiting: Waiting
) -> tuple[tuple[SheetRow, ...], dict[str, tuple[str, Part]]]:
    """Sheet rows, and the sheet and size of each piece."""
    rows: list[SheetRow] = []
    where: dict[str, tuple[str, Part]] = {}
    for k, sheet in enumerate(plan.sheets):
        name = f"{task.product.id}-{k + 1}"
        blanks = [
            (waiting[sheet.trim, one.part] or waiting[0, one.part]).popleft()
            for one in sheet.placed
        ]
        where |= {piece: (name, part) for blank in blanks for piece, part in blank.pieces}
        rows.append(_sheet(name, task, sheet, stocks[sheet.stock], blanks))
    return tuple(rows), where


def _sheet(
    name: str, task: Task, sheet: Nested, stock: SheetStock, blanks: Sequence[Blank]
) -> SheetRow:
    long, wide = task.rules.keep_offcut, task.rules.min_strip
    sawn = [
        parted(blank, (one.at, one.across), task.rules.kerf, task.unit)
        for blank, one in zip(blanks, sheet.placed, strict=True)
    ]
    boxes = tuple(box for one in sawn for box in one.boxes)
    rests = (*sheet.rests, *(box for one in sawn for box in one.rests))
    kept = tuple(box for box in rests if box[2] >= long and box[3] >= wide)
    used = sum(box[2] * box[3] for box in (*boxes, *rests))
    return SheetRow(
        sheet=name,
        product=task.product.id,
        length=stock.length,
        width=task.product.width,
        pieces=tuple(piece for blank in blanks for piece, _ in blank.pieces),
        boxes=boxes,
        steps=(*steps(sheet, task.unit), *(step for one in sawn for step in one.steps)),
        kerf=2 * (stock.length * task.product.width - used),
        kept=kept,
        waste=tuple(box for box in rests if box not in kept),
        owned=is_owned(task, stock),
    )


def _short(
    task: Task,
    groups: Groups,
    stocks: Sequence[SheetStock],
    kerf: int,
) -> TradeRefused:
    """The sheets at hand do not reach: how many of which length would."""

    def needed(number: int) -> int | None:
        free = [replace(s, supply=None) if k == number else s for k, s in enumerate(stocks)]
        plan = planned_for(groups, free, kerf, TRIAL)
        return None if plan is None else sum(sheet.stock == number for sheet in plan.sheets)

    return stock_short(task, stocks, "sheets", needed)
