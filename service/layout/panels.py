"""Sheets in rows: ways of jointing all rows that keep the rules. All lengths are ticks."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from statistics import median_low

from service.layout.bearings import BearingLine
from service.layout.panel_runs import (
    Arranged,
    Joints,
    PanelRules,
    PanelRun,
    every_way,
    legal,
    mirrored,
)


def usual_spacing(line: BearingLine) -> int:
    """The median distance between neighbouring members; 0 with fewer than two."""
    apart = [b - a for a, b in zip(line.stations, line.stations[1:], strict=False)]
    return median_low(apart) if apart else 0


def ways(run: PanelRun, rules: PanelRules) -> list[Joints]:
    """Joints that a run may have, one way for each first joint, of the fewest pieces.

    A run that one sheet holds is one piece. Empty where no joints will do.
    """
    if run.high - run.low <= rules.most:
        return [()]
    best = _onward(run, rules)
    firsts = [at for at in run.stations if at in best and legal(run, rules, None, at)]
    return sorted((_path(at, best) for at in firsts), key=lambda joints: (len(joints), joints))


def _onward(run: PanelRun, rules: PanelRules) -> dict[int, tuple[int, int | None]]:
    """For each joint from which the far end can be reached: pieces to come, and the next joint.

    Of equal numbers of pieces the longest next one is taken.
    """
    best: dict[int, tuple[int, int | None]] = {}
    for at in reversed(run.stations):
        if legal(run, rules, at, None):
            best[at] = (1, None)
            continue
        place = bisect_right(run.stations, at + rules.most + rules.gap)
        ahead = run.stations[bisect_right(run.stations, at) : place]
        found = [(best[to][0] + 1, -to) for to in ahead if to in best and legal(run, rules, at, to)]
        if found:
            pieces, back = min(found)
            best[at] = (pieces, -back)
    return best


def _path(at: int, best: Mapping[int, tuple[int, int | None]]) -> Joints:
    found = [at]
    while (after := best[found[-1]][1]) is not None:
        found.append(after)
    return tuple(found)


def arrange(runs: Sequence[PanelRun], rules: PanelRules) -> list[Arranged]:
    """Ways of jointing all rows in a pattern; where none keeps the stagger, any way at all.

    Every way is tried then, up to `MOST_TRIED` steps. Empty where nothing was found.
    """
    return patterned(runs, rules) or _searched(runs, rules)


def patterned(runs: Sequence[PanelRun], rules: PanelRules) -> list[Arranged]:
    """Ways of jointing all rows, each from a first length for odd and one for even rows.

    Rows are begun at their low ends and at their high ends, so that what a mirror shows is found
    too.
    """
    found: dict[tuple[Joints, ...], Arranged] = {}
    for made in _from_low_ends(runs, rules):
        found.setdefault(made.joints, made)
    for made in _from_low_ends([mirrored(run, 0) for run in runs], rules):
        joints = tuple(tuple(-at for at in reversed(own)) for own in made.joints)
        found.setdefault(joints, Arranged(joints, made.near))
    return list(found.values())


MOST_TRIED = 20_000


def _searched(runs: Sequence[PanelRun], rules: PanelRules) -> list[Arranged]:
    """The first arrangement of any joints at all, run by run and back where none goes on."""
    choices = [list(islice(every_way(run, rules), 400)) for run in runs]
    chosen: list[Joints] = []
    tries = [iter(choices[0])] if runs else []
    for _ in range(MOST_TRIED):
        if not tries or len(chosen) == len(runs):
            break
        way = next(tries[-1], None)
        if way is None:
            tries.pop()
            chosen = chosen[:-1]
        elif keeps_apart(way, joints_before(runs, chosen), rules.stagger):
            chosen.append(way)
            if len(chosen) < len(runs):
                tries.append(iter(choices[len(chosen)]))
    if not runs or len(chosen) < len(runs):
        return []
    near = sum(at in run.shut for run, way in zip(runs, chosen, strict=True) for at in way)
    return [Arranged(tuple(chosen), near)]


def joints_before(runs: Sequence[PanelRun], chosen: Sequence[Joints]) -> list[int]:
    """Joints of the row before that touch the run whose turn it is."""
    run = runs[len(chosen)]
    return sorted(
        at
        for other, joints in zip(runs, chosen, strict=False)
        if _touches_before(other, run)
        for at in joints
    )


def _touches_before(other: PanelRun, run: PanelRun) -> bool:
    """Whether a run lies in the row before another and touches it."""
    return other.row == run.row - 1 and other.low < run.high and run.low < other.high


def _from_low_ends(runs: Sequence[PanelRun], rules: PanelRules) -> Iterator[Arranged]:
    choices = _choices(runs, rules)
    if not all(choices):
        return
    nearest = _Nearest(runs, choices, rules.stagger)
    for targets in _targets(runs, choices, rules):
        made = _arranged(runs, nearest, targets)
        if made is not None:
            yield made


def _targets(
    runs: Sequence[PanelRun], choices: Sequence[list[Joints]], rules: PanelRules
) -> Iterator[tuple[int, int]]:
    """First lengths to try: the longest, about a half, and others, for odd and even rows."""
    firsts = sorted(
        {way[0] - run.low for run, own in zip(runs, choices, strict=True) for way in own if way}
    )
    if not firsts:
        yield 0, 0
        return
    half = min(firsts, key=lambda at: (abs(2 * at - rules.most), at))
    third = min(firsts, key=lambda at: (abs(3 * at - rules.most), at))
    tried = list(dict.fromkeys((firsts[-1], half, firsts[0], third, firsts[len(firsts) // 2])))
    yield from ((a, b) for a in tried for b in tried if a != b)
    yield from ((a, a) for a in tried)


def _choices(runs: Sequence[PanelRun], rules: PanelRules) -> list[list[Joints]]:
    """The ways of every run; runs that are alike are looked at once."""
    known: dict[object, list[Joints]] = {}
    found = []
    for run in runs:
        alike = run.low, run.high, run.stations, run.line
        if alike not in known:
            known[alike] = ways(run, rules)
        found.append(known[alike])
    return found


class _Nearest:
    """The ways of each run in order: joints off corners first, then nearest to a first length."""

    def __init__(
        self, runs: Sequence[PanelRun], choices: Sequence[list[Joints]], stagger: int
    ) -> None:
        self._runs, self._choices, self._stagger = runs, choices, stagger
        self._known: dict[object, list[Joints]] = {}
        self._first: dict[object, Joints | None] = {}
        self._met = [
            [k for k, other in enumerate(runs[:number]) if _touches_before(other, run)]
            for number, run in enumerate(runs)
        ]

    def first(self, target: int, chosen: Sequence[Joints]) -> Joints | None:
        """The way nearest to a first length that the next run may have after those chosen."""
        number = len(chosen)
        before = sorted(at for k in self._met[number] for at in chosen[k])
        alike = id(self._choices[number]), self._runs[number].shut, target, tuple(before)
        if alike not in self._first:
            every = self.to(number, target)
            self._first[alike] = next(
                (way for way in every if keeps_apart(way, before, self._stagger)), None
            )
        return self._first[alike]

    def to(self, number: int, target: int) -> list[Joints]:
        """All ways of a run, those that lie best for a first length at the front."""
        run, own = self._runs[number], self._choices[number]
        alike = id(own), run.shut, target
        if alike not in self._known:
            self._known[alike] = sorted(
                own,
                key=lambda way: (
                    sum(at in run.shut for at in way),
                    abs(way[0] - run.low - target) if way else 0,
                    len(way),
                ),
            )
        return self._known[alike]


def _arranged(
    runs: Sequence[PanelRun], nearest: _Nearest, targets: tuple[int, int]
) -> Arranged | None:
    """Run by run the way nearest to its target that keeps the stagger; None where none does."""
    chosen: list[Joints] = []
    near = 0
    for run in runs:
        best = nearest.first(targets[(run.row + 1) % 2], chosen)
        if best is None:
            return None
        near += sum(at in run.shut for at in best)
        chosen.append(best)
    return Arranged(tuple(chosen), near)


def least_apart(runs: Sequence[PanelRun], joints: Sequence[Joints]) -> int:
    """The least distance between joints of neighbouring rows; a whole length where none meet."""
    rows: dict[int, list[int]] = {}
    for run, own in zip(runs, joints, strict=True):
        rows.setdefault(run.row, []).extend(own)
    found = [abs(a - b) for row, own in rows.items() for a in own for b in rows.get(row + 1, ())]
    return min(found, default=max((run.high - run.low for run in runs), default=0))


def keeps_apart(joints: Joints, others: Sequence[int], stagger: int) -> bool:
    """Whether no joint lies nearer than `stagger` to one of `others`, which ascend."""
    for at in joints:
        place = bisect_left(others, at)
        if place < len(others) and others[place] - at < stagger:
            return False
        if place and at - others[place - 1] < stagger:
            return False
    return True
