"""What each rule of joints costs: the boards solved again with that rule alone lowered."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.cutting.effort import EFFORTS
from service.errors import Finding, JsonValue, Ticks
from service.joints.records import Jointed
from service.products.bought_rows import RuleCostRow
from service.products.costs import rule_cost_row
from service.products.goods.board.rulings import Task
from service.products.remarks import Remarks
from service.products.sticks.needs import Jointing, Lowering
from service.products.sticks.saw import Saw
from service.products.sticks.solving import solved
from service.products.stock import Trims

MOST_STATIONS, MOST_DIFFERENT = 20_000, 250
"""Stations of all runs together, and of runs that differ, up to which a job is solved again
without each rule: each time takes as long as the order did."""


@dataclass(frozen=True, slots=True)
class _Change:
    """One rule lowered from what was asked, for all that is wanted or in the stock."""

    rule: str
    key: str
    asked: JsonValue
    used: JsonValue
    jointings: tuple[Jointing, ...]
    saw: Saw


def rule_costs(
    task: Task, jointings: Sequence[Jointing], saw: Saw, made: Jointed, said: Remarks
) -> tuple[RuleCostRow, ...]:
    """A row for each rule that could be lowered, the dearest rule first.

    A plan under lowered rules may be any plan under the full ones, so no rule costs less than
    nothing.
    """
    if _is_large(jointings, saw):
        said.find(
            Finding(
                "rules-not-costed",
                task.product.id,
                "the job is too large to be solved again without each rule: send a part of it to "
                "see what the rules cost",
                rule="6.8",
            )
        )
        return ()
    rows = []
    for one in (*_lowered(jointings, saw), *_trims(task, jointings, saw)):
        again = solved(one.jointings, one.saw, EFFORTS["standard"])
        least = again.plan.cost if isinstance(again, Jointed) else made.plan.cost
        least = min(least, made.plan.cost)
        change = (one.rule, one.key, one.asked, one.used)
        rows.append(rule_cost_row(task, change, made.plan.cost, least, saw.objective, "boards"))
    return tuple(sorted(rows, key=lambda row: (-row.saves_pct, row.key)))


def _is_large(jointings: Sequence[Jointing], saw: Saw) -> bool:
    """Whether solving again for each rule would take too long."""
    runs = [run for k, one in enumerate(jointings) for run in one.runs(k, saw.stocks)]
    different = {(run.stack, run.low, run.high, run.stations) for run in runs}
    return (
        sum(len(run.stations) for run in runs) > MOST_STATIONS
        or sum(len(stations) for *_, stations in different) > MOST_DIFFERENT
    )


def _lowered(jointings: Sequence[Jointing], saw: Saw) -> Iterator[_Change]:
    """Each rule of joints alone lowered, wherever any of the jointings has it."""
    found: dict[str, dict[int, Lowering]] = defaultdict(dict)
    for k, jointing in enumerate(jointings):
        for one in jointing.lowered(saw.stocks):
            found[one.key][k] = one
    for key, own in found.items():
        first = max(own.values(), key=lambda one: _amount(one.asked))
        lower = tuple(own[k].jointing if k in own else one for k, one in enumerate(jointings))
        yield _Change(first.rule, key, first.asked, first.used, lower, saw)


def _amount(value: JsonValue) -> int:
    """A rule's value as a number, of which the largest is told; a word is as good as another."""
    if isinstance(value, Ticks):
        return value.value
    return value if isinstance(value, int) else 0


def _trims(task: Task, jointings: Sequence[Jointing], saw: Saw) -> Iterator[_Change]:
    """Stock whose ends need no trim, or at joints no more than at walls."""
    trims = task.rules.trims(task.product)
    if trims.joint and not trims.spares_joints:
        key, used = ("joint_trim", trims.wall) if trims.spares_walls else ("end_trim", 0)
        lower = Trims(used, used, turned=trims.turned)
        stocks = tuple(
            lower.trimmed(stock, task.product.rows[int(stock.key)].raw) for stock in saw.stocks
        )
        whole = replace(saw, stocks=stocks)
        yield _Change("8.1", key, Ticks(trims.joint), Ticks(used), tuple(jointings), whole)
