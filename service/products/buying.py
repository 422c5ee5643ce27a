"""From sticks, sheets or rolls to what is bought: the plan in words and the lines of the order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

from service.errors import Finding, JsonValue, Ticks
from service.ledger.book import Ledger
from service.order.lines import Bought, bought
from service.products.kind import Said, Supplied, Task
from service.products.rows import LedgerRow, LedgerShareRow, OrderRow, PlanRow, RuleCostRow
from service.products.stock import Objective
from service.units.ticks import FOOT
from service.units.writing import counted, density, size, stock_length


def plan_row(
    task: Task,
    cost: int,
    bound: int,
    work: int,
    objective: Objective,
    goods: str,
    rests: int = 0,
) -> PlanRow:
    """How good a plan is, in numbers and in words; `goods` names what is cut ('boards').

    `rests` is what kept rests count for; it is off the cost already.
    """
    spent, least = _readable(cost, objective), _readable(max(0, bound), objective)
    optimal = spent <= least
    gap = float((spent - least) / least * 100) if least else 0.0
    said = _said(spent, objective, task.unit, goods)
    if optimal:
        words = f"No plan that keeps the rules can do with less than this one: {said}."
    else:
        words = (
            "No plan that keeps the rules can do with less than "
            f"{_said(least, objective, task.unit, goods)}; this one takes {said}"
        )
        words += f", {gap:.2f} % more." if least else "."
    if rests:
        worth = float(_readable(rests, objective))
        words += f" Rests that are kept count for {worth:,.2f}, which is off that cost."
    return PlanRow(
        task.product.id, objective.name, _plain(spent), _plain(least), objective.measured_in,
        round(gap, 4), optimal, work, words, _plain(_readable(rests, objective)),
    )  # fmt: skip


def as_laid(
    row: PlanRow, least: int, objective: Objective, unit: str, laid: tuple[str, str]
) -> PlanRow:
    """A plan's row with what is shown for the layout that it has, where not for all.

    `least` is what no plan with that layout costs less than; `laid` is what is cut, and what of it
    is taken as it lies ('sheets', 'joints').
    """
    if row.optimal:
        return row
    goods, what = laid
    bound = _readable(least, objective)
    words = f"{row.in_words} With the {what} as they are laid no plan can do with less"
    if Fraction(row.cost) > bound:
        words += f" than {_said(bound, objective, unit, goods)}"
    return replace(row, in_words=f"{words}.")


def rule_cost_row(
    task: Task,
    change: tuple[str, str, JsonValue, JsonValue],
    cost: int,
    least: int,
    objective: Objective,
    goods: str,
) -> RuleCostRow:
    """What a rule costs: `least` is the cost of the plan found with it lowered.

    `change` is the rule's number and key, what was asked and what was used instead.
    """
    rule, key, asked, used = change
    spent, lower = _readable(cost, objective), _readable(least, objective)
    saved = spent - lower
    share = round(float(saved / spent * 100), 4) if spent else 0.0
    name = key.replace("_", " ").capitalize()
    words = f"{name} (rule {rule}), {_written(used, task.unit)} instead of "
    words += f"{_written(asked, task.unit)}: "
    words += (
        f"a plan with {_said(lower, objective, task.unit, goods)} was found, {share:.2f} % less."
        if saved
        else "no plan was found that takes less."
    )
    return RuleCostRow(
        task.product.id, rule, key, asked, used, _plain(lower), _plain(saved),
        objective.measured_in, share, words,
    )  # fmt: skip


def _written(value: JsonValue, unit: str) -> str:
    """A rule's value in a sentence."""
    if isinstance(value, Ticks):
        return size(value.value, unit) if value.value else "none"
    return str(value).replace("_", " ")


