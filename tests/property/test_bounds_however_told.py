"""Bounds of rolls, of sheets over all ways of jointing and of free joints, however a job is told.

What is told in another order, mirrored or in another unit is the same job, and costs as much at
least. Twice the job costs no less than once, and at most twice what any plan of it costs.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations_with_replacement, permutations, product

from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock
from service.cutting.rolls import Laps, Length, least_of, roll_out
from service.cutting.sheets.fill import fills
from service.cutting.sheets.master import SheetMaster
from service.cutting.sheets.nesting import cost_of_fills
from service.cutting.sheets.stock import SheetStock
from service.cutting.sheets.trees import Part
from service.cutting.sheets.ways import Jointing, counted
from service.cutting.sticks.groups import Whole, grouped_bound
from tests.strategies.budget import examples

STANDARD = EFFORTS["standard"]
METRIC = 5

ROLLS = st.lists(
    st.tuples(st.integers(8, 30), st.integers(5, 40)), min_size=1, max_size=2,
    unique_by=lambda row: row[0],
)  # fmt: skip
STRIPS = st.lists(st.integers(3, 40), min_size=1, max_size=3)


def rolls_of(rows: Sequence[tuple[int, int]], unit: int = 1) -> list[Stock]:
    return [Stock(str(k), n * unit, n * unit, cost) for k, (n, cost) in enumerate(rows)]


def strips_of(lengths: Sequence[int], unit: int = 1) -> list[Length]:
    return [Length((0, 2 * k), 0, length * unit) for k, length in enumerate(lengths)]


def least_of_rolls(rows: Sequence[tuple[int, int]], lengths: Sequence[int], lap: int) -> int:
    """The least cost of up to six rolls off which the strips come one after another, in any order.

    A strip goes on from one roll to the next, `lap` lost.
    """
    found = 10**9
    for many in range(1, 7):
        for chosen in combinations_with_replacement(rows, many):
            cost = sum(price for _, price in chosen)
            if cost < found and any(
                reaches([room for room, _ in own], order, lap)
                for own in set(permutations(chosen))
                for order in set(permutations(lengths))
            ):
                found = cost
    return found


def reaches(rooms: list[int], lengths: Sequence[int], lap: int) -> bool:
    """Whether strips come off rolls, each used up before the next."""
    waiting, left = list(rooms), 0
    for length in lengths:
        wanted = length
        while wanted > left:
            if not waiting:
                return False
            wanted -= max(0, left - lap)
            left = waiting.pop(0)
        left -= wanted
    return True


@examples(90)
@given(rows=ROLLS, lengths=STRIPS, lap=st.integers(1, 3))
def test_strips_off_rolls(rows: list[tuple[int, int]], lengths: list[int], lap: int) -> None:
    laps = Laps(lap, 0, 1)
    stocks, strips = rolls_of(rows), strips_of(lengths)
    bound = least_of(strips, stocks, laps, STANDARD)
    assert bound <= least_of_rolls(rows, lengths, lap)
    made = roll_out(strips, stocks, laps, STANDARD)
    assert made is None or bound <= made.cost
    assert least_of(strips[::-1], stocks[::-1], laps, STANDARD) == bound
    metric = Laps(METRIC * lap, 0, METRIC)
    assert least_of(strips_of(lengths, METRIC), rolls_of(rows, METRIC), metric, STANDARD) == bound
    double = least_of([*strips, *strips], stocks, laps, STANDARD)
    assert bound <= double
    assert made is None or double <= 2 * made.cost
    assert least_of([], stocks, laps, STANDARD) == 0


STOCK = st.lists(
    st.tuples(st.integers(3, 9), st.integers(1, 30)), min_size=1, max_size=3,
    unique_by=lambda row: row[0],
)  # fmt: skip
RUNS = st.lists(st.tuples(st.integers(4, 15), st.booleans(), st.booleans()), min_size=1, max_size=4)


@examples(60)
@given(rows=STOCK, runs=RUNS, spare=st.tuples(st.integers(0, 1), st.integers(0, 1)),
       joint=st.integers(1, 12))  # fmt: skip
def test_runs_with_free_joints(
    rows: list[tuple[int, int]], runs: list[tuple[int, bool, bool]], spare: tuple[int, int],
    joint: int,
) -> None:  # fmt: skip
    """Mirrored, what spares length at the low end of a stick and of a run does so at the high."""
    stocks = [
        Stock(str(k), n + spare[0] + spare[1], n, c, spare=spare) for k, (n, c) in enumerate(rows)
    ]
    whole = [Whole(Need(n, low_spared=low, high_spared=high)) for n, low, high in runs]
    bound = grouped_bound(stocks, Counter(whole), joint, 1, ends_known=True)
    told = Counter(whole[::-1])
    assert grouped_bound(stocks[::-1], told, joint, 1, ends_known=True) == bound
    mirrored = [replace(stock, spare=spare[::-1]) for stock in stocks]
    other = Counter(Whole(one.need.half_round) for one in whole)
    assert grouped_bound(mirrored, other, joint, 1, ends_known=True) == bound
    double = Counter({run: 2 * count for run, count in told.items()})
    assert bound <= grouped_bound(stocks, double, joint, 1, ends_known=True)
    assert grouped_bound(stocks, Counter(), joint, 1, ends_known=True) == 0


SHEETS = [SheetStock("0", 8, 4, 30), SheetStock("1", 10, 4, 36)]


@st.composite
def rows_of_sheets(draw: st.DrawFn) -> Jointing:
    """A row over a few members, with a joint at any of them; no piece over ten long."""
    gaps = draw(st.lists(st.integers(3, 5), min_size=2, max_size=3))
    width = draw(st.integers(2, 4))
    at = [sum(gaps[:k]) for k in range(len(gaps) + 1)]
    numbers = range(len(at))
    steps = [
        (a, b, Part(at[b] - at[a], width)) for a in numbers for b in numbers
        if 0 < at[b] - at[a] <= 10
    ]  # fmt: skip
    return Jointing(tuple(steps), len(at) - 1)


def mirrored(run: Jointing) -> Jointing:
    """From its high end to its low one."""
    steps = ((run.last - end, run.last - start, part) for start, end, part in run.steps)
    return Jointing(tuple(sorted(steps, key=lambda step: step[:2])), run.last)


def in_metric(run: Jointing) -> Jointing:
    return Jointing(
        tuple(
            (a, b, part and Part(METRIC * part.length, METRIC * part.width))
            for a, b, part in run.steps
        ),
        run.last,
    )


def ways(run: Jointing) -> list[list[Part]]:
    """The parts of every way of jointing a row."""
    begun: dict[int, list[list[Part]]] = {0: [[]]}
    for start, end, part in run.steps:
        for so_far in begun.get(start, []):
            begun.setdefault(end, []).append([*so_far, *([part] if part else [])])
    return begun[run.last]


def bound_of_sheets(runs: Sequence[Jointing], stocks: Sequence[SheetStock]) -> int:
    """What all rows cost at least, with the sheets of one way of them at hand."""
    laid = Counter(part for run in runs for part in ways(run)[0])
    start = [cutup for found in fills(laid, stocks, 0, {}) for cutup in found]
    return SheetMaster({}, stocks, 0, start, counted(runs)).bound(40, None)


@examples(40)
@given(runs=st.lists(rows_of_sheets(), min_size=1, max_size=3))
def test_rows_of_sheets_over_all_ways_of_jointing(runs: list[Jointing]) -> None:
    """Against the quickest plan of each way, which no bound is over."""
    bound = bound_of_sheets(runs, SHEETS)
    plans = [
        cost_of_fills(Counter(part for own in chosen for part in own), SHEETS, 0)
        for chosen in product(*map(ways, runs))
    ]
    least = min(cost for cost in plans if cost is not None)
    assert 0 < bound <= least
    assert bound_of_sheets(runs[::-1], SHEETS[::-1]) == bound
    assert bound_of_sheets([mirrored(run) for run in runs], SHEETS) == bound
    metric = [replace(one, length=METRIC * one.length, width=METRIC * one.width) for one in SHEETS]
    assert bound_of_sheets([in_metric(run) for run in runs], metric) == bound
    assert bound <= bound_of_sheets([*runs, *runs], SHEETS) <= 2 * least
