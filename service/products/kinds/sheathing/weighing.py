"""What a way of jointing the rows of sheets needs: the stock that its very pieces take.

Every way is weighed by the pieces that it makes, over slanted and stepped ends and openings,
and from whichever side the rows are plainer: a mirror changes nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from service.cutting.sheets.fill import fills
from service.cutting.sheets.layouts import Measure, Values, least_over
from service.cutting.sheets.nesting import Part, SheetStock
from service.cutting.sheets.stock import cost_of
from service.cutting.sheets.unshared import unshared
from service.cutting.sheets.ways import Jointing, parts_of
from service.layout.panel_runs import (
    Arranged,
    Joints,
    PanelRules,
    PanelRun,
    onward,
    spans,
)
from service.layout.panels import least_apart
from service.products.goods.sheet.sizing import Sizing, sizing_of
from service.products.kinds.sheathing.rulings import Task
from service.products.stock import UNTRIMMED, in_order, stocks_of
from service.products.supplied import SearchSettings

NO_PLAN = 1 << 62
"""What no sheets cost that are at hand."""

Weight = tuple[int, int, int, int, int]
"""Joints near corners, cost of stock, joints and their length, and how close they come."""


class Weighing:
    """Ways of jointing the runs of one layer, by what they need; what was weighed is kept.

    `ways` are all ways of jointing each run, none where joints lie on blocks, and `enough` is
    what no way costs less than.
    """

    def __init__(
        self,
        runs: Sequence[PanelRun],
        rules: PanelRules,
        sizing: Sizing,
        stocks: Sequence[SheetStock],
        kerf: int,
        *,
        on_members: bool,
    ) -> None:
        self.runs = runs
        self.rules = rules
        self.sizing = sizing
        self.stocks = stocks
        self.kerf = kerf
        self.filled = 0
        self._costs: dict[tuple[tuple[Part, int], ...], int] = {}
        self._values: dict[Arranged, Values] = {}
        self._parts: dict[tuple[int, Joints], tuple[Part, ...]] = {}
        self._cut: dict[tuple[int, int, int], Part | None] = {}
        self.ways = tuple(map(self._ways, range(len(runs)))) if on_members else ()
        longest = sum(way.last for way in self.ways)
        self.measure = Measure(parts_of(self.ways), stocks, kerf, longest)
        self.enough = least_over(self.ways, self.measure) if on_members else 0

    def parts(self, number: int, joints: Joints) -> tuple[Part, ...]:
        """What is cut for the pieces of one run."""
        key = number, joints
        if key not in self._parts:
            run = self.runs[number]
            sides = spans(run.low, run.high, joints, self.rules.gap)
            found = (self._part(number, low, high) for low, high in sides)
            self._parts[key] = tuple(part for part in found if part is not None)
        return self._parts[key]

    def _part(self, number: int, low: int, high: int) -> Part | None:
        """What is cut for the piece of a run between two stations."""
        key = number, low, high
        if key not in self._cut:
            self._cut[key] = piece_part(self.sizing, self.runs[number], low, high)
        return self._cut[key]

    def _ways(self, number: int) -> Jointing:
        """Every way of jointing a run, as steps from joint to joint."""
        run = self.runs[number]
        nodes: dict[int | None, int] = {at: k + 1 for k, at in enumerate((*run.stations, None))}
        rules, steps = self.rules, list[tuple[int, int, Part | None]]()
        for start, at in enumerate((None, *run.stations)):
            low = run.low if at is None else at + rules.gap - rules.gap // 2
            for to in onward(run, rules, at):
                high = run.high if to is None else to - rules.gap // 2
                steps.append((start, nodes[to], self._part(number, low, high)))
        return Jointing(tuple(steps), nodes[None])

    def weight(self, one: Arranged) -> Weight:
        """The less, the better."""
        return one.near, self.cost(one), *self.look(one)

    def look(self, one: Arranged) -> tuple[int, int, int]:
        """How many joints there are, how long they are in all, and how close they come."""
        counts = [len(joints) for joints in one.joints]
        wide = sum(count * run.breadth.most for run, count in zip(self.runs, counts, strict=True))
        apart = min(least_apart(self.runs, one.joints), self.rules.most // 2)
        return sum(counts), wide, -apart

    def counted(self, one: Arranged) -> Counter[Part]:
        """How many of each part are cut."""
        return Counter(part for k, own in enumerate(one.joints) for part in self.parts(k, own))

    def cost(self, one: Arranged) -> int:
        """What the quickest fills of sheets come to."""
        wanted = tuple(sorted(self.counted(one).items()))
        if wanted not in self._costs:
            self._costs[wanted] = self._filled(dict(wanted))
        return self._costs[wanted]

    def _filled(self, wanted: Mapping[Part, int]) -> int:
        """The least of all fills, until none can cost less; what shares no sheet is not filled."""
        own = unshared(wanted, self.stocks, self.kerf)
        single = sum(self.stocks[number].cost * wanted[part] for part, (number, _) in own.items())
        shared = {part: count for part, count in wanted.items() if part not in own}
        self.filled += len(own)
        cost = NO_PLAN
        for plan in fills(shared, self.stocks, self.kerf, {}) if shared else [[]]:
            self.filled += sum(shared.values())
            before, cost = cost, min(cost, single + cost_of(plan, self.stocks))
            if cost <= self.enough or (cost < before and self._is_least(wanted, cost)):
                break
        return cost

    def _is_least(self, wanted: Mapping[Part, int], cost: int) -> bool:
        """Whether these parts are worth more than sheets for less can hold."""
        if not self.ways:
            return False
        value = self.measure.together(n * self.measure.of([part]) for part, n in wanted.items())
        return bool((value > self.measure.room(cost - 1)).any())

    def least(self, found: Iterable[Arranged]) -> Arranged:
        """The best of ways found; of those with most joints near corners none is weighed.

        Those that may cost no more than any way must come first.
        """
        every = list(dict.fromkeys(found))
        near = min(one.near for one in every)
        likely = sorted((one for one in every if one.near == near), key=self.look)
        if self.ways:
            able = (one for one in likely if self.may_cost(one, self.enough))
            least = next((one for one in able if self.cost(one) <= self.enough), None)
            if least is not None:
                return least
        best = likely[0]
        for one in likely[1:]:
            less = self.cost(best) - 1
            if self.may_cost(one, less) and self.cost(one) <= less:
                best = one
        return best

    def may_cost(self, one: Arranged, cost: int) -> bool:
        """Whether the pieces of one way may go into sheets for so much."""
        if not self.ways:
            return True
        if one not in self._values:
            self._values[one] = self.measure.of(
                part for k, own in enumerate(one.joints) for part in self.parts(k, own)
            )
        return not (self._values[one] > self.measure.room(cost)).any()

    def arranged(self, joints: tuple[Joints, ...]) -> Arranged:
        """Joints of all runs, with those near corners counted."""
        return Arranged(joints, self.near(joints))

    def near(self, joints: Sequence[Joints]) -> int:
        """How many joints a corner should have kept off."""
        return sum(at in run.shut for run, own in zip(self.runs, joints, strict=True) for at in own)


def weighing_of(
    task: Task, runs: Sequence[PanelRun], rules: PanelRules, *, on_members: bool
) -> Weighing:
    """Ways of jointing `runs`, weighed by the sheets that can be bought.

    They count at their prices if all have one, otherwise by length. A sheet then costs the gap
    beside it too: two short ones cover no more than one as long as both.
    """
    bars, objective = stocks_of(task, UNTRIMMED, SearchSettings(None, "quick", False))
    gap, priced = task.rules.panel_gap(task.product), objective.measured_in == "money"
    stocks = [
        SheetStock(s.key, s.length, task.product.width, s.cost if priced else s.length + gap,
                   s.supply)
        for s in bars
    ]  # fmt: skip
    sizing, kerf = sizing_of(task), task.rules.kerf
    return Weighing(runs, rules, sizing, in_order(stocks), kerf, on_members=on_members)


def piece_part(sizing: Sizing, run: PanelRun, low: int, high: int) -> Part | None:
    """What is cut for the piece of a run between two stations; None if nothing is laid there."""
    if any(a <= low and high <= b for a, b in run.bare):
        return None
    near, far = run.breadth.between(low, high)
    return sizing.part(high - low, far - near)