def _readable(cost: int, objective: Objective) -> Fraction:
    """Ticks of length, a count, or money."""
    if objective.measured_in == "money":
        return Fraction(cost, objective.per)
    if objective.measured_in == "length":
        return Fraction(cost * objective.per)
    return Fraction(cost // objective.per)


def _plain(value: Fraction) -> int | str:
    """A whole number as it is, money as a decimal string."""
    return int(value) if value.denominator == 1 else str(float(value))


def _said(cost: Fraction, objective: Objective, unit: str, goods: str) -> str:
    if objective.measured_in == "length":
        return f"{stock_length(int(cost), unit)} of {goods}"
    if objective.measured_in == "money":
        return f"a cost of {float(cost):,.2f}"
    return counted(int(cost), objective.measured_in)


def order_lines(
    task: Task,
    need: Mapping[int, int],
    said: Said,
    row: Callable[[Any, Bought], OrderRow],
    goods: str,
) -> tuple[tuple[OrderRow, ...], Counter[str]]:
    """One line a row of stock, from need to purchase; `row` writes a row's line.

    `need` counts the plan's sticks, sheets or rolls by the row's number. The counter is the length
    bought beyond them, by account (`cull`, `spare`, `surplus`), in ticks.
    """
    cull = task.rules.get("cull") / 100
    spare = task.rules.get("spare")
    _note_allowances(task, said, cull, spare, goods)
    rows, extra = [], Counter[str]()
    for k, stock in sorted(enumerate(task.product.stock), key=lambda one: -one[1].length):
        count = need.get(k, 0)
        if not count:
            continue
        line = bought(count, cull=cull, spare=spare, per_package=stock.multiple or 1)
        extra["cull"] += line.cull * stock.length
        extra["spare"] += line.spare * stock.length
        extra["surplus"] += line.left_over * stock.length
        _check_supply(task, stock, line, said, goods)
        rows.append(row(stock, line))
    return tuple(rows), extra


def weight_of(task: Task, face: int) -> Fraction | None:
    """Pounds of stock with a face of `face` square ticks; None where no density was sent (19.5)."""
    product = task.product
    if product.density is None:
        return None
    task.rules.note("19.5", "density", density(product.density, task.unit), "product")
    cubic_feet = Fraction(face * product.thickness, FOOT**3)
    return Fraction(cubic_feet * product.density)


def close_books(made: Supplied, ledger: Ledger, width: int, extra: Mapping[str, int]) -> None:
    """Enter what is bought beyond the plan, close the ledger against the order, keep its rows.

    `width` is that of the stock, and `extra` the length beyond the plan by account, in ticks.
    """
    for account in ("cull", "spare", "surplus"):
        ledger.enter(account, 2 * width * extra[account])
    total = sum((row.length or 0) * row.bought.buy for row in made.order)
    made.bought_half_square_ticks = 2 * width * total
    ledger.close(made.bought_half_square_ticks)
    made.ledger = tuple(
        LedgerRow(made.product, account, amount, width) for account, amount in ledger.entries()
    )
    made.shares = tuple(
        LedgerShareRow(surface, made.product, account, amount)
        for surface, account, amount in ledger.shares()
    )


def _check_supply(task: Task, stock: Any, line: Bought, said: Said, goods: str) -> None:
    """Cull, spare and multiples can ask for more than is on hand."""
    if stock.on_hand is not None and line.buy > stock.on_hand:
        said.find(
            Finding(
                "beyond-on-hand",
                task.product.id,
                f"{line.buy} {goods} are to be bought and {stock.on_hand} are on hand: the cut "
                "pieces need no more, but culls, spares or the multiple do",
                rule="8.9",
            )
        )


def _note_allowances(task: Task, said: Said, cull: Fraction, spare: int, goods: str) -> None:
    """Zero allowances are said, never silent (10.1, 10.2)."""
    if not cull and not task.rules.sent("cull"):
        said.find(Finding("no-cull", task.product.id, "no share for culls is in the order: send "
                          "`cull` for the grade in hand", rule="10.1"))  # fmt: skip
    if not spare and not task.rules.sent("spare"):
        said.find(Finding("no-spare", task.product.id, f"no spare {goods} are in the order",
                          rule="10.2"))  # fmt: skip
