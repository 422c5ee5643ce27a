"""Windows over few courses side by side, where a solution has more joints than any layout.

Over all courses of a stack at once a window leaves it open which of them have joints there: half
of them may, all on one side. Where runs differ in length that is what the programme chooses. But of
runs that are alike no more than half have one; of two that touch, one; and of three, one at a
station of the outer two or in the window beside it of the inner one (6.5).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

from service.joints.course_order import is_plain
from service.joints.job import Prepared
from service.joints.master import JointMaster, RunGroup, Window
from service.joints.stack import Stack, blocks
from service.joints.windows import most_alike
from service.solver.programme import Solved

MOST_STATIONS = 1500
"""Of stacks with more stations no windows are looked for: each has windows of its own."""

MOST_AT_ONCE = 100
"""Windows that are given at once, those with most joints first."""

BROKEN = 1e-3
"""How much more than a joint is worth a row."""

Span = tuple[int, int]
"""Stations of a stack by number, from the first to before the last."""


@dataclass(frozen=True, slots=True)
class _Share:
    """A run by itself, what it has of a joint at each station, and in all before each."""

    group: RunGroup
    at: Sequence[float]
    before: Sequence[float]

    def inside(self, span: Span) -> float:
        """What it has of joints at some stations."""
        return self.before[span[1]] - self.before[span[0]]


def broken(job: Prepared, master: JointMaster, solved: Solved) -> list[Window]:
    """The windows in which a solution has more joints than any layout, most of them first."""
    found = [
        one
        for number, stack in enumerate(job.stacks)
        if stack.rules.min_piece >= stack.rules.stagger > 0
        and len(stack.stations) <= MOST_STATIONS
        and not is_plain(stack)
        for one in _of_stack(number, stack, master, solved)
    ]
    found.sort(key=lambda one: -one[0])
    return [window for _, window in found[:MOST_AT_ONCE]]


def _of_stack(number: int, stack: Stack, master: JointMaster, solved: Solved) -> _Found:
    beside, alone = _Beside(stack), dict[int, list[_Share]]()
    for group, courses in _courses(number, stack, master).values():
        share = _share(group, len(stack.stations), solved)
        if group.count == 1:
            alone.setdefault(courses[0], []).append(share)
        else:
            yield from beside.of_alike(share, blocks(sorted(set(courses))))
    yield from beside.of_others(alone)


def _courses(
    number: int, stack: Stack, master: JointMaster
) -> dict[int, tuple[RunGroup, list[int]]]:
    """The groups of a stack, by their row, and the courses of each."""
    made: dict[int, tuple[RunGroup, list[int]]] = {}
    for k in stack.jointed:
        group = master.group_of[number, k]
        made.setdefault(group.row, (group, []))[1].append(stack.runs[k].course)
    return made


def _share(group: RunGroup, stations: int, solved: Solved) -> _Share:
    at = [0.0] * stations
    for joints, column in group.layouts.items():
        share = solved.values[column] if column < len(solved.values) else 0.0
        for node in joints if share else ():
            at[group.graph.bits[node].bit_length() - 1] += share
    return _Share(group, at, [0.0, *accumulate(at)])


_Found = Iterator[tuple[float, Window]]
"""How many joints too many there are in a window, and the window."""


class _Beside:
    """The windows of a stack: from each of its stations up, and down to it."""

    def __init__(self, stack: Stack) -> None:
        self._stack, stations, stagger = stack, stack.stations, stack.rules.stagger
        self._repeats = bool(stack.rules.repeat)
        self._up = [(k, bisect_left(stations, at + stagger)) for k, at in enumerate(stations)]
        self._down = [
            (bisect_right(stations, at - stagger), k + 1) for k, at in enumerate(stations)
        ]

    def of_alike(self, own: _Share, rows: Sequence[int]) -> _Found:
        """The windows of runs that are alike, in rows of so many courses that touch."""
        most = sum(-(-count // 2) for count in rows)
        alike = sum(most_alike(self._stack, count) for count in rows)
        for k, span in enumerate(self._up):
            if own.inside(span) > most + BROKEN:
                yield own.inside(span) - most, Window([(own.group, _mask(span))], most)
            if self._repeats and own.at[k] > alike + BROKEN:
                yield own.at[k] - alike, Window([(own.group, _mask((k, k + 1)))], alike)

    def of_others(self, shares: Mapping[int, Sequence[_Share]]) -> _Found:
        """The windows of runs by themselves, told by course."""
        for course, own in sorted(shares.items()):
            for one in own:
                for other in shares.get(course + 1, ()):
                    yield from self._of_two(one, other)
                    for third in shares.get(course + 2, ()) if self._repeats else ():
                        yield from self._of_three(one, other, third)

    def _of_two(self, one: _Share, other: _Share) -> _Found:
        for span in self._up:
            joints = one.inside(span) + other.inside(span)
            if joints > 1 + BROKEN:
                both = [(one.group, _mask(span)), (other.group, _mask(span))]
                yield joints - 1, Window(both, 1)

    def _of_three(self, one: _Share, between: _Share, third: _Share) -> _Found:
        for k, (here, there) in enumerate(zip(one.at, third.at, strict=True)):
            for span in (self._up[k], self._down[k]) if here + there > BROKEN else ():
                joints = here + there + between.inside(span)
                if joints > 1 + BROKEN:
                    alike = [(own.group, _mask((k, k + 1))) for own in (one, third)]
                    yield joints - 1, Window([*alike, (between.group, _mask(span))], 1)


def _mask(span: Span) -> int:
    return (1 << span[1]) - (1 << span[0])
