"""Boards of random lengths, laid course by course from what comes, draw after draw (9.1, 9.4)."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from service.cutting.low_discrepancy import LowDiscrepancy
from service.errors import Finding
from service.products.goods.board.spec import BoardProduct
from service.products.layer import AnyPlaced
from service.products.remarks import Remarks
from service.products.rows import RunRow
from service.products.supplied import Supplied
from service.products.tally_rows import TallyRow
from service.schemas.tallies import Tally
from service.takeoff.job import Job
from service.units.ticks import ceiling, whole

DRAWS = 200
"""How many times a product is laid."""

FINE = 1 << 40
"""Steps of the fixed sequence from which boards are drawn."""

PATIENCE = 200
"""Boards that are tried at one place before it is said that none fits."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """One draw: length of board taken, joints, shortest piece laid, and boards drawn."""

    taken: int
    joints: int
    shortest: int
    boards: int


@dataclass(frozen=True, slots=True)
class Come:
    """What comes: lengths with their share of the pieces, the shortest usable one, the saw cut."""

    lengths: tuple[int, ...]
    shares: tuple[Fraction, ...]
    least: int
    kerf: int

    @property
    def steps(self) -> tuple[int, ...]:
        """Up to which step of the sequence each length is drawn."""
        return tuple(whole(FINE * share) for share in accumulate(self.shares))


def piece_shares(tally: Tally) -> tuple[tuple[int, Fraction], ...]:
    """Each length with its share of the pieces, by whatever the tally has shares of (9.1)."""
    parts = [
        (one.length, one.share if tally.by == "pieces" else one.share / one.length)
        for one in sorted(tally.lengths, key=lambda one: one.length)
    ]
    total = sum((part for _, part in parts), Fraction(0))
    return tuple((length, Fraction(part) / total) for length, part in parts)


def random_lengths(job: Job, supplied: Sequence[Supplied], said: Remarks) -> tuple[TallyRow, ...]:
    """A row for each board with a tally whose runs can be laid from it; else a finding."""
    return tuple(row for made in supplied for row in _of(job, made, said))


def _of(job: Job, made: Supplied, said: Remarks) -> Iterator[TallyRow]:
    product = job.products[made.product][0]
    if not isinstance(product, BoardProduct) or product.tally is None or not made.placed:
        return
    runs = [run for one in made.placed for run in one.runs]
    come = _come(product.tally, made.placed[0])
    draws = _draws(runs, come) if come.lengths else None
    if draws is None:
        said.find(
            Finding(
                "tally-too-short",
                made.product,
                "its tally has no lengths that reach from bearing to bearing in every run with no "
                "piece under `min_piece`: what it would take cannot be drawn",
                rule="9.4",
            )
        )
        return
    yield _row(made.product, product.tally, come, runs, draws)


def _come(tally: Tally, placed: AnyPlaced) -> Come:
    """What comes of a tally, its short pieces still in it."""
    rules = placed.laid.task.rules
    least, kerf = getattr(rules, "min_piece", 0), getattr(rules, "kerf", 0)
    pairs = piece_shares(tally)
    if all(length < least for length, _ in pairs):
        return Come((), (), least, kerf)
    return Come(tuple(one for one, _ in pairs), tuple(share for _, share in pairs), least, kerf)


def _draws(runs: Sequence[RunRow], come: Come) -> list[Drawn] | None:
    """All draws, from one sequence; None where a run cannot be laid."""
    sequence, found = LowDiscrepancy(), []
    for _ in range(DRAWS):
        one = _draw(runs, come, sequence)
        if one is None:
            return None
        found.append(one)
    return found


def _draw(runs: Sequence[RunRow], come: Come, sequence: LowDiscrepancy) -> Drawn | None:
    """Every run laid once, each offcut beginning what follows where it is long enough."""
    taken, joints, boards, rest, shortest = 0, 0, 0, 0, max(run.high for run in runs)
    steps = come.steps
    for run in runs:
        at, tries = run.low, 0
        while at < run.high:
            board = rest
            if not board:
                board = come.lengths[bisect_right(steps[:-1], sequence.below(FINE))]
                taken, boards, tries = taken + board, boards + 1, tries + 1
                if tries > PATIENCE:
                    return None
            end = _end(run, at, board, come.least)
            rest = 0
            if end is None:
                continue
            tries, joints = 0, joints + (end < run.high)
            shortest = min(shortest, end - at)
            left = board - (end - at) - come.kerf
            rest = left if left >= come.least else 0
            at = end
    return Drawn(taken, joints, shortest, boards)


def _end(run: RunRow, at: int, board: int, least: int) -> int | None:
    """Where a board laid at a station ends: the run's end, or a joint; None where it cannot."""
    if board >= run.high - at:
        return run.high
    if board < least:
        return None
    last = min(at + board, run.high - least)
    if run.bearings_at is None:
        return last if last >= at + least else None
    k = bisect_right(run.bearings_at, last) - 1
    first = bisect_left(run.bearings_at, at + least)
    return run.bearings_at[k] if k >= first else None


def _row(
    name: str, tally: Tally, come: Come, runs: Sequence[RunRow], draws: Sequence[Drawn]
) -> TallyRow:
    taken = sorted(one.taken for one in draws)
    joints = sorted(one.joints for one in draws)
    shortest = sorted(one.shortest for one in draws)
    pairs = list(zip(come.lengths, come.shares, strict=True))
    short = sum((share for length, share in pairs if length < come.least), Fraction(0))
    mean = sum((length * share for length, share in pairs), Fraction(0))
    high = _at(taken, 90)
    return TallyRow(
        product=name,
        by=tally.by,
        draws=len(draws),
        mean_piece=whole(mean),
        too_short_pct=round(float(short * 100), 4),
        placed=sum(run.high - run.low for run in runs),
        median=_at(taken, 50),
        percentile_90=high,
        median_joints=_at(joints, 50),
        percentile_90_joints=_at(joints, 90),
        shortest=_at(shortest, 50),
        estimate=_estimate(runs, mean, come.least),
        bundles=None if tally.bundle is None else ceiling(Fraction(high, tally.bundle)),
        work=sum(one.boards for one in draws),
    )


def _estimate(runs: Sequence[RunRow], mean: Fraction, least: int) -> int:
    """What boards of a mean length take by a quick reckoning (9.3), ticks.

    An offcut under the least piece is lost at each run, half a bay at each joint on a member.
    """
    placed = sum(run.high - run.low for run in runs)
    joints = max(Fraction(0), placed / mean - len(runs))
    carried = [run.bearings_at for run in runs if run.bearings_at]
    bays = sum(len(one) - 1 for one in carried)
    spread = sum(one[-1] - one[0] for one in carried)
    bay = Fraction(spread, bays) if bays else Fraction(0)
    return whole(placed + len(runs) * Fraction(least**2) / (2 * mean) + joints * bay / 2)


def _at(ordered: Sequence[int], percent: int) -> int:
    """What so many per cent of the values do not go over, by the nearest rank."""
    return ordered[-(-len(ordered) * percent // 100) - 1]
