"""Stations at which the rules of a layer allow joints (6.2, 7.2)."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from service.cutting.records import Stock
from service.joints.free_joints import (
    BEST_STICKS,
    CHAINED,
    FEW_STATIONS,
    GRID,
    chained_stations,
    free_stations,
)
from service.joints.records import JointRules, Places
from service.layout.bearings import BearingLine
from service.layout.runs import Run
from service.units.ticks import INCH, nearest

BLOCK = 9 * INCH // 4
"""Half a block and room to nail it beside a member."""

MOST_MATCHED_STATIONS = 600
"""Stations of whole end-matched boards at which listing them ends."""

Span = tuple[int, int]
"""A stretch along the boards: low and high station."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """Where the rules of a layer allow joints; at most `most` free ones in a run."""

    rules: JointRules
    end_bearing: int
    stocks: Sequence[Stock]
    kerf: int
    most: int

    def stations(self, run: Run, line: BearingLine, shut: Sequence[Span]) -> tuple[int, ...]:
        """The stations of a run, none in the open intervals `shut`."""
        low, high = run.low + self.rules.min_piece, run.high - self.rules.min_piece
        within = [at for at in self._places(run, line) if low <= at <= high]
        return tuple(at for at in within if not shut or not any(a < at < b for a, b in shut))

    def few(self, run: Run, line: BearingLine, shut: Sequence[Span]) -> tuple[int, ...]:
        """Few of the stations, where joints may be anywhere and there are more; none elsewhere."""
        anywhere = self.rules.places not in (Places.NONE, Places.FRAMING)
        if self.rules.end_matched or not anywhere or self.most <= FEW_STATIONS:
            return ()
        return replace(self, most=FEW_STATIONS).stations(run, line, shut)

    def _places(self, run: Run, line: BearingLine) -> Sequence[int]:
        if self.rules.places is Places.NONE:
            return ()
        if self.rules.end_matched:
            return _matched(run, self.stocks)
        if self.rules.places is Places.FRAMING:
            return line.stations if line.seated >= self.end_bearing else ()
        return self._free(run, line)

    def _free(self, run: Run, line: BearingLine) -> list[int]:
        """Stations worth trying where joints may be anywhere, and on members with blocks."""
        # What is kept of a stick is not cut to a station: only whole sticks count.
        # At a wall they reach further, by what its raw end spares.
        whole = [stock for stock in self.stocks if not stock.kept]
        sticks = sorted({stock.usable + end for stock in whole for end in (0, *stock.spare)})
        length = run.high - run.low
        chained = self._chained(length)
        others = free_stations(length, sticks, self.most - len(chained))
        found = {run.low + at for at in chained | others}
        if self.rules.places is Places.FRAMING_OR_BLOCK:
            found = {at for at in found if not _beside(at, line)} | set(line.stations)
        rounded = {nearest(at, self.rules.cut_to) for at in found if run.low < at < run.high}
        return sorted(at for at in rounded if run.low < at < run.high)

    def _chained(self, length: int) -> set[int]:
        """Where sticks end that begin with what was left in the run before; none where few do."""
        if self.most <= FEW_STATIONS:
            return set()
        bought = [stock for stock in self.stocks if not stock.kept and not stock.owned]
        best = sorted(bought, key=lambda stock: (Fraction(stock.cost, stock.usable), stock.usable))
        sticks = [stock.usable for stock in best[:BEST_STICKS]]
        most = self.most // CHAINED
        return chained_stations(length, sticks, self.kerf, self.rules.min_piece, most)


def _beside(at: int, line: BearingLine) -> bool:
    """Whether a block at `at` would stand in a member or too near to one to be nailed."""
    place = bisect_left(line.stations, at)
    near = line.stations[max(0, place - 1) : place + 1]
    return any(abs(at - station) < line.half + BLOCK for station in near)


def _matched(run: Run, stocks: Sequence[Stock]) -> list[int]:
    """Stations that whole end-matched boards reach from a cut first piece (7.2)."""
    lengths = sorted({stock.length for stock in stocks})
    longest = lengths[-1]
    level = {run.low + at for at in range(GRID, longest + 1, GRID)} | {
        run.low + length for length in lengths
    }
    found: set[int] = set()
    while level and len(found) < MOST_MATCHED_STATIONS:
        found |= level
        level = {at + length for at in level for length in lengths if at + length < run.high}
        level -= found
    ends = {run.high - length for length in lengths}
    return sorted(at for at in found | ends if run.low < at < run.high)
