"""Lengths of trim that are cut of what is up, where a wall became shorter (21.4)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from service.geometry.rings import Point
from service.products.goods.moulding.needs import Sawn
from service.products.kinds.trim.placing import ids_of, pieces_of
from service.products.kinds.trim.records import LaidTrim, PlacedTrim, TrimEnd, TrimLength
from service.products.standing import Opening, Stay
from service.units.ticks import down, up, whole


@dataclass(frozen=True, slots=True)
class _Up:
    """A length that is up, and changes: as it was sawn, from the start of its wall on."""

    of: TrimLength
    sawn: Sawn

    @property
    def names(self) -> tuple[str, ...]:
        """Its pieces."""
        return ids_of(self.of, self.sawn)

    @property
    def bounds(self) -> tuple[int, ...]:
        """Where its pieces begin and end along its wall."""
        return 0, *self.sawn.joints, self.of.line.length


@dataclass(frozen=True, slots=True)
class _Cut:
    """A new length on an old one: where it begins on that, and which ends stay as they were."""

    new: TrimLength
    old: _Up
    low: int
    same: tuple[bool, bool]

    @property
    def reached(self) -> list[int]:
        """The numbers of the old pieces of which it is made."""
        bounds, high = self.old.bounds, self.low + self.new.line.length
        return [k for k in range(len(bounds) - 1) if bounds[k] < high and bounds[k + 1] > self.low]

    @property
    def joints(self) -> tuple[int, ...]:
        """Where its pieces meet."""
        return tuple(self.old.bounds[k] - self.low for k in self.reached[1:])

    @property
    def cut(self) -> list[int]:
        """How many ends of each of its pieces are cut."""
        last = len(self.reached) - 1
        return [
            (k == 0 and not self.same[0]) + (k == last and not self.same[1])
            for k in range(last + 1)
        ]


def recut(
    placed: PlacedTrim, after: LaidTrim, opening: Opening, kept: frozenset[object]
) -> Iterator[tuple[object, tuple[Stay, ...]]]:
    """New lengths that are cut of lengths which are up, each of another one.

    By what they are known by, with what becomes of the old pieces: an end is cut, scarfs stay.
    """
    lengths = zip(placed.laid.detail.lengths, placed.detail, strict=True)
    free = [old for old in (_Up(*one) for one in lengths)
            if old.of.known_by not in kept and opening.up.issuperset(old.names)]  # fmt: skip
    for new in after.detail.lengths:
        ways = (_cut_of(new, old, after.detail.wide) for old in free)
        found = next((way for way in ways if way is not None), None)
        if found is not None and new.known_by not in kept:
            free.remove(found.old)
            yield new.known_by, tuple(_stays(found, after))


def _cut_of(new: TrimLength, old: _Up, wide: int) -> _Cut | None:
    """How a length is had of another by cutting it shorter, where it hangs; None if it is not.

    A new end lies behind all of the old one, whichever way that was cut, and off every scarf.
    """
    if len(new.wall.points) > 2 or len(old.of.wall.points) > 2:
        return None
    (a, b), (c, d) = new.wall.points, old.of.wall.points
    if not (_on_line(a, c, d) and _on_line(b, c, d)):
        return None
    low, high, whole_length = _along(a, c, d), _along(b, c, d), _along(d, c, d)
    first, last = map(_same, (a, b), (c, d), new.ends, old.of.ends)
    if low >= high or not (
        (first or low - new.ends[0].adds >= wide)
        and (last or high + new.ends[1].adds <= whole_length - wide)
    ):
        return None
    made = _Cut(new, old, whole(low), (first, last))
    least = new.line.least
    clear = all(least <= at <= new.line.length - least for at in made.joints)
    return made if clear else None


def _stays(made: _Cut, after: LaidTrim) -> Iterator[Stay]:
    """What becomes of each old piece that is reached."""
    cuts = tuple(_length(made, k, after.task.rules.cut_to) for k in range(len(made.reached)))
    rows = pieces_of(after, made.new, Sawn(made.joints, cuts), defaultdict(str))
    for number, row, cut in zip(made.reached, rows, made.cut, strict=True):
        name = made.old.names[number]
        yield Stay(name, becomes=row, cut=cut) if cut else Stay(name)


def _length(made: _Cut, number: int, step: int) -> int:
    """What a piece is cut to: as it was where neither end is cut, down between two stops (0.2)."""
    if not made.cut[number]:
        return made.old.sawn.cuts[made.reached[number]]
    line, bounds = made.new.line, (0, *made.joints, made.new.line.length)
    half, last = line.lap // 2, len(made.reached) - 1
    first_adds = line.adds[0] if number == 0 else half
    last_adds = line.adds[1] if number == last else half
    true = bounds[number + 1] - bounds[number] + first_adds + last_adds
    return (down(true, step) if made.new.wanted.stopped else 0) or up(true, step)


def _same(a: Point, b: Point, new: TrimEnd, old: TrimEnd) -> bool:
    return a == b and new == old


def _on_line(point: Point, start: Point, end: Point) -> bool:
    """Whether a point lies on the line through two others, as exactly as points are."""
    (x, y), (a, b), (c, d) = point, start, end
    return abs((c - a) * (y - b) - (d - b) * (x - a)) <= abs(c - a) + abs(d - b)


def _along(point: Point, start: Point, end: Point) -> float:
    """How far a point lies from the start towards the end, ticks."""
    (x, y), (a, b), (c, d) = point, start, end
    long = float(((c - a) ** 2 + (d - b) ** 2) ** 0.5)
    return ((x - a) * (c - a) + (y - b) * (d - b)) / long
