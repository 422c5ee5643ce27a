"""Runs whose joints may be anywhere, told by the cells that their joints lie in.

Every layout of such runs is one of cells too, each joint told as if it lay at the low end of its
cell: the piece before it is longer than so, and that after it too, counted as shorter by a cell.
Stagger, repeat and the shortest piece are taken as the whole cells that they hold: what they forbid
of cells they forbid of any joints in these. So runs of cells cost no more, and the programme of
layouts and patterns, which lists its stations, is a bound of both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isqrt

from service.cutting.records import Need
from service.joints.job import Pool, least_of
from service.joints.records import JointRules, JointRun, Places
from service.joints.uncut import is_single, whole_run
from service.layout.bearings import BearingLine
from service.units.ticks import SIXTEENTH, down, up

MOST_CELLS = 120
"""Cells of the longest run at most."""

MOST_PIECES = 40_000
"""Pieces from cell to cell at most, over all runs that differ."""

FEWEST_IN_A_PIECE = 6
"""Cells that the shortest piece holds at least: with coarser ones little would be shown."""

LISTED = (Places.FRAMING, Places.NONE)
"""Where joints are at the stations that are listed, or nowhere."""

UNIT = SIXTEENTH // 2
"""All lengths are so many of these, that sums of them are exact where sticks are filled."""

NO_LINE = BearingLine((), (), 0)


@dataclass(frozen=True, slots=True)
class _Grid:
    """The cells of a stack: where the first begins, and how long each is."""

    origin: int
    size: int

    def down(self, place: int) -> int:
        """The low end of the cell that a place lies in."""
        return place - (place - self.origin) % self.size

    def held(self, length: int) -> int:
        """As many whole cells as a length holds."""
        return length - length % self.size

    def run(self, run: JointRun) -> JointRun:
        """A run from the low end of a cell, with a station at that of each other."""
        low = self.down(run.low)
        near, far = run.mitres
        return replace(
            run, low=low, high=low + up(run.high - low, UNIT), line=NO_LINE, few=(),
            stations=tuple(range(low + self.size, run.high, self.size)), most=None,
            mitres=(up(near, UNIT), up(far, UNIT)), shorter=(0, 0),
        )  # fmt: skip

    def rules(self, rules: JointRules, runs: Sequence[JointRun], kerf: int) -> JointRules:
        """The rules of such runs; each piece may be cut shorter in gaps that give, and rounded.

        With a cut each piece is as many units.
        """
        less = up(5 * rules.cut_to // 2 + 1 + UNIT, UNIT) + kerf % UNIT
        ahead = up(max(run.low - self.down(run.low) for run in runs), UNIT)
        return replace(
            rules, places=Places.FRAMING, min_bearings=0, cut_to=1,
            min_piece=self.held(rules.min_piece), stagger=self.held(rules.stagger),
            repeat=self.held(rules.repeat), lost=(less + ahead, less + self.size),
        )  # fmt: skip


def in_cells(pool: Pool) -> Pool | None:
    """The pool by the cells of its joints; None where these would show little.

    What is one piece whatever joints are chosen is among the `fixed`.
    """
    laid = [run for run in pool.runs if run.installed is None]
    whole = [run for run in laid if is_single(run, pool.rules[run.stack], pool.stocks)]
    jointed = [run for run in laid if not is_single(run, pool.rules[run.stack], pool.stocks)]
    free = [run for run in jointed if pool.rules[run.stack].places not in LISTED]
    if not free or not _may_be_told(pool, free):
        return None
    grids = {k: _grid(pool, free, k) for k in {run.stack for run in free}}
    if any(grid.size * FEWEST_IN_A_PIECE > pool.rules[k].min_piece for k, grid in grids.items()):
        return None
    return replace(
        pool,
        runs=tuple(grids[run.stack].run(run) if run.stack in grids else run for run in jointed),
        rules=tuple(
            grids[k].rules(rules, [run for run in free if run.stack == k], pool.kerf)
            if k in grids
            else replace(rules, places=Places.FRAMING)
            for k, rules in enumerate(pool.rules)
        ),
        fixed=(*pool.fixed, *(_piece(pool, run) for run in whole)),
    )


def _may_be_told(pool: Pool, free: Sequence[JointRun]) -> bool:
    """Whether there is a stagger to know of, and no end is matched or shorter by over a step."""
    rules = [pool.rules[run.stack] for run in free]
    return (
        all(own.min_piece >= own.stagger > 0 for own in rules)
        and not any(own.end_matched for own in pool.rules)
        and all(max(run.shorter) <= own.cut_to for run, own in zip(free, rules, strict=True))
    )


def _piece(pool: Pool, run: JointRun) -> Need:
    """A run of one piece by the least that it takes of a stick."""
    rules = pool.rules[run.stack]
    least = down(least_of(run, rules) + pool.kerf, UNIT) - pool.kerf
    return whole_run(run, rules)._replace(length=max(1, least))


def _grid(pool: Pool, free: Sequence[JointRun], stack: int) -> _Grid:
    """Cells that part the stagger evenly, few enough of them over all runs that differ."""
    longest = max(stock.reach for stock in pool.stocks)
    lengths = [high - low for low, high in {(run.low, run.high) for run in free}]
    pieces = sum(length * min(length, longest) for length in lengths)
    least = max(1, max(lengths) // MOST_CELLS, isqrt(pieces // MOST_PIECES))
    stagger = pool.rules[stack].stagger
    origin = min(run.low for run in free if run.stack == stack)
    return _Grid(origin, max(UNIT, down(stagger // max(1, stagger // least), UNIT)))
