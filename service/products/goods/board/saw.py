"""What boards are cut from and with, and what for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.cutting.records import Need, Stock
from service.cutting.sticks.offcuts import RestValue
from service.cutting.sticks.rips import WholeBoard
from service.errors import Cure, Fault, TradeRefused
from service.joints.records import Jointed
from service.products.goods.board.board import Board, board_of
from service.products.goods.board.rulings import Task
from service.products.same_length import cheapest_first, rows_taken, saved
from service.products.stock import Objective, stocks_of
from service.products.supplied import SearchSettings
from service.units.ticks import FOOT, MM


@dataclass(frozen=True, slots=True)
class Saw:
    """What a board is cut from and with: its stocks, the kerf, and what they are chosen for.

    `rests` says what kept rests count for; None where they count for nothing. `fixed` are pieces
    that are cut as they are, beside those of the runs; `board` is what rips may share.
    """

    stocks: tuple[Stock, ...]
    kerf: int
    objective: Objective
    rests: RestValue | None = None
    fixed: tuple[Need, ...] = ()
    board: WholeBoard | None = None

    def spent(self, made: Jointed) -> int:
        """What the sticks of a plan cost, whatever rests count for."""
        return sum(self.stocks[stick.stock].cost for stick in made.plan.sticks)

    def rows_taken(self, made: Jointed, task: Task) -> Counter[int]:
        """How many sticks a plan takes of each row of the product's stock, by its number."""
        numbers = [stick.stock for stick in made.plan.sticks]
        by_price = self.objective.measured_in == "money"
        return rows_taken(task, numbers, self.stocks, by_price=by_price)

    def cheapest_first(self, made: Jointed) -> Jointed:
        """A plan in which of sticks as long the cheapest are used up first.

        Where rests count for something, what a stick costs depends on its rest: then the plan
        stays as it is.
        """
        if self.rests is not None:
            return made
        before = [stick.stock for stick in made.plan.sticks]
        after = cheapest_first(before, self.stocks)
        sticks = (replace(one, stock=k) for one, k in zip(made.plan.sticks, after, strict=True))
        cost = made.plan.cost - saved(before, after, self.stocks)
        return replace(made, plan=replace(made.plan, sticks=tuple(sticks), cost=cost))

    def only(self, numbers: Sequence[int]) -> Saw:
        """With some of the stocks alone."""
        return replace(self, stocks=tuple(self.stocks[k] for k in numbers))


def saw_of(task: Task, settings: SearchSettings, fixed: Sequence[Need] = ()) -> Saw:
    """What a product's boards are cut from; refused where no stock is left after its end trims."""
    end_matched = task.product.ends == "end_matched"
    kerf, trim = task.rules.kerf, task.rules.end_trim(end_matched=end_matched)
    stocks, objective = stocks_of(task, trim, settings)
    if not stocks:
        raise TradeRefused(
            Fault(
                "stock-too-short",
                "no stock length is left after its end trims",
                f"{task.product_pointer}/stock",
                rule="8.1",
            )
        )
    rests = _rests(task, objective)
    if rests is not None:
        # Values of rests are rounded down in the unit of costs, so that must be fine enough.
        stocks = tuple(replace(stock, cost=100 * stock.cost) for stock in stocks)
        objective = replace(objective, per=100 * objective.per)
    board = _whole_board(board_of(task.product), kerf)
    return Saw(stocks, kerf, objective, rests, tuple(fixed), board)


def _rests(task: Task, objective: Objective) -> RestValue | None:
    """What kept rests count for; refused where there is no price to count them at.

    End-matched boards have none: a rest has lost one of its ends.
    """
    percent = task.rules.offcut_value
    if not percent or task.product.ends == "end_matched":
        return None
    if objective.name != "least_cost":
        at = f"{task.pointer}/rules/offcut_value"
        text = "rests can only be valued where the job is solved for least_cost"
        raise TradeRefused(Fault("rests-need-prices", text, at, cure=Cure(at, 0), rule="8.8"))
    step = FOOT if task.unit in ("in", "ft") else 300 * MM
    return RestValue(percent, step, task.rules.keep_offcut)


def _whole_board(board: Board, kerf: int) -> WholeBoard | None:
    """What rips of a board may share; None for lapped boards, which are thinner at one edge.

    A board with square edges may be turned end for end; with a tongue or a lap it may not (8.4).
    """
    if board.lapped:
        return None
    return WholeBoard(board.overall, kerf, turns=board.overall == board.coverage)
