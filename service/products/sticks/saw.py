"""What sticks are cut from and with, and what for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.cutting.records import Need, Stock
from service.cutting.sticks.offcuts import RestValue
from service.cutting.sticks.rips import WholeBoard
from service.errors import Fault, TradeRefused
from service.joints.records import Jointed
from service.products.same_length import cheapest_first, rows_taken, saved
from service.products.sticks.task import StickTask
from service.products.stock import Objective


@dataclass(frozen=True, slots=True)
class Saw:
    """What is sawn, of what and with what: stocks, kerf, and what they are chosen for.

    `rests` says what kept rests count for; None where they count for nothing. `fixed` are pieces
    that are cut as they are, beside those of the runs; `board` is what rips of boards may share.
    """

    stocks: tuple[Stock, ...]
    kerf: int
    objective: Objective
    rests: RestValue | None = None
    fixed: tuple[Need, ...] = ()
    board: WholeBoard | None = None

    @property
    def owned(self) -> frozenset[int]:
        """The numbers of the stocks that the caller has already."""
        return frozenset(k for k, stock in enumerate(self.stocks) if stock.owned)

    def without_owned(self, over: int = 0) -> Saw:
        """With none of what is owned that reaches over so many ticks."""
        return replace(
            self,
            stocks=tuple(
                replace(stock, supply=0) if stock.owned and stock.reach > over else stock
                for stock in self.stocks
            ),
        )

    def spent(self, made: Jointed) -> int:
        """What the sticks and joints of a plan cost, whatever rests count for."""
        sticks = sum(self.stocks[stick.stock].cost for stick in made.plan.sticks)
        return sticks + self.objective.joint_cost * made.joints

    def rows_taken(self, made: Jointed, task: StickTask) -> Counter[int]:
        """How many sticks a plan takes of each row of the product's stock, by its number."""
        numbers = [stick.stock for stick in made.plan.sticks]
        by_price = self.objective.measured_in == "money"
        return rows_taken(task, numbers, self.stocks, by_price=by_price)

    def bought(self, made: Jointed) -> int:
        """How many sticks of a plan are to be bought."""
        return sum(not self.stocks[stick.stock].owned for stick in made.plan.sticks)

    def cheapest_first(self, made: Jointed) -> Jointed:
        """A plan in which of sticks as long the cheapest are used up first.

        Where rests count for something, what a stick costs depends on its rest: then the plan
        stays as it is.
        """
        if self.rests is not None:
            return made
        before = tuple(stick.stock for stick in made.plan.sticks)
        after = cheapest_first(before, self.stocks)
        if after == before:
            return made
        sticks = (replace(one, stock=k) for one, k in zip(made.plan.sticks, after, strict=True))
        cost = made.plan.cost - saved(before, after, self.stocks)
        return replace(made, plan=replace(made.plan, sticks=tuple(sticks), cost=cost))

    def only(self, numbers: Sequence[int]) -> Saw:
        """With some of the stocks alone."""
        return replace(self, stocks=tuple(self.stocks[k] for k in numbers))


def saw_of(
    task: StickTask, stocks: tuple[Stock, ...], objective: Objective, fixed: Sequence[Need] = ()
) -> Saw:
    """What a product is cut from; refused where no stock is left after its end trims."""
    if not stocks:
        raise TradeRefused(
            Fault(
                "stock-too-short",
                "no stock length is left after its end trims",
                f"{task.product_pointer}/stock",
                rule="8.1",
            )
        )
    return Saw(stocks, task.rules.kerf, objective, fixed=tuple(fixed))
