"""All that is wanted of one roll, from strips off rolls to its order and ledger."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.cutting.effort import EFFORTS, TRIAL
from service.cutting.records import Stock
from service.cutting.rolls import Laps, Length, RollPiece, RollPlan, roll_out
from service.errors import Cure, Fault, Ticks, TradeRefused
from service.layout.widths import RollStrip
from service.ledger.book import Ledger
from service.products.buying import flat_beside
from service.products.costs import Planned, as_laid, plan_row
from service.products.cut_rows import StickRow
from service.products.goods.roll.accounts import close, order_of, owned_of
from service.products.goods.roll.needs import Need, RollShare
from service.products.goods.roll.rolling import laps_of, least_any_way, lengths_of, rolls_of
from service.products.goods.roll.rulings import Task
from service.products.remarks import Remarks
from service.products.same_length import cheapest_first, rows_taken, saved
from service.products.stock import Objective, stock_short
from service.products.supplied import SearchSettings, Supplied
from service.units.writing import both


@dataclass(frozen=True, slots=True)
class RollsPlanned:
    """How all strips come off rolls.

    `bound` is what no plan costs less than, whichever way each wrap runs.
    """

    task: Task
    stocks: tuple[Stock, ...]
    objective: Objective
    plan: RollPlan
    bound: int
    rolls: tuple[StickRow, ...]


def plan(
    needs: Sequence[Need], settings: SearchSettings
) -> tuple[RollsPlanned, tuple[RollShare, ...]]:
    """Strips off rolls, and the share of each need; refused where rolls are short."""
    task = needs[0].task
    stocks, objective = rolls_of(task, settings)
    laps = laps_of(task)
    strips = [(k, strip) for k, need in enumerate(needs) for strip in need.wanted.strips]
    lengths = lengths_of(strips)
    made = roll_out(lengths, stocks, laps, EFFORTS[settings.effort])
    if made is None:
        raise _short(task, lengths, stocks, laps)
    made = _cheapest_first(made, stocks)
    bound = least_any_way([need.wanted for need in needs], stocks, laps, made.bound)
    names = tuple(f"{task.product.id}-{k + 1}" for k in range(len(made.rolls)))
    off: dict[int, list[RollPiece]] = defaultdict(list)
    for piece in made.pieces:
        off[piece.strip].append(piece)
    rows = _rolls(needs, strips, off, made, stocks, names)
    shares = [
        RollShare(
            off=tuple(tuple(off[n]) for n, (k, _) in enumerate(strips) if k == number),
            rolls=names,
            laps=laps,
        )
        for number in range(len(needs))
    ]
    return RollsPlanned(task, stocks, objective, made, bound, rows), tuple(shares)


def supplied(
    planned: RollsPlanned,
    needs: Sequence[Need],
    made: Supplied,
    ledger: Ledger,
    settings: SearchSettings,
    said: Remarks,
) -> None:
    """Rolls, order, plan, ledger and comparison; the pieces are in the ledger already."""
    task, objective, plan = planned.task, planned.objective, planned.plan
    made.sticks = planned.rolls
    by_price = objective.measured_in == "money"
    taken = rows_taken(task, plan.rolls, planned.stocks, by_price=by_price)
    made.order, extra = order_of(task, taken, said)
    made.owned = owned_of(task, taken)
    bought = sum(not planned.stocks[number].owned for number in plan.rolls)
    came_to = Planned(plan.cost, planned.bound, plan.work, bought)
    row = plan_row(task, came_to, objective, "roll", made.order, extra)
    if planned.bound < plan.bound:
        row = as_laid(row, plan.bound, objective, task.unit, ("roll", "widths"))
    made.plans = (row,)
    close(made, ledger, task.product.width, extra)
    drawn = sum(need.task.surface.net for need in needs)
    made.compared = (flat_beside(task, made, drawn, "rolls"),)


def _cheapest_first(plan: RollPlan, stocks: Sequence[Stock]) -> RollPlan:
    """Of rolls as long the cheapest are used up first."""
    rolls = cheapest_first(plan.rolls, stocks)
    return replace(plan, rolls=rolls, cost=plan.cost - saved(plan.rolls, rolls, stocks))


def _rolls(
    needs: Sequence[Need],
    strips: Sequence[tuple[int, RollStrip]],
    off: dict[int, list[RollPiece]],
    plan: RollPlan,
    stocks: Sequence[Stock],
    names: Sequence[str],
) -> tuple[StickRow, ...]:
    """Roll rows with their pieces in the order in which they come off."""
    keep = needs[0].task.rules.reuse_from
    of_roll: dict[int, list[tuple[str, RollPiece]]] = defaultdict(list)
    for n, (number, strip) in enumerate(strips):
        at = f"{needs[number].task.at}.{strip.width}.{strip.number}"
        for k, piece in enumerate(off[n]):
            of_roll[piece.roll].append((f"{at}.{k + 1}", piece))
    return tuple(
        _roll(needs[0].task, name, stocks[stock], of_roll[number], keep)
        for number, (name, stock) in enumerate(zip(names, plan.rolls, strict=True))
    )


def _roll(
    task: Task, name: str, stock: Stock, own: Sequence[tuple[str, RollPiece]], keep: int
) -> StickRow:
    cuts = tuple(piece.high - piece.low for _, piece in own)
    rest = stock.length - sum(cuts)
    return StickRow(
        stick=name,
        product=task.product.id,
        length=stock.length,
        pieces=tuple(piece for piece, _ in own),
        cuts=cuts,
        beside=((),) * len(own),
        kerfs=0,
        kerf=0,
        end_trim=0,
        offcut=rest,
        kept=rest > 0 and rest >= keep,
        owned=stock.owned,
    )


def _short(
    task: Task, lengths: Sequence[Length], stocks: Sequence[Stock], laps: Laps
) -> TradeRefused:
    """The rolls at hand do not reach, or are too short to be spliced."""

    def needed(number: int) -> int | None:
        free = [replace(s, supply=None) if k == number else s for k, s in enumerate(stocks)]
        plan = roll_out(lengths, free, laps, TRIAL)
        return None if plan is None else plan.rolls.count(number)

    if roll_out(lengths, [replace(s, supply=None) for s in stocks], laps, TRIAL) is None:
        return _too_short(task, lengths, stocks, laps)
    return stock_short(task, stocks, "rolls", needed)


def _too_short(
    task: Task, lengths: Sequence[Length], stocks: Sequence[Stock], laps: Laps
) -> TradeRefused:
    """No roll is long enough to be spliced: how long one must be to cover any strip whole."""
    bought = [stock for stock in stocks if not stock.owned]
    longest = max(bought, key=lambda stock: stock.length)
    wanted = max(strip.high - strip.low for strip in lengths)
    at = f"{task.product_pointer}/stock/{longest.key}/length"
    return TradeRefused(
        Fault(
            "roll-too-short",
            f"rolls of {both(longest.length)} are too short to be spliced: each lap takes "
            f"{both(laps.end)}, {both(laps.offset)} away from those of the next width; a roll as "
            f"long as the longest strip, {both(wanted)}, needs none",
            at,
            cure=Cure(at, Ticks(wanted)),
            rule="13.3",
            measure=longest.length,
            limit=wanted,
        )
    )
