"""Plans for a board side by side: least material, as chosen, and fewest joints (6.7)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from service.cutting.effort import Effort
from service.joints.records import Blocked, Jointed
from service.products.bought_rows import Choice, ChoiceRow
from service.products.costs import Planned, read_bound, read_cost
from service.products.goods.board.rulings import Task
from service.products.sticks.needs import Jointing
from service.products.sticks.saw import Saw
from service.products.sticks.solving import solved
from service.products.stock import MANY, Objective

Plans = Mapping[Choice, Jointed]
"""Plans by what they save."""


def other_plans(chosen: Sequence[Jointing], saw: Saw, effort: Effort) -> Plans:
    """The plans with least material and with fewest joints."""
    made: dict[Choice, Jointed | Blocked | None] = {
        "least_material": solved(chosen, bare(saw), effort),
        "fewest_joints": solved(chosen, few(saw), effort),
    }
    return {name: one for name, one in made.items() if isinstance(one, Jointed)}


def bare(saw: Saw) -> Saw:
    """A saw for which joints count nothing."""
    return replace(saw, objective=replace(saw.objective, joint_cost=0))


def few(saw: Saw) -> Saw:
    """A saw for which joints count more than any stock, and of equal numbers the stock."""
    dearest = max(stock.cost for stock in saw.stocks)
    many = MANY * max(1, dearest)
    return replace(saw, objective=Objective("fewest_joints", "joints", many, many, dearest))


def best_of(made: Jointed, others: Plans, saw: Saw) -> Jointed:
    """The plan that was made, or another that takes no more in all, and fewer joints of those.

    So no plan beside the one chosen takes less of both.
    """
    best = min((made, *others.values()), key=lambda one: (saw.spent(one), one.joints))
    if best is made or saw.rests is not None:
        return made
    cost = saw.spent(best)
    plan = replace(best.plan, cost=cost, bound=min(made.plan.bound, cost), work=made.plan.work)
    return replace(best, plan=plan, as_you_go=made.as_you_go)


def choice_rows(task: Task, made: Jointed, others: Plans, saw: Saw) -> tuple[ChoiceRow, ...]:
    """A row for each plan: least material, as chosen, fewest joints."""
    plans: Plans = {**others, "as_chosen": made}
    saws: dict[Choice, Saw] = {
        "least_material": bare(saw), "as_chosen": saw, "fewest_joints": few(saw),
    }  # fmt: skip
    return tuple(
        _row(task, name, plans[name], saw, own) for name, own in saws.items() if name in plans
    )


def _row(task: Task, name: Choice, made: Jointed, saw: Saw, own: Saw) -> ChoiceRow:
    pieces = [cut.need.length for cuts in made.cuts for cut in cuts]
    pieces += [need.length for need in saw.fixed]
    plan = Planned(
        cost=made.plan.cost,
        bound=made.plan.bound,
        work=0,
        sticks=len(made.plan.sticks),
        joints=made.joints,
        runs=len(made.cuts),
    )
    counts_joints = name == "fewest_joints"
    least = read_bound(plan, own.objective)
    spent = made.joints if counts_joints else read_cost(own.spent(made), own.objective)
    return ChoiceRow(
        product=task.product.id,
        choice=name,
        material=read_cost(bare(saw).spent(made), saw.objective),
        joints=made.joints,
        total=read_cost(saw.spent(made), saw.objective),
        bound=None if counts_joints else least,
        fewest_joints=int(least) if counts_joints else None,
        measured_in=saw.objective.measured_in,
        optimal=float(spent) <= float(least),
        pieces=len(pieces),
        shortest=min(pieces, default=0),
        sticks=len(made.plan.sticks),
    )
