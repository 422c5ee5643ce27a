"""Members as seen along the boards: where each crosses a course, and how far it bears."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass

from service.geometry.frame import Frame
from service.geometry.surface import Member
from service.units.ticks import whole

_PARALLEL = 1e-9


@dataclass(frozen=True, slots=True)
class Bearing:
    """One member in a frame: `slant` ticks of u for each tick of v, crossing v = 0 at `base`.

    `half` is half the member's extent along the boards; `number` counts from 1 along u. `member`
    is its place in the list of members, `reach` from where to where in v it goes; None everywhere.
    `seat` is half its extent where pieces meet on it.
    """

    number: int
    base: int
    slant: float
    half: int
    member: int
    seat: int
    reach: tuple[int, int] | None = None

    def at(self, v: int) -> int:
        """Station along the boards at which the centre line crosses `v`."""
        return self.base if self.slant == 0 else self.base + whole(self.slant * v)

    @property
    def seated(self) -> int:
        """Half its extent along the boards where pieces meet on it."""
        return max(self.half, self.seat)

    def is_at(self, v: int) -> bool:
        """Whether it goes as far as `v`."""
        return self.reach is None or self.reach[0] <= v <= self.reach[1]


def bearings_of(members: tuple[Member, ...], frame: Frame) -> tuple[Bearing, ...]:
    """The members that boards of `frame` cross, by ascending u; none if they run along."""
    found = []
    for k, member in enumerate(members):
        toward = member.a * frame.along[0] + member.b * frame.along[1]
        aside = member.a * frame.across[0] + member.b * frame.across[1]
        if abs(toward) < _PARALLEL:
            continue
        u, v = frame.origin
        from_base = member.d - member.a * frame.base[0] - member.b * frame.base[1]
        shift = toward * u + aside * v
        base = whole((from_base - shift) / toward)
        slant = 0.0 if abs(aside) < _PARALLEL else -aside / toward
        half = whole(member.thickness / 2 / abs(toward))
        seat = whole(member.seat / 2 / abs(toward))
        found.append((base, slant, half, k, seat, _reach(member, frame)))
    found.sort(key=lambda row: row[:4])
    return tuple(Bearing(k + 1, *row) for k, row in enumerate(found))


def _reach(member: Member, frame: Frame) -> tuple[int, int] | None:
    """From where to where in v a member goes, if it ends anywhere on the surface."""
    if member.reach is None:
        return None
    ends = (
        frame.to(
            (
                whole(member.a * member.d - member.b * at),
                whole(member.b * member.d + member.a * at),
            )
        )
        for at in member.reach
    )
    low, high = sorted(v for _, v in ends)
    return low, high


@dataclass(frozen=True, slots=True)
class BearingLine:
    """The bearings of one course: ascending stations, their numbers and half extents.

    Where pieces meet on one it is made wider, if it has a `seat` of more than its half extent.
    """

    stations: tuple[int, ...]
    numbers: tuple[int, ...]
    half: int
    seat: int = 0

    @property
    def seated(self) -> int:
        """Half the extent of a bearing on which pieces meet."""
        return max(self.half, self.seat)

    def touched(self, low: int, high: int, least: int) -> range:
        """Indexes of the bearings that a piece from `low` to `high` touches by `least` or more.

        A member narrower than `least` counts when it is touched over its whole extent. A piece that
        ends over a bearing which is made wider for that rests on all of it.
        """
        need = min(least, 2 * self.half) - self.half
        if self.seat > self.half:
            need = min(need, max(-self.half, min(least, 2 * self.seat) - self.seat))
        first = bisect_left(self.stations, low + need)
        return range(first, max(first, bisect_right(self.stations, high - need)))


def line_of(bearings: tuple[Bearing, ...], v: int) -> BearingLine:
    """The bearings as a course with its middle at `v` meets them."""
    rows = sorted((one.at(v), one.number) for one in bearings if one.is_at(v))
    return BearingLine(
        tuple(row[0] for row in rows),
        tuple(row[1] for row in rows),
        bearings[0].half if bearings else 0,
        bearings[0].seat if bearings else 0,
    )


def lines_of(bearings: tuple[Bearing, ...], places: Iterable[int]) -> list[BearingLine]:
    """The bearings as courses with their middles at `places` meet them.

    Where all run square to them, and through, they are met alike everywhere.
    """
    if any(one.slant or one.reach is not None for one in bearings):
        return [line_of(bearings, at) for at in places]
    line = line_of(bearings, 0)
    return [line for _ in places]


def positions(extent: int, spacing: int, first: int) -> list[int]:
    """Member centres by spacing: `first`, then each `spacing` up to `extent` (ticks)."""
    return list(range(first, extent + 1, spacing))


def on_grid(extent: int, spacing: int, first: int, thickness: int) -> list[int]:
    """Member centres of a grid that goes on to both sides of `first`, those behind the extent."""
    lowest = first - (first + thickness) // spacing * spacing
    places = range(lowest, extent + thickness, spacing)
    return [at for at in places if is_behind(at, extent, thickness)]


def is_behind(at: int, extent: int, thickness: int) -> bool:
    """Whether a member centred at `at` reaches behind what lies from 0 to `extent` (ticks)."""
    return -thickness < 2 * at < 2 * extent + thickness


def with_ends(regular: list[int], extent: int, thickness: int) -> list[int]:
    """Members with one against each end of the extent, in place of any that would stand in it."""
    ends = [thickness // 2, extent - thickness // 2]
    apart = [at for at in regular if all(abs(at - end) >= thickness for end in ends)]
    return sorted({*ends, *apart})
