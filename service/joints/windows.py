"""Windows over all courses of a stack: how many joints any legal layout has on a few stations.

Of touching courses at most every second has a joint in a window narrower than the stagger, and as
many on one station as stagger and repeat together leave (6.5).
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Mapping

from service.joints.stack import Stack, blocks

MOST_STATIONS = 400
"""Where a stack has more stations, only windows that no other holds are looked at."""

MOST_WINDOWS = 1500
"""Of them so many are kept at most, from end to end: the bound is weaker, and still a bound."""

Room = tuple[range, int]
"""Stations of a stack by number, and how many joints have room at them."""


def most_alike(stack: Stack, courses: int) -> int:
    """How many of consecutive courses may have a joint on one station, where a repeat is asked.

    Every third; without a stagger two that touch may, and the two after them not (6.5).
    """
    if stack.rules.stagger:
        return -(-courses // 3)
    return 2 * (courses // 4) + min(2, courses % 4)


def windows_of(stack: Stack) -> list[Room]:
    """The windows of a stack; none where a run may have two joints in one."""
    rules, courses = stack.rules, _courses(stack)
    if rules.min_piece < rules.stagger:
        return []
    if len(stack.stations) <= MOST_STATIONS and not any(rules.lost):
        return [one for k in range(len(stack.stations)) for one in _from(stack, k, courses)]
    found = [(span, _apart(courses, span)) for span in _widest(stack, rules.stagger)]
    alike = _widest(stack, min(rules.stagger, rules.repeat))
    found += [(span, _alike(stack, courses, span)) for span in alike]
    return found[:: -(-len(found) // MOST_WINDOWS) or 1]


_Courses = Mapping[int, set[int]]
"""The courses that may have a joint at each station, by its number."""


def _courses(stack: Stack) -> _Courses:
    numbers = {station: k for k, station in enumerate(stack.stations)}
    courses: dict[int, set[int]] = defaultdict(set)
    for k in stack.jointed:
        for station in stack.runs[k].stations:
            courses[numbers[station]].add(stack.runs[k].course)
    return courses


def _from(stack: Stack, first: int, courses: _Courses) -> Iterator[Room]:
    """The windows from a station on: that alone, and all that are nearer than the stagger."""
    rules, stations = stack.rules, stack.stations
    one = range(first, first + 1)
    if rules.repeat:
        yield one, _alike(stack, courses, one)
    span = range(first, bisect_left(stations, stations[first] + rules.stagger, first))
    if len(span) > 1 or not rules.repeat:
        yield span, _apart(courses, span)


def _widest(stack: Stack, reach: int) -> list[range]:
    """All that are nearer than `reach` from each station on, but for those that another holds."""
    spans, end = list[range](), 0
    for first, station in enumerate(stack.stations if reach else ()):
        last = bisect_left(stack.stations, station + reach, first)
        if last > end:
            spans.append(range(first, last))
            end = last
    return spans


def _met(courses: _Courses, span: range) -> list[int]:
    """Lengths of the rows of touching courses that may have a joint in a window."""
    return blocks(sorted(set[int]().union(*(courses.get(k, ()) for k in span))))


def _apart(courses: _Courses, span: range) -> int:
    return sum(-(-count // 2) for count in _met(courses, span))


def _alike(stack: Stack, courses: _Courses, span: range) -> int:
    return sum(most_alike(stack, count) for count in _met(courses, span))
