"""Plans in whole sheets out of the programme's fractions, the quickest ways first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from service.cutting.effort import Effort
from service.cutting.sheets.fill import fills
from service.cutting.sheets.master import SheetMaster
from service.cutting.sheets.search import Search
from service.cutting.sheets.stock import Cutup, cost_of
from service.cutting.sheets.trees import clipped

TRIES_A_ROUND = 5
MOST_TRIES = 2000
MOST_DIVES = 3
FEWEST_NODES = 100
RIPENING = 4

Plan = list[Cutup]


class Improving:
    """Plans for the parts of a programme, more of them until one costs no more than `bound`."""

    def __init__(
        self, master: SheetMaster, plans: Sequence[Plan], bound: int, effort: Effort
    ) -> None:
        self.master = master
        self.plans = list(plans)
        self.bound = bound
        self.effort = effort

    @property
    def cost(self) -> int | None:
        """What the cheapest plan costs; None while there is none."""
        return min((cost_of(plan, self.master.stocks) for plan in self.plans), default=None)

    def run(self) -> list[Plan]:
        """All plans found; none where none was found within the supply."""
        for step in (self._round, self._search, self._ripen, self._whole):
            step()
            if self.cost is not None and self.cost <= self.bound:
                break
        return self.plans

    def _round(self) -> None:
        """The programme's whole sheets, the likeliest of the others, and fills of the rest."""
        used = sorted(self.master.used(), key=lambda one: (-(one[1] % 1), one[0][0], repr(one[0])))
        taken = [cutup for cutup, number in used for _ in range(int(number + 1e-6))]
        likely = [cutup for cutup, number in used if number % 1 > 1e-6]
        for kept in range(min(self.effort.dives, MOST_DIVES)):
            self._finish([*taken, *likely[:kept]])

    def _search(self) -> None:
        """The cheapest plan, changed by search; the sheets tried go into the programme."""
        if not self.plans:
            return
        stocks = self.master.stocks
        start = min(self.plans, key=lambda plan: cost_of(plan, stocks))
        search = Search(start, stocks, self.master.kerf)
        tries = min(MOST_TRIES, TRIES_A_ROUND * self.effort.rounds)
        self.master.work += search.run(tries, self.bound)
        self.master.add(search.seen)
        self.plans.append(search.plan)

    def _ripen(self) -> None:
        """Rounded again, with ways of cutting that the bound had no need of."""
        self.master.ripen(self.effort.rounds // RIPENING)
        self._round()

    def _whole(self) -> None:
        """Whole sheets of all that is in the programme, by branch and bound.

        Where nothing was found yet, a few nodes are spent at any effort: supply is called short
        only after that.
        """
        nodes = self.effort.nodes if self.plans else max(self.effort.nodes, FEWEST_NODES)
        if nodes:
            self._finish(self.master.whole(nodes, self.cost) or [])

    def _finish(self, taken: Sequence[Cutup]) -> None:
        """`taken` with only the parts still wanted, and every fill of what they leave."""
        left = Counter(self.master.parts)
        plan: Plan = []
        spent: Counter[int] = Counter()
        for number, tree in taken:
            supply = self.master.stocks[number].supply
            kept = None if supply is not None and spent[number] >= supply else clipped(tree, left)
            if kept is not None:
                plan.append((number, kept))
                spent[number] += 1
        rest = {part: count for part, count in left.items() if count}
        more = fills(rest, self.master.stocks, self.master.kerf, spent) if rest else [[]]
        self.plans += [[*plan, *own] for own in more]
