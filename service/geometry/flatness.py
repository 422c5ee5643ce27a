"""How flat members lie, from readings off string lines, and the shims that level them (1.5).

All lengths are ticks. A dip is how far a member lies from the plane of the strings, away from the
finished face.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from service.units.once import once
from service.units.ticks import nearest

MOST_IN_REACH = 24
"""Readings under one straightedge that are held to each other, the nearest to its middle first."""


@dataclass(frozen=True, slots=True, order=True)
class Reading:
    """The dip of member number `member` at a mark `at` along it."""

    member: int
    at: int
    dip: int


@dataclass(frozen=True, slots=True)
class Uneven:
    """A reading that lies `off` the straight line between two others."""

    reading: Reading
    off: int


@dataclass(frozen=True)
class Flatness:
    """Readings in order, where each member stands across them all, and what is held to be flat.

    `stations` has every member by its number; `shim` is the thinnest there is; over a
    `straightedge` so long no reading may lie more than `most_off` the line between two others.
    """

    readings: tuple[Reading, ...]
    stations: Mapping[int, int]
    shim: int
    straightedge: int
    most_off: int

    @once
    def lowest(self) -> int:
        """The least dip: the plane to which the others are shimmed goes through it."""
        return min(one.dip for one in self.readings)

    def shim_for(self, dip: int) -> int:
        """The shim under a dip, to the nearest of the thinnest; never less than none."""
        return nearest(dip - self.lowest, self.shim)

    @once
    def thickest(self) -> int:
        """The thickest shim of all readings."""
        return max(self.shim_for(one.dip) for one in self.readings)

    @once
    def _along(self) -> Mapping[int, Sequence[Reading]]:
        """The readings of each member that was read, in their order along it."""
        found: dict[int, list[Reading]] = defaultdict(list)
        for one in self.readings:
            found[one.member].append(one)
        return found

    def dip_at(self, member: int, at: int) -> int:
        """The dip at a mark of a member: straight between readings, level beyond the outermost.

        A member that was not read lies between those that were, on the line from one to the other.
        """
        if member in self._along:
            own = self._along[member]
            return _between([one.at for one in own], [one.dip for one in own], at)
        read = sorted(self._along, key=lambda one: self.stations[one])
        places = [self.stations[one] for one in read]
        near = bisect_right(places, self.stations[member])
        beside = range(max(0, near - 1), min(len(read), near + 1))
        return _between(
            [places[k] for k in beside],
            [self.dip_at(read[k], at) for k in beside],
            self.stations[member],
        )

    def uneven(self) -> list[Uneven]:
        """Readings that lie too far off the line between two others, each by the most, worst first.

        Of one member along it, and of all members across them at one mark.
        """
        across: dict[int, list[tuple[int, Reading]]] = defaultdict(list)
        for one in self.readings:
            across[one.at].append((self.stations[one.member], one))
        lines = [[(one.at, one) for one in own] for own in self._along.values()]
        lines += [sorted(own, key=lambda row: row[0]) for own in across.values()]
        worst: dict[Reading, int] = {}
        for line in lines:
            for reading, off in self._off(line):
                worst[reading] = max(off, worst.get(reading, 0))
        found = [Uneven(one, off) for one, off in worst.items() if off > self.most_off]
        return sorted(found, key=lambda one: (-one.off, one.reading))

    def _off(self, line: Sequence[tuple[int, Reading]]) -> Iterator[tuple[Reading, int]]:
        """How far each reading of a line lies off those that a straightedge reaches beside it."""
        for k, (at, reading) in enumerate(line):
            before = [row for row in line[max(0, k - MOST_IN_REACH) : k] if row[0] < at]
            after = [row for row in line[k + 1 : k + 1 + MOST_IN_REACH] if row[0] > at]
            for low, one in before:
                for high, other in after:
                    if high - low <= self.straightedge:
                        straight = _between([low, high], [one.dip, other.dip], at)
                        yield reading, abs(reading.dip - straight)


def _between(places: Sequence[int], values: Sequence[int], at: int) -> int:
    """The value at a place, straight between those beside it, level beyond the outermost."""
    k = bisect_right(places, at)
    if k == 0:
        return values[0]
    if k == len(places):
        return values[-1]
    low, high = places[k - 1], places[k]
    rise = values[k] - values[k - 1]
    return values[k - 1] + nearest(rise * (at - low), high - low) // (high - low)
