"""Lapped courses in zones: equal exposures in each, all as alike as they can be (3.15).

Heights at which a course must begin, as those of sills and heads, part the width into zones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from service.layout.courses import CourseBand, Scheme


@dataclass(frozen=True, slots=True)
class Zone:
    """A zone from `near` to `far` (ticks from the start edge), and in how many courses."""

    near: int
    far: int
    count: int

    @property
    def exposure(self) -> Fraction:
        """What shows of each course."""
        return Fraction(self.far - self.near, self.count)


def zones_of(net: int, lines: Sequence[int], least: int, most: int) -> tuple[Zone, ...] | None:
    """The courses of each zone between the lines, exposures from `least` to `most`.

    Those with the least spread of exposures; of as good ones the fewest courses. None where a zone
    has no such number of courses.
    """
    sides = [0, *sorted(set(lines)), net]
    ways = [
        [Zone(a, b, count) for count in range(-(-(b - a) // most), (b - a) // least + 1)]
        for a, b in pairwise(sides)
    ]
    if not all(ways):
        return None
    found = [_from(floor.exposure, ways) for way in ways for floor in way]
    return min((one for one in found if one), key=_worth)


def _from(floor: Fraction, ways: Sequence[Sequence[Zone]]) -> tuple[Zone, ...]:
    """Of each zone the narrowest exposure that is not under `floor`; nothing where one has none."""
    able = [[zone for zone in way if zone.exposure >= floor] for way in ways]
    return tuple(min(own, key=lambda zone: zone.exposure) for own in able) if all(able) else ()


def _worth(zones: Sequence[Zone]) -> tuple[Fraction, int]:
    shows = [zone.exposure for zone in zones]
    return max(shows) - min(shows), sum(zone.count for zone in zones)


def in_zones(zones: Sequence[Zone]) -> Scheme:
    """The courses of all zones, in laying order."""
    sides = [
        zone.near + (zone.far - zone.near) * k // zone.count
        for zone in zones
        for k in range(zone.count)
    ]
    strips = (CourseBand(a, b, "none") for a, b in pairwise([*sides, zones[-1].far]))
    return Scheme("equal", tuple(strips), 0)
