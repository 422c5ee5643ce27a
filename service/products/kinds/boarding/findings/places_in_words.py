"""Places on boards in the words of a finding."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from service.units.writing import both, counted

MOST_PLACES = 6
"""Places that a finding names; it counts all."""


def by_station(places: Sequence[tuple[int, int]]) -> str:
    """Stations (ticks) with the courses in which they are, the first few."""
    stations = [
        (at, [course for _, course in own])
        for at, own in groupby(sorted(places), key=lambda one: one[0])
    ]
    texts = [f"at {both(at)} in {courses(own)}" for at, own in stations[:MOST_PLACES]]
    more = len(stations) - MOST_PLACES
    return ", ".join(texts) + (f" and in {counted(more, 'more places')}" if more > 0 else "")


def courses(numbers: Sequence[int]) -> str:
    """`course 3`, or `courses 1 to 9 and 12`."""
    runs: list[tuple[int, int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    texts = [str(low) if low == high else f"{low} to {high}" for low, high in runs]
    joined = " and ".join(filter(None, (", ".join(texts[:-1]), texts[-1])))
    return f"{'course' if len(set(numbers)) == 1 else 'courses'} {joined}"
