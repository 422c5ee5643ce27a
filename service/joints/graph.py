"""All ways to joint one run, as a graph from its low end to its high end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from service.cutting.records import Need, Stock
from service.joints.records import Cut, JointRules, JointRun
from service.units.ticks import up

NEVER = 1 << 30
"""More pieces than any run has."""


@dataclass(frozen=True, slots=True)
class Graph:
    """Nodes are the low end, the allowed stations and the high end, ascending.

    `arcs[i]` lists (j, need number): the pieces that may start at node i. `bits[i]` is the
    station's place in the stack's masks (0 for the two ends); `need_of` the need of each arc.
    No way has more than `most` joints.
    """

    places: tuple[int, ...]
    arcs: tuple[tuple[tuple[int, int], ...], ...]
    bits: tuple[int, ...]
    need_of: dict[tuple[int, int], int]
    most: int | None = None

    @property
    def size(self) -> int:
        """Number of arcs: the work of one pass."""
        return sum(len(out) for out in self.arcs)

    def best(
        self, prices: Sequence[float], nodes: Sequence[float], forbidden: int = 0
    ) -> tuple[float, tuple[int, ...]] | None:
        """The cheapest way through, joints as node numbers; None if there is none."""
        found = self._cheapest(prices, nodes, forbidden)
        if found is None or self.most is None or len(found[1]) <= self.most:
            return found
        return self._within_most(prices, nodes, forbidden)

    def _cheapest(
        self, prices: Sequence[float], nodes: Sequence[float], forbidden: int
    ) -> tuple[float, tuple[int, ...]] | None:
        """The same with any number of joints."""
        worst = float("inf")
        last = len(self.places) - 1
        cost = [worst] * (last + 1)
        before = [0] * (last + 1)
        cost[0] = 0
        for node, out in enumerate(self.arcs):
            here = cost[node]
            if here == worst or self.bits[node] & forbidden:
                continue
            here += nodes[node]
            for to, need in out:
                total = here + prices[need]
                if total < cost[to]:
                    cost[to] = total
                    before[to] = node
        return None if cost[last] == worst else (cost[last], self._trail(before))

    def _within_most(
        self, prices: Sequence[float], nodes: Sequence[float], forbidden: int
    ) -> tuple[float, tuple[int, ...]] | None:
        """The cheapest way of at most `most` joints, grown piece by piece."""
        assert self.most is not None
        last = len(self.places) - 1
        ways: dict[int, tuple[float, tuple[int, ...]]] = {0: (0.0, ())}
        best: tuple[float, tuple[int, ...]] | None = None
        for _ in range(self.most + 1):
            longer: dict[int, tuple[float, tuple[int, ...]]] = {}
            for node, (cost, joints) in ways.items():
                for to, need in self.arcs[node]:
                    total = cost + nodes[node] + prices[need]
                    if not self.bits[to] & forbidden and (
                        to not in longer or total < longer[to][0]
                    ):
                        longer[to] = (total, joints if to == last else (*joints, to))
            ended = longer.pop(last, None)
            if ended is not None and (best is None or ended[0] < best[0]):
                best = ended
            ways = longer
        return best

    def _trail(self, before: Sequence[int]) -> tuple[int, ...]:
        node, trail = before[len(self.places) - 1], []
        while node:
            trail.append(node)
            node = before[node]
        return tuple(reversed(trail))

    def mask(self, joints: Sequence[int]) -> int:
        """The stations of `joints` (node numbers) as a mask."""
        made = 0
        for node in joints:
            made |= self.bits[node]
        return made

    def needs(self, joints: Sequence[int]) -> list[int]:
        """Need numbers of the pieces that `joints` make, low end first."""
        nodes = (0, *joints, len(self.places) - 1)
        return [self.need_of[pair] for pair in pairwise(nodes)]

    def cuts(self, joints: Sequence[int], run: JointRun, rules: JointRules) -> tuple[Cut, ...]:
        """The pieces that `joints` make of a run, at the length to which each is cut."""
        nodes = (0, *joints, len(self.places) - 1)
        return tuple(rules.cut(run, self.places[a], self.places[b]) for a, b in pairwise(nodes))

    def ways(self, most: int) -> list[tuple[int, ...]] | None:
        """Every way through, or None if there are more than `most`."""
        found = list(_take(self._walk(0, (), fewest_pieces(self.arcs)), most + 1))
        return found if len(found) <= most else None

    def _walk(
        self, node: int, trail: tuple[int, ...], fewest: Sequence[int]
    ) -> Iterator[tuple[int, ...]]:
        """No step is taken from which the end is out of reach, or only with too many joints."""
        most = NEVER - 1 if self.most is None else self.most
        for to, _ in self.arcs[node]:
            if to == len(self.places) - 1:
                yield trail
            elif len(trail) + fewest[to] <= most:
                yield from self._walk(to, (*trail, to), fewest)


def fewest_pieces(steps: Sequence[Sequence[tuple[int, object]]]) -> list[int]:
    """The fewest pieces from each node to the last, a step each; `NEVER` where none lead there."""
    fewest = [NEVER] * len(steps)
    fewest[-1] = 0
    for node in reversed(range(len(steps) - 1)):
        ahead = min((fewest[to] for to, _ in steps[node]), default=NEVER)
        fewest[node] = min(NEVER, 1 + ahead)
    return fewest


def _take(ways: Iterator[tuple[int, ...]], most: int) -> Iterator[tuple[int, ...]]:
    for way, _ in zip(ways, range(most), strict=False):
        yield way


class Needs:
    """Needs by number, each once."""

    def __init__(self, grain: int = 1, stocks: Sequence[Stock] = ()) -> None:
        self.grain = grain
        self._stocks = stocks
        self._alone: dict[tuple[bool, bool], list[int]] = {}
        self.all: list[Need] = []
        self._numbers: dict[Need, int] = {}
        self.least: dict[Need, int] = {}
        self.shortest: dict[Need, int] = {}

    def standing_for(self, need: Need) -> Need:
        """The need that stands for `need`: up to a multiple of the grain, or to a whole stick.

        Where lengths differ by little from run to run, few needs stand for many.
        """
        if self.grain == 1 or (need.low_factory and need.high_factory):
            return need
        length = up(need.length, self.grain)
        fitting = next((most for most in self._longest(need) if most >= need.length), length)
        return need._replace(length=min(length, fitting))

    def _longest(self, need: Need) -> list[int]:
        """The longest piece with these ends that each stock holds, ascending."""
        ends = need.low_spared, need.high_spared
        if ends not in self._alone:
            alone = [stock.usable + stock.spared(need) for stock in self._stocks]
            self._alone[ends] = sorted(alone)
        return self._alone[ends]

    def met(self, need: Need, least: int | None = None) -> Need:
        """What stands for `need`, which takes `least` of a stick, or its own length.

        The table `least` has the least of all that each was met for, `shortest` their lengths.
        """
        stand_in = self.standing_for(need)
        self.shortest[stand_in] = min(need.length, self.shortest.get(stand_in, need.length))
        least = need.length if least is None else least
        self.least[stand_in] = min(least, self.least.get(stand_in, least))
        return stand_in

    @property
    def nests(self) -> bool:
        """Whether any need may take less of a stick than the shortest it was met for."""
        return self.least != self.shortest

    def number(self, need: Need, least: int | None = None) -> int:
        """The number of what stands for `need`, a new one if it is new."""
        need = self.met(need, least)
        if need not in self._numbers:
            self._numbers[need] = len(self.all)
            self.all.append(need)
        return self._numbers[need]


def graph_of(
    run: JointRun,
    rules: JointRules,
    stocks: Sequence[Stock],
    needs: Needs,
    bits: dict[int, int],
) -> Graph:
    """Every legal piece of a jointed run by its own rules (length, bearings, ends)."""
    places = (run.low, *run.stations, run.high)
    longest = max(stock.reach for stock in stocks)
    whole = frozenset(stock.usable for stock in stocks)
    arcs = []
    for i, low in enumerate(places[:-1]):
        out = []
        for j in range(i + 1, len(places)):
            if places[j] - low > longest + rules.cut_to:
                break
            need = _need(run, rules, places, i, j, stocks, whole)
            if need is not None:
                least = run.least(need.length, low_end=i == 0, high_end=j == len(places) - 1)
                out.append((j, needs.number(need, least)))
        arcs.append(tuple(out))
    need_of = {(i, to): need for i, out in enumerate(arcs) for to, need in out}
    marks = (0, *(bits[place] for place in run.stations), 0)
    graph = Graph(places, (*arcs, ()), marks, need_of)
    if run.most is None:
        return graph
    fewest = graph.best([0.0] * len(needs.all), [1.0] * len(places))
    return graph if fewest is None else replace(graph, most=max(run.most, len(fewest[1])))


def _need(
    run: JointRun,
    rules: JointRules,
    places: tuple[int, ...],
    i: int,
    j: int,
    stocks: Sequence[Stock],
    whole: frozenset[int],
) -> Need | None:
    """What must be cut for the piece between two places, or None if a rule forbids it."""
    low, high = places[i], places[j]
    low_end, high_end = i == 0, j == len(places) - 1
    whole_run = low_end and high_end
    need = rules.need(run, low, high)
    length = need.length
    # It must be long enough as it lies, and as it is cut: rounding may take up to a step off.
    if not whole_run and min(high - low, length) < rules.min_piece:
        return None
    touched = len(run.line.touched(low, high, rules.min_touch))
    if not whole_run and touched < rules.min_bearings:
        return None
    if whole_run and rules.whole_where_it_fits:
        return None
    if not any(stock.holds(need) for stock in stocks):
        return None
    if rules.end_matched and not (low_end or high_end) and length not in whole:
        return None
    return need
