"""Which pieces runs may be made of under the rules of their layer, and the graphs of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from service.cutting.records import Need, Stock
from service.joints.graph import Graph
from service.joints.needs import Needs
from service.joints.records import JointRules, JointRun
from service.layout.bearings import BearingLine

_Between = dict[tuple[int, int], int | None]
"""The number of the piece between two joints, by their stations; None where a rule forbids it."""


class Pieces:
    """The legal pieces of runs under one set of rules.

    A piece between two joints is the same in every run over the same members, so it is looked at
    once.
    """

    def __init__(self, rules: JointRules, stocks: Sequence[Stock], needs: Needs) -> None:
        self._rules, self._stocks, self._needs = rules, stocks, needs
        self._longest = max(stock.reach for stock in stocks) + rules.cut_to
        self._whole = frozenset(stock.usable for stock in stocks)
        self._between: dict[BearingLine, _Between] = defaultdict(dict)

    def graph(self, run: JointRun, bits: dict[int, int]) -> Graph:
        """Every legal piece of a jointed run by its own rules (length, bearings, ends)."""
        places = (run.low, *run.stations, run.high)
        arcs = self._arcs(run, places)
        need_of = {(i, to): need for i, out in enumerate(arcs) for to, need in out}
        marks = (0, *(bits[place] for place in run.stations), 0)
        return Graph(places, (*arcs, ()), marks, need_of).with_most(run.most)

    def _arcs(
        self, run: JointRun, places: Sequence[int]
    ) -> tuple[tuple[tuple[int, int], ...], ...]:
        """From each place but the last those that a piece reaches, with the number of its need."""
        last, between = len(places) - 1, self._between[run.line]
        arcs = []
        for i, low in enumerate(places[:-1]):
            out = []
            for j in range(i + 1, last + 1):
                high = places[j]
                if high - low > self._longest:
                    break
                if i == 0 or j == last:
                    number = self._number(run, low, high)
                elif (low, high) in between:
                    number = between[low, high]
                else:
                    number = between[low, high] = self._number(run, low, high)
                if number is not None:
                    out.append((j, number))
            arcs.append(tuple(out))
        return tuple(arcs)

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
        if not whole_run and min(high - low, length) < rules.min_piece:
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
