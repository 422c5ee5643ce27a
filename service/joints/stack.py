"""A stack: the runs of one layer, which of them touch, and which stations shut out which."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise
from operator import or_

from service.cutting.records import Stock
from service.joints.graph import Graph
from service.joints.needs import Needs
from service.joints.pieces import Pieces
from service.joints.records import JointRules, JointRun, Places
from service.units.once import once


@dataclass(frozen=True)
class Stack:
    """Runs in course order with their graphs; `None` stands for a run of one piece or installed.

    `beside[k]` are earlier runs that touch run k, one course away; `beyond[k]` two away.
    `near` and `same` give, for each station bit, the stations that stagger and repeat shut out.
    `installed[k]` is the mask of the joints of a run that is there already; it counts for the
    runs before it as well as for those after.
    """

    runs: tuple[JointRun, ...]
    graphs: tuple[Graph | None, ...]
    beside: tuple[tuple[int, ...], ...]
    beyond: tuple[tuple[int, ...], ...]
    stations: tuple[int, ...]
    near: tuple[int, ...]
    same: tuple[int, ...]
    rules: JointRules
    installed: dict[int, int]

    @once
    def jointed(self) -> tuple[int, ...]:
        """Numbers of the runs that have joints."""
        return tuple(k for k, graph in enumerate(self.graphs) if graph is not None)

    def shut(self, k: int, masks: dict[int, int]) -> int:
        """Stations that run k may not use, given the masks of earlier runs."""
        return self.shut_by(k, masks) | self.always_shut(k)

    def shut_by(self, k: int, masks: dict[int, int]) -> int:
        """Stations that earlier runs of these masks shut out for run k."""
        shut = 0
        for other in self.beside[k]:
            shut |= spread(masks.get(other, 0), self.near)
        for other in self.beyond[k]:
            shut |= spread(masks.get(other, 0), self.same)
        return shut

    def always_shut(self, k: int) -> int:
        """Stations that installed runs shut out, before run k and after it."""
        shut, run = 0, self.runs[k]
        for other, mask in self.installed.items():
            beside = self.runs[other]
            if beside.low >= run.high or beside.high <= run.low:
                continue
            apart = abs(beside.course - run.course)
            shut |= spread(mask, self.near) if apart == 1 else 0
            shut |= spread(mask, self.same) if apart == 2 else 0
        return shut


def spread(mask: int, table: Sequence[int]) -> int:
    """Every station that one of `mask` shuts out, by a stack's `near` or `same`."""
    made = 0
    while mask:
        low = mask & -mask
        made |= table[low.bit_length() - 1]
        mask ^= low
    return made


def stack_of(
    runs: Sequence[JointRun],
    single: Sequence[bool],
    rules: JointRules,
    stocks: Sequence[Stock],
    needs: Needs,
) -> Stack:
    """The stack of one layer's runs; `single[k]` says that run k is one piece."""
    laid = {s for k, run in enumerate(runs) if not single[k] for s in run.stations}
    stations = sorted(laid.union(*(run.installed or () for run in runs)))
    bits = {station: 1 << k for k, station in enumerate(stations)}
    pieces, made = Pieces(rules, stocks, needs), dict[object, Graph]()
    graphs: list[Graph | None] = []
    for run, one_piece in zip(runs, single, strict=True):
        alone = one_piece or run.installed is not None
        key = (
            run.low,
            run.high,
            run.stations,
            run.line,
            run.mitres,
            run.shorter,
            run.leans,
            run.spared,
            run.takes_more,
            run.wild,
            run.turned,
            run.most,
        )
        if not alone and key not in made:
            made[key] = pieces.graph(run, bits)
        graphs.append(None if alone else made[key])
    beside, beyond = _touching(runs)
    return Stack(
        runs=tuple(runs),
        graphs=tuple(graphs),
        beside=beside,
        beyond=beyond,
        stations=tuple(stations),
        near=_within(stations, bits, rules.stagger, runs, rules),
        same=_within(stations, bits, rules.repeat, runs, None),
        rules=rules,
        installed={
            k: sum(bits[station] for station in run.installed)
            for k, run in enumerate(runs)
            if run.installed is not None
        },
    )


def _touching(
    runs: Sequence[JointRun],
) -> tuple[tuple[tuple[int, ...], ...], tuple[tuple[int, ...], ...]]:
    """For each run, the runs one and two courses before it that overlap it along the boards."""
    by_course: dict[int, list[int]] = defaultdict(list)
    for k, run in enumerate(runs):
        by_course[run.course].append(k)

    def earlier(run: JointRun, back: int) -> tuple[int, ...]:
        return tuple(
            k
            for k in by_course.get(run.course - back, ())
            if runs[k].low < run.high and runs[k].high > run.low
        )

    return tuple(earlier(r, 1) for r in runs), tuple(earlier(r, 2) for r in runs)


def _within(
    stations: Sequence[int],
    bits: dict[int, int],
    reach: int,
    runs: Sequence[JointRun],
    rules: JointRules | None,
) -> tuple[int, ...]:
    """For each station, the mask of stations nearer than `reach`.

    For floating boards also those between the same two members.
    """
    table = []
    for station in stations:
        low = bisect_right(stations, station - reach)
        high = bisect_left(stations, station + reach)
        table.append(reduce(or_, (bits[s] for s in stations[low:high]), 0))
    if rules is not None and rules.places is Places.FLOATING and runs:
        line = runs[0].line.stations
        bays = [bisect_right(line, station) for station in stations]
        for k, bay in enumerate(bays):
            same = (bits[s] for s, b in zip(stations, bays, strict=True) if b == bay)
            table[k] |= reduce(or_, same, 0)
    return tuple(table)


def blocks(courses: Sequence[int]) -> list[int]:
    """Lengths of the rows of consecutive numbers in ascending `courses`."""
    if not courses:
        return []
    cuts = [0, *(k + 1 for k, (a, b) in enumerate(pairwise(courses)) if b != a + 1), len(courses)]
    return [b - a for a, b in pairwise(cuts)]
