"""Parts of box beams that are cut of what is up, where a beam became shorter (21.4)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from service.geometry.rings import Point
from service.products.kinds.box_beams.jointing import crossings
from service.products.kinds.box_beams.part_ends import deepest, through
from service.products.kinds.box_beams.placing import PartPiece, row_of
from service.products.kinds.box_beams.records import BoxBeams, LaidBoxBeams, Part, PlacedBoxBeams
from service.products.kinds.box_beams.rulings import of_boards
from service.products.rows import PieceRow
from service.products.standing import Opening, Stay
from service.units.ticks import down


@dataclass(frozen=True, slots=True)
class Recut:
    """A new part on an old one and its pieces: `shift` is what stations of that grew by.

    `same` tells which ends stay as they were.
    """

    new: Part
    old: Part
    pieces: tuple[PieceRow, ...]
    shift: int
    same: tuple[bool, bool]

    @property
    def reached(self) -> list[PieceRow]:
        """The old pieces of which it is made."""
        low, high = self.new.low - self.shift, self.new.high - self.shift
        return [row for row in self.pieces if row.low < high and row.high > low]

    @property
    def joints(self) -> tuple[int, ...]:
        """Where its pieces meet."""
        return tuple(row.low + self.shift for row in self.reached[1:])

    def joints_at(self, detail: BoxBeams) -> Iterator[Point]:
        """The same on the middle of its beam, in the surface's coordinates."""
        beam = next(one for one in detail.beams if one.number == self.new.beam)
        frame = detail.sets[self.new.of].frame
        return (frame.back((at, beam.line.middle)) for at in self.joints)

    def stays(self, after: LaidBoxBeams) -> Iterator[Stay]:
        """What becomes of each old piece that is reached: its ends are cut, its joints stay."""
        rows, bounds = self.reached, (self.new.low, *self.joints, self.new.high)
        last, step = len(rows) - 1, after.task.rules.cut_to
        for k, row in enumerate(rows):
            cut = (k == 0 and not self.same[0]) + (k == last and not self.same[1])
            low, high = bounds[k], bounds[k + 1]
            becomes = PartPiece(
                part=self.new, name=row.id, low=low, high=high, cut=down(high - low, step),
                product=row.product, stick="", bearings=row.bearings, cut_width=row.cut_width,
            )  # fmt: skip
            yield Stay(row.id, becomes=row_of(after, becomes), cut=cut) if cut else Stay(row.id)


def recut(
    placed: PlacedBoxBeams,
    after: LaidBoxBeams,
    opening: Opening,
    made: Mapping[Part, Sequence[PieceRow]],
    kept: frozenset[object],
) -> Iterator[Recut]:
    """New parts that are cut of parts which are up, each of another one.

    `made` are the parts of the first job with their pieces.
    """
    before = placed.laid.detail
    free = {part: tuple(rows) for part, rows in made.items()
            if before.known_by(part) not in kept
            and opening.up.issuperset(row.id for row in rows)}  # fmt: skip
    for new in (*after.detail.skins, *(after.detail.cores if after.detail.core else ())):
        if after.detail.known_by(new) in kept:
            continue
        ways = (_cut_of(new, old, rows, placed.laid, after) for old, rows in free.items())
        found = next((way for way in ways if way is not None), None)
        if found is not None:
            del free[found.old]
            yield found


def _cut_of(
    new: Part, old: Part, rows: tuple[PieceRow, ...], before: LaidBoxBeams, after: LaidBoxBeams
) -> Recut | None:
    """How a part is had of another by cutting it shorter, where it hangs; None if it is not.

    It is ripped alike and lies in the same lines, a new end lies behind all of the old one, and its
    joints are off the crossings and far enough from its ends.
    """
    frame, own = (one.detail.sets[part.of].frame for one, part in ((before, old), (after, new)))
    low, near = own.to(frame.back((old.low, old.near)))
    high, far = own.to(frame.back((old.high, old.far)))
    if (new.name, new.bevels, new.near, new.far) != (old.name, old.bevels, near, far):
        return None
    thick = before.detail.beams[0].section.thickness
    same = (new.low == low and _shaped(new, 0) == _shaped(old, 0),
            new.high == high and _shaped(new, 1) == _shaped(old, 1))  # fmt: skip
    first, last = (_reach(old, side, thick) for side in (0, 1))
    if not ((same[0] or new.low >= low + first) and (same[1] or new.high <= high - last)):
        return None
    found = Recut(new, old, rows, low - old.low, same)
    return found if _jointed_well(found, after) else None


def _shaped(part: Part, side: int) -> tuple[tuple[int, ...], float]:
    """How an end is cut, across its face and through it."""
    return tuple(deep for deep, _ in part.lines[side]), part.tilts[side]


def _reach(part: Part, side: int, thick: int) -> int:
    """How far an end is not square: its line across, or its cut through the board."""
    return max(deepest(part.lines[side]), through(part.tilts[side], thick))


def _jointed_well(one: Recut, after: LaidBoxBeams) -> bool:
    """Whether joints that stay are off what crosses the part now, and pieces not too short."""
    boards = of_boards(after.task)
    least = 0 if boards is None or one.new.name == "core" else boards.rules.min_piece
    shut = [] if one.new.name == "core" else crossings(after.detail, one.new)
    return all(
        one.new.low + least <= at <= one.new.high - least and not any(a < at < b for a, b in shut)
        for at in one.joints
    )
