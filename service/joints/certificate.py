"""What a proof of the cost of boards is made of: prices that anybody can add up without a solver.

A piece is worth so much by its length, by which of its ends spares length at a raw end of a stick
(8.1) and by its width. If no stick is worth more than it costs, whatever is cut from it, then no
plan costs less than the cheapest way to make every run is worth: with so much for each joint, and
for joints in a window of which only so many courses can have one (6.5). Nothing of that rests on
how the prices were found. All is in integers; lengths are ticks, worths parts of the cost.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

Ends = int
"""How many ends of a piece take less of a raw end of a stick than others do (8.1).

Which of them is not asked: a board is taken to lie either way, whatever its profile.
"""


@dataclass(frozen=True, slots=True)
class ProvedRun:
    """A run no longer than it is: stations None where joints may be anywhere.

    `layer` is the number of its layer, `width` that of its face. It is `long` as it lies, which is
    what a stick must hold for it to be one piece.
    """

    layer: int
    course: int
    low: int
    high: int
    stations: tuple[int, ...] | None
    width: int
    long: int


@dataclass(frozen=True, slots=True)
class Apart:
    """What a layer asks of its joints, and in what steps its pieces are cut (6.3, 6.5, 0.2).

    Both ends of a piece, and both stations of a window, may be rounded by a step.
    """

    min_piece: int
    stagger: int
    repeat: int
    step: int

    @property
    def least(self) -> int:
        """The shortest piece, as stations are rounded."""
        return max(0, self.min_piece - 2 * self.step)

    @property
    def window(self) -> int:
        """How wide a window is less than; 0 where a run may have two joints in one (6.5)."""
        return max(0, self.stagger - 2 * self.step) if self.min_piece >= self.stagger else 0


@dataclass(frozen=True, slots=True)
class ProvedStock:
    """A length that can be had: what it holds, and what it costs in worths.

    `spare` is what its low and high end give back for a piece whose end spares it (8.1). Of what is
    shorter than its trims nothing can be cut.
    """

    usable: int
    spare: tuple[int, int]
    cost: Fraction
    most: int | None
    owned: bool

    @property
    def reach(self) -> int:
        """The most that its pieces and the cuts between them can take."""
        return self.usable + self.spare[0] + self.spare[1]


@dataclass(frozen=True, slots=True)
class Question:
    """What is to be proved: runs, what joints ask, stock, saw and price of a joint.

    `spared` says whether the end of a run, and an end at a joint, take less of a raw end.
    `face` is that of a whole board, `board` the width that rips share, None where each has a board
    of its own (3.13).
    """

    runs: tuple[ProvedRun, ...]
    layers: tuple[Apart, ...]
    stocks: tuple[ProvedStock, ...]
    kerf: int
    joint: int
    spared: tuple[bool, bool]
    face: int
    board: int | None

    def ends(self, *, low: bool, high: bool) -> Ends:
        """How many ends of a piece spare; `low` and `high` say which of them is the run's."""
        wall, joint = self.spared
        return (wall if low else joint) + (wall if high else joint)


@dataclass(frozen=True, slots=True)
class Steps:
    """A worth that never falls: `worths[k]` from `starts[k]` on, nothing before the first."""

    starts: tuple[int, ...]
    worths: tuple[int, ...]

    def at(self, size: int) -> int:
        """The worth at a size."""
        place = bisect_right(self.starts, size)
        return self.worths[place - 1] if place else 0

    def times(self, factor: Fraction) -> Steps:
        """All worths so much smaller, rounded down."""
        worths = (worth * factor.numerator // factor.denominator for worth in self.worths)
        return risen(zip(self.starts, worths, strict=True))


def risen(points: Iterable[tuple[int, int]]) -> Steps:
    """The steps through points (size, worth): a larger piece is worth what any smaller one is."""
    starts, worths = list[int](), list[int]()
    for start, worth in sorted(points):
        if worth > (worths[-1] if worths else 0):
            if starts and starts[-1] == start:
                worths[-1] = worth
                continue
            starts.append(start)
            worths.append(worth)
    return Steps(tuple(starts), tuple(worths))


NOTHING = Steps((), ())


@dataclass(frozen=True, slots=True)
class Window:
    """Stations of a layer in which a joint costs `price` more."""

    layer: int
    low: int
    high: int
    price: int


@dataclass(frozen=True, slots=True)
class Prices:
    """What is claimed: worths by the ends of a piece, in cells of `grid` ticks, and the rest.

    The size of a piece is its length and a saw cut, rounded down to cells. `widths` says which
    share (in `WHOLE`ths) of the worth of a whole board a rip of such a face is worth.
    """

    grid: int
    worths: Mapping[Ends, Steps]
    windows: tuple[Window, ...]
    widths: Steps

    def times(self, factor: Fraction) -> Prices:
        """Everything so much cheaper."""
        windows = (
            Window(one.layer, one.low, one.high, one.price * factor.numerator // factor.denominator)
            for one in self.windows
        )
        return Prices(
            self.grid,
            {ends: steps.times(factor) for ends, steps in self.worths.items()},
            tuple(one for one in windows if one.price),
            self.widths,
        )


WHOLE = 1 << 20
"""The share of a whole board."""

ALL_WHOLE = Steps((0,), (WHOLE,))
"""No rip shares a board."""
