"""Rows of all layers of one product jointed together with its stock (11.5, 11.6, 19.2).

Each layer comes with the joints that it would have alone. A programme of ways of jointing and ways
of cutting prices the parts of all of them; at its prices each layer has a cheapest jointing, found
row by row. The cheapest of those that come up is taken if it costs less than the joints that are
there. Work is counted; neither the clock nor the order of the layers decides.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import cycle

from service.cutting.effort import EFFORTS
from service.cutting.sheets.fill import fills
from service.cutting.sheets.layouts import Measure, least_over
from service.cutting.sheets.master import SCALE, SheetMaster
from service.cutting.sheets.nesting import Part, SheetPlan, cost_of_fills
from service.cutting.sheets.stock import attainable
from service.cutting.sheets.ways import counted, live, parts_of
from service.products.goods.sheet.needs import Need, Sheeting, SheetJoints, Together
from service.products.goods.sheet.nested import nested
from service.products.goods.sheet.row_joints import RowJoints, cheapest
from service.products.goods.sheet.sizing import sheets_of
from service.products.supplied import SearchSettings

ROUNDS_A_TRY = 4
"""Rounds of pricing for each jointing that is tried: prices move little in one."""

MOST_ROUNDS = 60
"""Rounds of pricing at any effort: an answer is due in seconds."""

MOST_PIECES = 800
"""Pieces of all jointings that are tried: with many pieces in each, more rounds lie between."""

TOLLS = (SCALE // 100, SCALE // 20, SCALE)
"""What a joint is charged in turn, so that joints come up which do without those of no use."""

MOST_NESTED = 1
"""Jointings nested at full effort, those with the cheapest fills: the order of fills is rough."""

MOST_LAID = 100
"""With more pieces in the pool the search takes too long for what it saves."""


@dataclass(frozen=True, slots=True)
class _Layers:
    """One way of jointing all layers: joints of each, None where they are those it came with."""

    joints: tuple[RowJoints | None, ...]
    parts: Counter[Part]


def joint(needs: Sequence[Need], settings: SearchSettings) -> tuple[SheetJoints | None, ...]:
    """The joints of each layer of a product, chosen for all; None for what has no rows.

    One layer alone was jointed with its stock when it was laid; what takes sheets with an edge
    ripped off has no part in it. Nothing is chosen where no plan is found for the joints that are
    there.
    """
    none = (None,) * len(needs)
    own = [need for need in needs if not need.wanted.trim]
    if len(own) < 2 or settings.trial or not any(need.wanted.rows for need in own):
        return none
    found = _Pool([need.wanted for need in own], own[0], settings).jointed()
    if found is None:
        return none
    layers, together = found
    joints = iter(layers.joints)
    return tuple(
        None if need.wanted.trim else _chosen(need.wanted, next(joints), together) for need in needs
    )


def _chosen(wanted: Sheeting, found: RowJoints | None, together: Together) -> SheetJoints | None:
    if wanted.rows is None:
        return None
    joints, near = wanted.rows.arranged.joints, wanted.rows.arranged.near
    if found is not None:
        joints, near = found.joints, found.near
    return SheetJoints(joints=joints, near=near, together=together)


class _Pool:
    """All that is wanted of one product, and the stock it is cut from."""

    def __init__(self, wanted: Sequence[Sheeting], need: Need, settings: SearchSettings) -> None:
        self.wanted = tuple(wanted)
        self.stocks, _ = sheets_of(need.task, settings)
        self.kerf = need.task.rules.kerf
        self.effort = EFFORTS[settings.effort]
        self.ways = [tuple(live(run) for run in one.ways) for one in wanted]
        self.runs = counted(run for own in self.ways for run in own)

    def jointed(self) -> tuple[_Layers, Together] | None:
        """The best jointing found; None where the layers as they are laid have no plan."""
        best = self._layers([None] * len(self.wanted))
        plan = self._nested(best)
        if plan is None:
            return None
        least, tried = self._tried(best, plan.cost)
        for layers in self._likeliest(tried):
            if plan.cost <= least:
                break
            other = self._nested(layers)
            if other is not None and other.cost < plan.cost:
                best, plan = self._plainer(layers, other)
        return best, Together(stocks=self.stocks, plan=plan, least=least)

    def _plainer(self, layers: _Layers, plan: SheetPlan) -> tuple[_Layers, SheetPlan]:
        """The same without joints that do not pay: layers that keep theirs at no more cost."""
        plain = layers
        fills_come_to = cost_of_fills(layers.parts, self.stocks, self.kerf) or 0
        limit = max(plan.cost, fills_come_to)
        for k in sorted(range(len(self.wanted)), key=lambda k: self._more(k, layers.joints[k])):
            kept = self._layers([*plain.joints[:k], None, *plain.joints[k + 1 :]])
            cost = cost_of_fills(kept.parts, self.stocks, self.kerf, limit)
            if cost is not None and cost <= limit:
                plain = kept
        again = self._nested(plain) if plain != layers else None
        return (layers, plan) if again is None or again.cost > plan.cost else (plain, again)

    def _more(self, number: int, found: RowJoints | None) -> tuple[int, list[Part]]:
        """How layers compare: those first that are cut into most more pieces than alone."""
        parts = sorted(self.wanted[number].parts.values())
        return len(parts) - len(found.parts) if found else 0, parts

    def _tried(self, as_laid: _Layers, cost: int) -> tuple[int, list[_Layers]]:
        """What all layers must cost at least, and the jointings that came up on the way."""
        least = self._least_by_size()
        if cost <= least or as_laid.parts.total() > MOST_LAID:
            return least, []
        found = dict[tuple[RowJoints | None, ...], None]()
        rounds = zip(cycle(TOLLS), self._priced(as_laid.parts, cost), strict=False)
        for toll, (prices, bound) in rounds:
            found.setdefault(
                tuple(self._cheapest(k, prices, toll) for k in range(len(self.wanted)))
            )
            # Of a layer without rows the programme holds the parts as they are laid.
            least = max(least, bound) if all(one.rows for one in self.wanted) else least
        return least, [self._layers(one) for one in found]

    def _least_by_size(self) -> int:
        ways = [run for one in self.wanted for run in one.ways]
        longest = sum(way.last for way in ways)
        measure = Measure(parts_of(ways), self.stocks, self.kerf, longest)
        return least_over(ways, measure, sum(one.bare for one in self.wanted))

    def _priced(self, parts: Counter[Part], cost: int) -> Iterator[tuple[Mapping[Part, int], int]]:
        """Prices every few rounds, and the bound shown by then; ends when that is `cost`."""
        laid_anyhow = Counter(
            part for one in self.wanted if one.rows is None for part in one.parts.values()
        )
        start = [cutup for plan in fills(parts, self.stocks, self.kerf, {}) for cutup in plan]
        master = SheetMaster(laid_anyhow, self.stocks, self.kerf, start, self.runs)
        bound, rounds = 0, min(self.effort.rounds, MOST_ROUNDS)
        rounds_a_try = max(ROUNDS_A_TRY, rounds * parts.total() // MOST_PIECES)
        for number, priced in enumerate(master.priced(rounds), start=1):
            bound = max(bound, attainable(priced.least, self.stocks))
            reach = attainable(priced.reach, self.stocks)
            last = not priced.added or number == rounds or bound >= min(cost, reach)
            if last or number % rounds_a_try == 0:
                yield priced.prices, bound
            if last:
                return

    def _cheapest(self, number: int, prices: Mapping[Part, int], toll: int) -> RowJoints | None:
        """The cheapest jointing of one layer at `prices`."""
        rows = self.wanted[number].rows
        return None if rows is None else cheapest(rows, self.ways[number], prices, toll)

    def _layers(self, joints: Iterable[RowJoints | None]) -> _Layers:
        """All layers with these joints."""
        own = tuple(joints)
        parts = (
            wanted.parts.values() if found is None else found.parts
            for wanted, found in zip(self.wanted, own, strict=True)
        )
        return _Layers(own, Counter(part for layer in parts for part in layer))

    def _likeliest(self, tried: Sequence[_Layers]) -> list[_Layers]:
        """Of the jointings tried those with the cheapest fills, and of these the earliest."""
        costs = [cost_of_fills(one.parts, self.stocks, self.kerf) for one in tried]
        able = [k for k, cost in enumerate(costs) if cost is not None]
        best = sorted(able, key=lambda k: (costs[k], tried[k].parts.total()))
        return [tried[k] for k in best[:MOST_NESTED]]

    def _nested(self, layers: _Layers) -> SheetPlan | None:
        return nested(layers.parts, self.stocks, self.kerf, self.effort)
