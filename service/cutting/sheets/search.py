"""Better plans from a plan: some sheets are undone and their parts nested anew, over and over.

What is undone and how it is filled again goes through all choices in turn, never by chance: the
same job gives the same plan.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from service.cutting.low_discrepancy import LowDiscrepancy
from service.cutting.sheets.fill import FIRST_CUTS, ORDERS, Filler, coverable, fill_all
from service.cutting.sheets.stock import Cutup, SheetStock, cost_of
from service.cutting.sheets.trees import Part, parts_of

FEWEST_UNDONE, MOST_UNDONE = 2, 4
EVEN, UNEVEN = 1000, 300


class Search:
    """A plan that is changed while it does not become worse; `seen` are all sheets ever made."""

    def __init__(self, plan: Sequence[Cutup], stocks: Sequence[SheetStock], kerf: int) -> None:
        self.stocks = stocks
        self.kerf = kerf
        self.seen = dict.fromkeys(plan)
        self.cost = cost_of(plan, stocks)
        self._sheets = [(self._filled(cutup), cutup) for cutup in plan]
        self._spread = LowDiscrepancy()

    @property
    def plan(self) -> list[Cutup]:
        """The plan as it stands."""
        return [cutup for _, cutup in self._sheets]

    def run(self, tries: int, bound: int) -> int:
        """Try so often, until the plan costs no more than `bound`; gives how often was tried."""
        for number in range(tries):
            if self.cost <= bound or len(self._sheets) < FEWEST_UNDONE:
                return number
            self._try(number)
        return tries

    def _try(self, number: int) -> None:
        """Undo a few sheets and fill them again; keep that if it is no worse."""
        undone = self._undone(number)
        kept = [sheet for k, sheet in enumerate(self._sheets) if k not in undone]
        old = [self._sheets[k] for k in sorted(undone)]
        loose = Counter(part for _, (_, tree) in old for part in parts_of(tree))
        spent = Counter(stock for _, (stock, _) in kept)
        filler = Filler(self.kerf, FIRST_CUTS[number % len(FIRST_CUTS)])
        most = coverable(loose, self.stocks, self.kerf)
        made = fill_all(self._order(number, loose), loose, self.stocks, filler, spent, most)
        if made is None:
            return
        self.seen.update(dict.fromkeys(made))
        new = [(self._filled(cutup), cutup) for cutup in made]
        if self._standing(new) <= self._standing(old):
            self._sheets = [*kept, *new]
            self.cost = cost_of(self.plan, self.stocks)

    def _undone(self, number: int) -> set[int]:
        """Sheets spread over the plan; every other time the emptiest is one of them."""
        count = len(self._sheets)
        # A count is kept while every first cut is tried with every order.
        turn = number // (len(FIRST_CUTS) * len(ORDERS))
        wanted = min(count, FEWEST_UNDONE + turn % (MOST_UNDONE - FEWEST_UNDONE + 1))
        emptiest = min(range(count), key=lambda k: self._sheets[k][0])
        chosen = {emptiest} if number % 2 else set()
        while len(chosen) < wanted:
            chosen.add(self._spread.below(count))
        return chosen

    def _order(self, number: int, loose: Counter[Part]) -> list[Part]:
        """The parts by one of the orders, each a little out of its place."""
        orders = list(ORDERS.values())
        key = orders[number // len(FIRST_CUTS) % len(orders)]
        places = {
            part: key(part)[0] * (EVEN - UNEVEN + self._spread.below(2 * UNEVEN + 1))
            for part in sorted(loose)
        }
        return sorted(places, key=lambda part: places[part], reverse=True)

    def _standing(self, sheets: Sequence[tuple[int, Cutup]]) -> tuple[int, int]:
        """Cost, then evenness: fuller and emptier sheets are better than all alike."""
        cost = cost_of([cutup for _, cutup in sheets], self.stocks)
        return cost, -sum(filled**2 for filled, _ in sheets)

    def _filled(self, cutup: Cutup) -> int:
        """How many parts in a million of a sheet its parts cover."""
        number, tree = cutup
        stock = self.stocks[number]
        used = sum(part.length * part.width for part in parts_of(tree))
        return used * 1_000_000 // (stock.length * stock.width)
