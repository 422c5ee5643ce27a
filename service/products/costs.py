"""What a cut plan costs and what is claimed of it, in numbers and in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial

from service.errors import JsonValue, Ticks
from service.products.bought_rows import CutPlanRow, OrderRow, RuleCostRow
from service.products.layer import StockTask
from service.products.stock import Objective
from service.units.ticks import ceiling
from service.units.writing import counted, size, stock_length


@dataclass(frozen=True, slots=True)
class Planned:
    """What a plan came to: cost and bound in the objective's own integers, sticks, and work.

    `offcuts` is what those that are kept count for; it is off the cost already. `joints` are those
    of all `runs`; 0 and 0 for what has none.
    """

    cost: int
    bound: int
    work: int
    sticks: int
    offcuts: int = 0
    joints: int = 0
    runs: int = 0


def plan_row(
    task: StockTask,
    plan: Planned,
    objective: Objective,
    goods: str,
    order: Sequence[OrderRow],
    extra: Mapping[str, int],
) -> CutPlanRow:
    """How good a plan is, in numbers and in words; `goods` names what is cut ('boards').

    Cost and bound are of the sticks that are cut, and `ordered` is what the lines of the `order`
    come to in the same measure: with the culls, spares and whole multiples that `extra` says.
    """
    spent, least = _spent(plan, objective), _least(plan, objective)
    gap = (spent - least) / least * 100 if least else Fraction(0)
    ordered = _ordered(order, objective)
    return CutPlanRow(
        product=task.product.id,
        objective=objective.name,
        cost=_plain(spent),
        bound=_plain(least),
        measured_in=objective.measured_in,
        gap_pct=round(float(gap), 4),
        optimal=spent <= least,
        work=plan.work,
        in_words=_in_words(task, plan, objective, goods, ordered, extra),
        offcuts=_plain(_readable(plan.offcuts, objective)),
        joints=plan.joints,
        joint_cost=_plain(_price_of_a_joint(objective)),
        ordered=None if ordered is None else _plain(ordered),
    )


def _in_words(
    task: StockTask,
    plan: Planned,
    objective: Objective,
    goods: str,
    ordered: Fraction | None,
    extra: Mapping[str, int],
) -> str:
    """How good a plan is, what is counted in it, and what is bought of its goods comes to."""
    said = partial(amount, objective=objective, unit=task.unit, goods=goods)
    spent, offcuts = _spent(plan, objective), _readable(plan.offcuts, objective)
    price = _price_of_a_joint(objective) if plan.joints else Fraction(0)
    beyond = [word for account, word in _BEYOND.items() if extra.get(account)]
    apart = ordered is not None and bool(beyond or offcuts or price)
    words = _claim(spent, _least(plan, objective), objective, said)
    if not apart:
        words += f": {said(spent)}"
    if beyond:
        words += f" before {_listed(beyond)}"
    if price:
        words += f", {counted(plan.joints, 'joints')} counted at "
        words += f"{_bare(price, objective, task.unit)}{' each' if plan.joints > 1 else ''}"
    if ordered is not None and apart:
        words += f". What is bought of it comes to {said(ordered)}"
    if offcuts:
        words += f". Offcuts that are kept count for {float(offcuts):,.2f}, which is off that cost"
    return f"{words}."


def _price_of_a_joint(objective: Objective) -> Fraction:
    """What a field joint counts for; nothing where others are counted."""
    priced = objective.measured_in in ("money", "length")
    return _readable(objective.joint_cost, objective) if priced else Fraction(0)


def _bare(value: Fraction, objective: Objective, unit: str) -> str:
    """Money or a length, without what it is of."""
    if objective.measured_in == "length":
        return size(int(value), unit)
    return f"{float(value):,.2f}"


_BEYOND = {"cull": "culls", "spare": "spares", "surplus": "whole multiples"}
"""What an order holds beyond the plan, by account of the ledger."""

_BEST = {"money": "cheapest", "length": "least"}
"""What a plan is called that costs no more than its bound; of what is counted, the fewest."""

MOST_CLAIMED = 100
"""A plan farther over its bound than this, in percent, is not held against it in words."""


def _claim(
    spent: Fraction, least: Fraction, objective: Objective, said: Callable[[Fraction], str]
) -> str:
    """How near a plan is to the best that can be, to a tenth of a percent, rounded up."""
    best = _BEST.get(objective.measured_in, "fewest")
    if spent <= least:
        return f"The {best} possible under these rules"
    if not least or (spent - least) * 100 > MOST_CLAIMED * least:
        known = f", and no plan can do with less than {said(least)}" if least else ""
        return f"The {best} found under these rules{known}"
    tenths = Fraction(ceiling((spent - least) / least * 1_000), 10)
    return f"Within {float(tenths):g} % of the {best} possible under these rules"


def _listed(names: Sequence[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def _ordered(order: Sequence[OrderRow], objective: Objective) -> Fraction | None:
    """What the lines of an order come to; None where joints are counted, which no order has."""
    if objective.measured_in == "joints":
        return None
    if objective.measured_in == "length":
        return Fraction(sum((row.length or 0) * row.bought.buy for row in order))
    if objective.measured_in == "money":
        return sum((Fraction(repr(row.price or 0)) for row in order), Fraction(0))
    return Fraction(sum(row.bought.buy for row in order))


def read_bound(plan: Planned, objective: Objective) -> int | str:
    """The bound of a plan as an answer has it."""
    return _plain(_least(plan, objective))


def read_cost(cost: int, objective: Objective) -> int | str:
    """A cost as an answer has it: money as a decimal string, or ticks of length."""
    return _plain(_readable(cost, objective))


def _spent(plan: Planned, objective: Objective) -> Fraction:
    """The cost as it is read: what is counted is counted in the plan itself."""
    if objective.measured_in in ("money", "length"):
        return _readable(plan.cost, objective)
    return Fraction(plan.joints if objective.measured_in == "joints" else plan.sticks)


def _least(plan: Planned, objective: Objective) -> Fraction:
    """The bound as it is read; a count is whole (8.8).

    Of equal counts the shorter sticks are taken, so each stick adds up to `unit` to the cost of a
    count, and there are no more sticks than pieces: as many as runs and joints.
    """
    if objective.measured_in in ("money", "length"):
        return _readable(max(0, plan.bound), objective)
    others = plan.runs * objective.unit if objective.measured_in == "joints" else 0
    count = ceiling(Fraction(plan.bound - others, objective.per + objective.unit))
    return Fraction(max(0, count))


def as_laid(
    row: CutPlanRow, least: int, objective: Objective, unit: str, laid: tuple[str, str]
) -> CutPlanRow:
    """A plan's row with what is shown for the layout that it has, where not for all.

    `least` is what no plan with that layout costs less than; `laid` is what is cut, and what of it
    is taken as it lies ('sheets', 'joints').
    """
    if row.optimal:
        return row
    goods, what = laid
    bound = _least(Planned(0, least, 0, 0), objective)
    words = f"{row.in_words} With the {what} as they are laid no plan can do with less"
    if Fraction(row.cost) > bound:
        words += f" than {_named(bound, objective, unit, goods)}"
    return replace(row, in_words=f"{words}.")


def rule_cost_row(
    task: StockTask,
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
        f"a plan with {_named(lower, objective, task.unit, goods)} was found, {share:.2f} % less."
        if saved
        else "no plan was found that takes less."
    )
    return RuleCostRow(
        product=task.product.id,
        rule=rule,
        key=key,
        asked=asked,
        used=used,
        cost=_plain(lower),
        saves=_plain(saved),
        measured_in=objective.measured_in,
        saves_pct=share,
        in_words=words,
    )


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


def _named(cost: Fraction, objective: Objective, unit: str, goods: str) -> str:
    money = "a cost of " if objective.measured_in == "money" else ""
    return money + amount(cost, objective, unit, goods)


def certified_words(
    bound: Fraction, certified: Fraction, objective: Objective, unit: str, goods: str
) -> str:
    """What of a bound anybody can check, in a sentence for who buys by it."""
    shown = amount(certified, objective, unit, goods)
    words = f"The proof in the answer shows that no plan can do with less than {shown}"
    words += ", its joints counted" if _price_of_a_joint(objective) else ""
    if certified < bound:
        words += (
            f"; that none can do with less than {amount(bound, objective, unit, goods)} was found "
            "by search, and has no proof"
        )
    return f"{words}. Anybody can add it up."


def amount(value: Fraction, objective: Objective, unit: str, goods: str) -> str:
    """A cost as it is read: money bare, lengths of what, and counts of what."""
    if objective.measured_in == "length":
        return f"{stock_length(int(value), unit)} of {goods}"
    if objective.measured_in == "money":
        return f"{float(value):,.2f}"
    return counted(int(value), objective.measured_in)
