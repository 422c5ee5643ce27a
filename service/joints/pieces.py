"""Which pieces runs may be made of under the rules of their layer, and the graphs of them."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence

from service.cutting.records import Need, Stock
from service.joints.graph import Arcs, Graph
from service.joints.needs import Needs
from service.joints.records import JointRules, JointRun
from service.layout.bearings import BearingLine

_Between = dict[tuple[int, int], int | None]
"""The number of the piece between two joints, by their stations; None where a rule forbids it."""


class Pieces:
    """The legal pieces of runs under one set of rules.

    A piece between two joints is the same in every run over the same members, so it is looked at
    once; and what starts at one is a list that runs share which have it and the next ones alike.
    """

    def __init__(self, rules: JointRules, stocks: Sequence[Stock], needs: Needs) -> None:
        self._rules, self._stocks, self._needs = rules, stocks, needs
        self._longest = max(stock.reach for stock in stocks) + rules.cut_to + max(rules.lost)
        self._whole = frozenset(stock.usable for stock in stocks)
        self._between: dict[BearingLine, _Between] = defaultdict(dict)
        self._alike: dict[BearingLine, dict[tuple[int, tuple[int, ...]], Arcs]] = defaultdict(dict)

    def graph(self, run: JointRun, bits: dict[int, int]) -> Graph:
        """Every legal piece of a jointed run by its own rules (length, bearings, ends)."""
        places = (run.low, *run.stations, run.high)
        arcs = self._arcs(run, places)
        marks = (0, *(bits[place] for place in run.stations), 0)
        return Graph(places, (*arcs, ()), marks).with_most(run.most)

    def _arcs(self, run: JointRun, places: tuple[int, ...]) -> tuple[Arcs, ...]:
        """From each place but the last those that a piece reaches, with the number of its need."""
        last, arcs = len(places) - 1, []
        alike, between = self._alike[run.line], self._between[run.line]
        for i, low in enumerate(places[:-1]):
            beyond = bisect_right(places, low + self._longest, i + 1)
            near = places[i : min(beyond, last)]
            if i == 0:
                out = _told(i, [self._number(run, low, high) for high in near[1:]])
            elif (i, near) in alike:
                out = alike[i, near]
            else:
                out = alike[i, near] = _told(i, self._numbers(run, near, between))
            if beyond > last:
                number = self._number(run, low, places[last])
                out = out if number is None else (*out, (last, number))
            arcs.append(out)
        return tuple(arcs)

    def _numbers(self, run: JointRun, places: Sequence[int], between: _Between) -> list[int | None]:
        """The numbers of the pieces from the first of some joints to the others."""
        low = places[0]
        for high in places[1:]:
            if (low, high) not in between:
                between[low, high] = self._number(run, low, high)
        return [between[low, high] for high in places[1:]]

    def _number(self, run: JointRun, low: int, high: int) -> int | None:
        """The number of what is cut for the piece between two places; None if it is illegal."""
        need = self._need(run, low, high)
        if need is None:
            return None
        least = run.least(need.length, low_end=low == run.low, high_end=high == run.high)
        return self._needs.number(need, least)

    def _need(self, run: JointRun, low: int, high: int) -> Need | None:
        rules = self._rules
        low_end, high_end = low == run.low, high == run.high
        whole_run = low_end and high_end
        need = rules.need(run, low, high)
        length = need.length + run.shorter_by(low_end=low_end, high_end=high_end)
        # It must be long enough as it lies, and as it is cut: rounding may take up to a step off.
        cut = length + rules.lost[0 if low_end else 1]
        if not whole_run and min(high - low, cut) < rules.min_piece:
            return None
        touched = len(run.line.touched(low, high, rules.min_touch))
        if not whole_run and touched < rules.min_bearings:
            return None
        if whole_run and rules.whole_where_it_fits:
            return None
        if not any(stock.holds(need._replace(length=length)) for stock in self._stocks):
            return None
        if rules.end_matched and not (low_end or high_end) and length not in self._whole:
            return None
        return need


def _told(node: int, numbers: Sequence[int | None]) -> Arcs:
    """The arcs from a node to those after it, one by one, as far as there are numbers."""
    return tuple((node + k, number) for k, number in enumerate(numbers, 1) if number is not None)
