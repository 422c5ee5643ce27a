"""Where the sticks at hand do not reach: a plan that does after all, or how many are missing (8.9).

A search for the cheapest plan can miss that short stock reaches. So every length that is short is
tried with no limit, where only its own sticks cost anything: what a plan then takes of it is the
least that must be there, and if as many are there, that plan is one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.cutting.effort import EFFORTS, Effort
from service.joints.records import Jointed
from service.products.sticks.needs import Jointing
from service.products.sticks.saw import Saw
from service.products.sticks.solving import solved
from service.products.sticks.task import StickTask
from service.products.stock import Objective, none_reaches, short_of

COUNTED = Objective("fewest_sticks", "sticks", 1)


@dataclass(frozen=True, slots=True)
class _Spared:
    """A plan that takes as few as can be of one stock, by its number."""

    number: int
    made: Jointed

    @property
    def count(self) -> int:
        """How many it takes."""
        return sum(stick.stock == self.number for stick in self.made.plan.sticks)


def reaching(
    task: StickTask,
    chosen: Sequence[Jointing],
    saw: Saw,
    effort: Effort,
    goods: str,
    *,
    may_part: bool = False,
) -> Jointed:
    """A plan from the sticks at hand where one is found; raises TradeRefused where none is.

    `goods` is what they are called, as 'boards'. `may_part`: rather than that stock is short, runs
    are jointed that only a length at hand would hold (6.1).
    """
    spared = _spared(chosen, saw, effort)
    if spared is not None and spared.count <= (saw.stocks[spared.number].supply or 0):
        return _costed(chosen, saw, spared.made)
    if may_part:
        made = solved(chosen, saw, effort, parted=True)
        if isinstance(made, Jointed):
            return made
        parted = _parted(chosen, saw, effort, spared)
        if parted is not None and parted.count <= (saw.stocks[parted.number].supply or 0):
            plan = replace(parted.made.plan, cost=saw.spent(parted.made), bound=0)
            return replace(parted.made, plan=plan, as_you_go=None)
        spared = parted or spared
    if spared is None:
        raise none_reaches(task, goods)
    proved = spared.made.plan.optimal
    raise short_of(task, saw.stocks[spared.number], goods, spared.count, proved=proved)


def _spared(chosen: Sequence[Jointing], saw: Saw, effort: Effort) -> _Spared | None:
    """Of the longest stock that helps."""
    for number, stock in sorted(enumerate(saw.stocks), key=lambda one: -one[1].length):
        if number not in saw.owned and stock.supply is not None:
            made = _sparing(chosen, saw, number, effort)
            if made is not None:
                return made
    return None


def _parted(
    chosen: Sequence[Jointing], saw: Saw, effort: Effort, whole: _Spared | None
) -> _Spared | None:
    """The same with joints in runs that it would hold; None where that needs as many."""
    if whole is None:
        return None
    made = _sparing(chosen, saw, whole.number, effort, at_most=whole.count)
    return made if made is not None and made.count < whole.count else None


def _sparing(
    chosen: Sequence[Jointing],
    saw: Saw,
    number: int,
    effort: Effort,
    at_most: int | None = None,
) -> _Spared | None:
    """A plan with as few sticks as can be of one stock without a limit, the others as they are.

    With a limit, `at_most`, runs may be jointed that only stock at hand would hold.
    """
    stocks = tuple(
        replace(stock, cost=1, supply=at_most) if k == number else replace(stock, cost=0)
        for k, stock in enumerate(saw.stocks)
    )
    counted = replace(saw, stocks=stocks, objective=COUNTED, rests=None)
    made = solved(chosen, counted, effort, parted=at_most is not None)
    return _Spared(number, made) if isinstance(made, Jointed) else None


def _costed(chosen: Sequence[Jointing], saw: Saw, made: Jointed) -> Jointed:
    """A plan at what its sticks and joints cost; its bound is that of stock without limits."""
    free = replace(saw, stocks=tuple(replace(stock, supply=None) for stock in saw.stocks))
    relaxed = solved(chosen, free, EFFORTS["quick"])
    cost = saw.spent(made)
    bound = min(cost, relaxed.plan.bound) if isinstance(relaxed, Jointed) else 0
    return replace(made, plan=replace(made.plan, cost=cost, bound=bound), as_you_go=None)
