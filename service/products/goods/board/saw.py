"""What boards are cut from and with, and what for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from service.cutting.records import Need
from service.cutting.sticks.offcuts import RestValue
from service.cutting.sticks.rips import WholeBoard
from service.errors import Cure, Fault, TradeRefused
from service.products.goods.board.board import Board, board_of
from service.products.goods.board.rulings import Task
from service.products.sticks.saw import Saw, saw_of
from service.products.stock import Objective, objective_of, stocks_of
from service.products.supplied import SearchSettings
from service.units.ticks import FOOT, MM


def board_saw(task: Task, settings: SearchSettings, fixed: Sequence[Need] = ()) -> Saw:
    """What a product's boards are cut from; refused where no stock is left after its end trims."""
    trims = task.rules.trims(task.product)
    joint = task.rules.joint_cost(task.product, objective_of(task, settings), task.unit)
    saw = saw_of(task, *stocks_of(task, trims, settings, joint), fixed)
    saw = replace(saw, board=_whole_board(board_of(task.product), saw.kerf))
    rests = _rests(task, saw.objective)
    if rests is None:
        return saw
    # Values of rests are rounded down in the unit of costs, so that must be fine enough.
    stocks = tuple(replace(stock, cost=100 * stock.cost) for stock in saw.stocks)
    objective = replace(
        saw.objective, per=100 * saw.objective.per, joint_cost=100 * saw.objective.joint_cost
    )
    return replace(saw, stocks=stocks, objective=objective, rests=rests)


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
