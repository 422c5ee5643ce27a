"""Where the sticks at hand do not reach: a plan that does after all, or how many are missing (8.9).

A search for the cheapest plan can miss that short stock reaches. So every length that is short is
tried with no limit, where only its own sticks cost anything: what a plan then takes of it is the
least that must be there, and if as many are there, that plan is one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from service.cutting.effort import EFFORTS, Effort
from service.joints.records import Jointed
from service.products.sticks.needs import Jointing
from service.products.sticks.saw import Saw
from service.products.sticks.solving import solved
from service.products.sticks.task import StickTask
from service.products.stock import Objective, none_reaches, short_of

COUNTED = Objective("fewest_sticks", "sticks", 1)


def reaching(
    task: StickTask, chosen: Sequence[Jointing], saw: Saw, effort: Effort, goods: str
) -> Jointed:
    """A plan from the sticks at hand where one is found; raises TradeRefused where none is.

    `goods` is what they are called, as 'boards'.
    """
    for number, stock in sorted(enumerate(saw.stocks), key=lambda one: -one[1].length):
        if number in saw.owned:
            continue
        made = None if stock.supply is None else _sparing(chosen, saw, number, effort)
        if made is None or stock.supply is None:
            continue
        count = sum(stick.stock == number for stick in made.plan.sticks)
        if count <= stock.supply:
            return _costed(chosen, saw, made)
        raise short_of(task, stock, goods, count, proved=made.plan.optimal)
    raise none_reaches(task, goods)


def _sparing(chosen: Sequence[Jointing], saw: Saw, number: int, effort: Effort) -> Jointed | None:
    """A plan with as few sticks as can be of one stock without a limit, the others as they are."""
    stocks = tuple(
        replace(stock, cost=1, supply=None) if k == number else replace(stock, cost=0)
        for k, stock in enumerate(saw.stocks)
    )
    counted = replace(saw, stocks=stocks, objective=COUNTED, rests=None)
    made = solved(chosen, counted, effort)
    return made if isinstance(made, Jointed) else None


def _costed(chosen: Sequence[Jointing], saw: Saw, made: Jointed) -> Jointed:
    """A plan at what its sticks and joints cost; its bound is that of stock without limits."""
    free = replace(saw, stocks=tuple(replace(stock, supply=None) for stock in saw.stocks))
    relaxed = solved(chosen, free, EFFORTS["quick"])
    cost = saw.spent(made)
    bound = min(cost, relaxed.plan.bound) if isinstance(relaxed, Jointed) else 0
    return replace(made, plan=replace(made.plan, cost=cost, bound=bound), as_you_go=None)
