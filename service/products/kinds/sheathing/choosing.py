"""Which joints of all that keep the rules: those that need the least stock."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

from service.cutting.sheets.layouts import Values
from service.layout.panel_runs import (
    Arranged,
    Joints,
    PanelRun,
    every_way,
)
from service.layout.panels import joints_before, keeps_apart
from service.products.kinds.sheathing.weighing import Weighing

MOST_WAYS = 200
"""Ways of jointing one run that are tried in the place of the one chosen."""

MOST_FILLED = 6_000
"""Pieces that are put into sheets over all ways tried one by one, each filling counted."""

MOST_STEPS = 4_000
"""Ways of one run that are put to those of the runs before, in the search of all together."""


def improved(weighing: Weighing, best: Arranged) -> Arranged:
    """Other ways of jointing while they need less stock: of one run, then of all together.

    Ends when no way of jointing can need less, or when enough was tried.
    """
    if not weighing.ways:
        return best
    search = _Search(weighing)
    most = weighing.filled + MOST_FILLED
    for others in (search.better, search.every):
        again = True
        while again and weighing.cost(best) > weighing.enough and weighing.filled < most:
            again = False
            for other in others(best):
                if weighing.weight(other) < weighing.weight(best):
                    best, again = other, True
                    break
                if weighing.filled >= most:
                    break
    return best


class _Search:
    """Other ways of jointing than one that was found, and how many `steps` it took to find them."""

    def __init__(self, weighing: Weighing) -> None:
        self.weighing = weighing
        self.steps = 0

    def better(self, one: Arranged) -> Iterator[Arranged]:
        """Ways with one run jointed otherwise whose pieces may go into cheaper sheets."""
        weighing, measure = self.weighing, self.weighing.measure
        room = measure.room(weighing.cost(one) - 1)
        own = [measure.of(weighing.parts(k, joints)) for k, joints in enumerate(one.joints)]
        for number in range(len(weighing.runs)):
            others = measure.together(own[:number] + own[number + 1 :])
            for way in self._changed(one, number):
                value = others + measure.of(weighing.parts(number, way))
                if not (value > room).any():
                    yield self._with(one, number, way)

    def every(self, best: Arranged) -> Iterator[Arranged]:
        """Ways of jointing all runs together whose pieces may go into cheaper sheets.

        Run by run, each way that leaves room for the least that the runs to come can need.
        """
        weighing, measure = self.weighing, self.weighing.measure
        room = measure.room(weighing.cost(best) - 1)
        least = [measure.least(way) for way in weighing.ways]
        each = [self._tried(number) for number in range(len(weighing.runs))]
        to_come = [measure.together(least[k + 1 :]) for k in range(len(least))]
        begun: list[tuple[tuple[Joints, ...], Values]] = [((), measure.together(()))]
        while begun and self.steps < MOST_STEPS:
            joints, value = begun.pop()
            number = len(joints)
            if number == len(weighing.runs):
                near = weighing.near(joints)
                if near <= best.near:
                    yield Arranged(joints, near)
                continue
            before = joints_before(weighing.runs, joints)
            for way, own in reversed(each[number]):
                self.steps += 1
                if keeps_apart(way, before, weighing.rules.stagger):
                    more = value + own
                    if not (more + to_come[number] > room).any():
                        begun.append(((*joints, way), more))

    def _tried(self, number: int) -> list[tuple[Joints, Values]]:
        """Ways of jointing one run, each with what its pieces are worth."""
        found = islice(every_way(self.weighing.runs[number], self.weighing.rules), MOST_WAYS)
        return [(way, self.weighing.measure.of(self.weighing.parts(number, way))) for way in found]

    def _changed(self, one: Arranged, number: int) -> Iterator[Joints]:
        """Other joints of one run, apart from those of its neighbours."""
        beside = _beside(self.weighing.runs, one.joints, number)
        for way in islice(every_way(self.weighing.runs[number], self.weighing.rules), MOST_WAYS):
            if way != one.joints[number] and keeps_apart(way, beside, self.weighing.rules.stagger):
                yield way

    def _with(self, one: Arranged, number: int, way: Joints) -> Arranged:
        return self.weighing.arranged((*one.joints[:number], way, *one.joints[number + 1 :]))


def _beside(runs: Sequence[PanelRun], joints: Sequence[Joints], number: int) -> list[int]:
    """Joints of the rows before and after that touch a run."""
    run = runs[number]
    return sorted(
        at
        for other, own in zip(runs, joints, strict=True)
        if abs(other.row - run.row) == 1 and other.low < run.high and run.low < other.high
        for at in own
    )
