"""Runs of sheets: what their end joints must keep, and the pieces that joints make of them.

A joint is a station on the centre of a member; the gap lies half on each side of it (11.1).
All lengths are ticks.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.geometry.breadth import Breadth
from service.layout.bearings import BearingLine
from service.units.ticks import SIXTY_FOURTH

Joints = tuple[int, ...]
"""Ascending stations of the end joints of one run of a row."""


@dataclass(frozen=True, slots=True)
class PanelRules:
    """What end joints must keep.

    `most` and `least` are the longest and shortest piece, `gap` lies at each joint. A jointed
    piece touches `bearings` members by `touch`. Joints of neighbouring rows are `stagger` apart;
    `corner` keeps them from the corners of openings, if that can be.
    """

    most: int
    least: int
    bearings: int
    gap: int
    stagger: int
    corner: int
    touch: int


@dataclass(frozen=True, slots=True)
class PanelRun:
    """One connected part of a row, and the joint stations on it; `shut` ones are given up last.

    `breadth` is how far it reaches across; a piece that lies within one of the `bare` reaches is
    not laid, as an opening takes all of it.
    """

    row: int
    low: int
    high: int
    line: BearingLine
    stations: tuple[int, ...]
    breadth: Breadth
    shut: frozenset[int] = frozenset()
    bare: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Arranged:
    """Joints of every run; `near` counts those that a corner should have kept off."""

    joints: tuple[Joints, ...]
    near: int


def spans(low: int, high: int, joints: Joints, gap: int) -> list[tuple[int, int]]:
    """From where to where each piece lies of a run from `low` to `high`."""
    lows = [low, *(at + gap - gap // 2 for at in joints)]
    highs = [*(at - gap // 2 for at in joints), high]
    return list(zip(lows, highs, strict=True))


def legal(run: PanelRun, rules: PanelRules, at: int | None, to: int | None) -> bool:
    """Whether the piece of a jointed run between two joints may be; None is an end of the run."""
    low = run.low if at is None else at + rules.gap - rules.gap // 2
    high = run.high if to is None else to - rules.gap // 2
    if not rules.least <= high - low <= rules.most:
        return False
    return len(run.line.touched(low, high, rules.touch)) >= rules.bearings


def onward(run: PanelRun, rules: PanelRules, at: int | None) -> Iterator[int | None]:
    """Where the piece that begins at a joint may end; None is the end of the run.

    A run that one sheet holds may be one piece, however few members carry it.
    """
    first = 0 if at is None else bisect_right(run.stations, at)
    reach = (run.low if at is None else at) + rules.most + rules.gap
    for to in run.stations[first : bisect_right(run.stations, reach)]:
        if legal(run, rules, at, to):
            yield to
    whole = at is None and run.high - run.low <= rules.most
    if whole or (at is not None and legal(run, rules, at, None)):
        yield None


def every_way(run: PanelRun, rules: PanelRules, begun: Joints = ()) -> Iterator[Joints]:
    """Every legal set of joints of a run that begins with `begun`, the farthest joints first."""
    for to in reversed(list(onward(run, rules, begun[-1] if begun else None))):
        if to is None:
            yield begun
        else:
            yield from every_way(run, rules, (*begun, to))


def mirrored(run: PanelRun, sides: int) -> PanelRun:
    """A run as the other side shows it: every station is taken off `sides`."""
    line = run.line
    turned = replace(
        line,
        stations=tuple(sides - at for at in reversed(line.stations)),
        numbers=line.numbers[::-1],
    )
    return PanelRun(
        row=run.row,
        low=sides - run.high,
        high=sides - run.low,
        line=turned,
        stations=tuple(sides - at for at in reversed(run.stations)),
        breadth=run.breadth.mirrored(sides),
        shut=frozenset(sides - at for at in run.shut),
        bare=tuple((sides - high, sides - low) for low, high in reversed(run.bare)),
    )


@dataclass(frozen=True, slots=True)
class Side:
    """Runs as they are looked at: as they lie, or mirrored about `sides` (their low and high end).

    `order` has, for each of them, its number among the runs as they lie.
    """

    runs: tuple[PanelRun, ...]
    order: tuple[int, ...]
    sides: int | None

    def back(self, joints: Sequence[Joints]) -> tuple[Joints, ...]:
        """Joints of these runs as joints of the runs as they lie."""
        if self.sides is None:
            return tuple(joints)
        found = {
            number: tuple(self.sides - at for at in reversed(own))
            for number, own in zip(self.order, joints, strict=True)
        }
        return tuple(found[number] for number in range(len(found)))


def plainer_side(runs: Sequence[PanelRun]) -> Side:
    """The runs or their mirror, whichever comes first in order.

    What is then found is the same whichever side a surface is seen from.
    """
    low = min((run.low for run in runs), default=0)
    sides = low + max((run.high for run in runs), default=0)
    turned = [mirrored(run, sides) for run in runs]
    order = sorted(range(len(runs)), key=lambda k: (turned[k].row, turned[k].low, turned[k].high))
    other = [turned[k] for k in order]
    if _shape(other, low) < _shape(runs, low):
        return Side(tuple(other), tuple(order), sides)
    return Side(tuple(runs), tuple(range(len(runs))), None)


def _shape(runs: Sequence[PanelRun], low: int) -> list[tuple[object, ...]]:
    """Runs as they compare: to the nearest 1/64 in, so that snapped corners do not decide."""

    def rounded(at: int) -> int:
        return (at - low + SIXTY_FOURTH // 2) // SIXTY_FOURTH

    return [
        (
            run.row, rounded(run.low), rounded(run.high),
            tuple(rounded(at) for at in run.stations),
            tuple(rounded(at) for at in sorted(run.shut)),
            tuple(rounded(at) for at in run.breadth.cuts),
            tuple(rounded(b - a) for a, b in zip(run.breadth.near, run.breadth.far, strict=True)),
            tuple((rounded(a), rounded(b)) for a, b in run.bare),
        )
        for run in runs
    ]  # fmt: skip
