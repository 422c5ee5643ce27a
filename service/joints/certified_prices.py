"""Prices that a proof may take: those of the programme, and of bare length."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import reduce
from itertools import combinations
from math import gcd, lcm

from service.cutting.records import Need, Stock
from service.cutting.sticks.master import Master
from service.joints.certificate import (
    WHOLE,
    Ends,
    Prices,
    ProvedRun,
    Question,
    Steps,
    Window,
    risen,
)
from service.joints.certified_sum import caps, longest_cells, proved, within_cost
from service.joints.graph import Arcs, Graph
from service.joints.master import JointMaster
from service.joints.needs import Needs
from service.joints.records import JointRules, JointRun, Places
from service.joints.stack import Stack, stack_of
from service.layout.bearings import BearingLine

MOST_CELLS = 6_000
"""Cells of the longest stick, where joints are at listed stations."""

MOST_CELLS_OF_LENGTH = 1_000
"""The same of prices by the length: each cell has a price of its own."""

MOST_RATES = 2
"""Prices by the length that are tried, of those that promise most."""

MOST_FACES, EIGHTHS = 4, 8
"""Widths of rips that each have their own share; more go by the eighth of a board."""

ALL_WHOLE = Steps((0,), (WHOLE,))
"""No rip shares a board."""

MOST_SIZES = 400
"""Different sizes of pieces up to which the programme prices each."""

MOST_WORTH = 1 << 40
"""What one piece is worth at most: sums of many do not overflow."""


@dataclass(frozen=True, slots=True)
class Programmes:
    """How the programmes see the stock: costs in steps, each of so much `worth`, and the work."""

    stocks: tuple[Stock, ...]
    joint_cost: int
    worth: Fraction
    rounds: int


def best_prices(asked: Question, own: Programmes, enough: int) -> tuple[int, Prices] | None:
    """What the best of some prices prove, in worths, and these; None if none prove anything.

    No more are tried once `enough` is proved.
    """
    best: tuple[int, Prices] | None = None
    for prices in _tried(asked, own):
        sure = within_cost(asked, prices)
        over = caps(asked, sure)
        for widths in _widths(asked) if over is not None else ():
            least = proved(asked, replace(sure, widths=widths), over or ())
            if least is not None and (best is None or least > best[0]):
                best = least, replace(sure, widths=widths)
        if best is not None and best[0] >= enough:
            break
    return best


def _tried(asked: Question, own: Programmes) -> Iterator[Prices]:
    """Those of the programme where all stations are listed, else those by the length."""
    if all(run.stations is not None for run in asked.runs):
        yield _of_programme(asked, own)
    else:
        yield from _of_length(asked)


def _widths(asked: Question) -> list[Steps]:
    """Shares of a whole board by the width of a rip: by area, and all for what shares with none."""
    faces = sorted({run.width for run in asked.runs if run.width < asked.face})
    if asked.board is None:
        return [ALL_WHOLE]
    if not faces:
        return [Steps((asked.face,), (WHOLE,))]
    room = asked.board + asked.kerf
    wide = [face + asked.kerf for face in faces]
    if len(faces) > MOST_FACES:
        wide = [room * k // EIGHTHS for k in range(1, EIGHTHS)]
    by_area = ((one - asked.kerf, WHOLE * one // room) for one in wide)
    alone = ((face, WHOLE) for face in faces if 2 * (face + asked.kerf) > room)
    return [risen([*own, (asked.face, WHOLE)]) for own in (by_area, alone)]


@dataclass(frozen=True, slots=True)
class _Rate:
    """So much a tick of a piece and its cut, less `each` a piece and `spare` ticks a spared end."""

    tick: Fraction
    each: Fraction
    spare: int

    def promises(self, asked: Question) -> Fraction:
        """About what such a rate proves."""
        length = sum(run.high - run.low + asked.kerf for run in asked.runs)
        count, ends = len(asked.runs), 2 * asked.spared[0] * self.spare * len(asked.runs)
        longest = max(one.reach for one in asked.stocks)
        joints = sum((run.high - run.low) // longest for run in asked.runs)
        more = (asked.joint - self.each + self.tick * asked.kerf) * joints
        return self.tick * (length - ends) - self.each * count + more


def _of_length(asked: Question) -> Iterator[Prices]:
    """So much by the length, the rates first that promise most.

    A stick yields a piece at least, and of a run each but one comes with a joint: so any share of
    a joint's price may be put on the sticks.
    """
    spare = max(max(one.spare) for one in asked.stocks)
    rates = [
        _Rate(_lowest(asked, each, known=known), each, spare if known else 0)
        for known in ((False, True) if spare else (False,))
        for each in _shares(asked, known=known)
    ]
    rates.sort(key=lambda rate: -rate.promises(asked))
    for rate in rates[:MOST_RATES]:
        yield _linear(asked, rate)


def _rooms(asked: Question, *, known: bool) -> list[tuple[int, Fraction, int | None]]:
    return [
        ((one.usable if known else one.reach) + asked.kerf, one.cost, one.most)
        for one in asked.stocks
        if one.most != 0
    ]


def _shares(asked: Question, *, known: bool) -> list[Fraction]:
    """None of a joint's price, all, and what makes two lengths cost alike by the foot."""
    rooms = _rooms(asked, known=known)
    alike = {
        Fraction(a * there - b * here, here - there)
        for (here, a, _), (there, b, _) in combinations(rooms, 2)
        if here != there
    }
    return sorted({Fraction(0), Fraction(asked.joint), *(e for e in alike if 0 < e < asked.joint)})


def _lowest(asked: Question, each: Fraction, *, known: bool) -> Fraction:
    """The price of a tick that no stick without a limit beats."""
    rooms = _rooms(asked, known=known)
    free = [(cost + each) / room for room, cost, most in rooms if most is None]
    return min(free) if free else max((cost + each) / room for room, cost, _ in rooms)


def _linear(asked: Question, rate: _Rate) -> Prices:
    grid = -(-(max(one.reach for one in asked.stocks) + asked.kerf) // MOST_CELLS_OF_LENGTH)
    cells = longest_cells(asked, grid)[2]
    whole = lcm(rate.tick.denominator, rate.each.denominator)
    tick, each = int(rate.tick * whole), int(rate.each * whole)
    worths = {
        ends: risen(
            (size, max(0, tick * (size * grid - rate.spare * ends) - each) // whole)
            for size in range(1, cells + 1)
        )
        for ends in _all_ends(asked)
    }
    return Prices(grid, worths, (), ALL_WHOLE)


def _all_ends(asked: Question) -> list[Ends]:
    either = (False, True)
    return sorted({asked.ends(low=low, high=high) for low in either for high in either})


def _of_programme(asked: Question, own: Programmes) -> Prices:
    """The prices of layouts and patterns in one programme, of the very pieces of the proof."""
    needs = Needs(1, own.stocks)
    stacks = [_stack(asked, k, own.stocks, needs) for k in range(len(asked.layers))]
    single = [run for run in asked.runs if not run.stations and not _free(asked, run)]
    whole = Counter(_whole(asked, run) for run in single)
    grid = _grid(asked, [*needs.all, *whole])
    sizes = [_on_grid(asked, grid, need) for need in needs.all]
    numbers = {need: k for k, need in enumerate(dict.fromkeys(sizes))}
    stacks = _renumbered(stacks, [numbers[need] for need in sizes])
    fixed: Counter[Need] = Counter()
    for need, count in whole.items():
        fixed[_on_grid(asked, grid, need)] += count
    cutting = Master(own.stocks, sorted({*numbers, *fixed}), asked.kerf)
    master = JointMaster(cutting, stacks, list(numbers), fixed, own.joint_cost)
    size = sum(group.graph.size for group in master.groups) + 60 * len(numbers)
    solved, _ = master.run(max(4, min(own.rounds, own.rounds * 20_000 // max(size, 1))))
    duals = (0.0,) * cutting.programme.rows if solved is None else solved.duals
    worth = float(own.worth)
    return Prices(
        grid, _stepped(asked, cutting, duals, worth, grid),
        tuple(_windows(master, duals, worth)), ALL_WHOLE,
    )  # fmt: skip


def _stepped(
    asked: Question, cutting: Master, duals: Sequence[float], worth: float, grid: int
) -> dict[Ends, Steps]:
    """What pieces are worth by their ends and sizes: the prices of the needs."""
    points: dict[Ends, list[tuple[int, int]]] = defaultdict(list)
    for need, row in cutting.rows.items():
        price = min(MOST_WORTH, int(max(0.0, duals[row]) * worth))
        size = (need.length + asked.kerf) // grid
        points[need.low_spared + need.high_spared].append((size, price))
    return {ends: risen(own) for ends, own in sorted(points.items())}


def _renumbered(stacks: Sequence[Stack], numbers: Sequence[int]) -> list[Stack]:
    """Stacks of which each need has another number; graphs that are one stay one."""
    made, known = dict[int, Graph](), dict[int, Arcs]()
    for stack in stacks:
        for graph in stack.graphs:
            if graph is not None and id(graph) not in made:
                made[id(graph)] = graph.renumbered(numbers, known)
    return [
        replace(one, graphs=tuple(None if g is None else made[id(g)] for g in one.graphs))
        for one in stacks
    ]


def _free(asked: Question, run: ProvedRun) -> bool:
    """Whether a run is ripped so narrow that it may come free of another's board."""
    if asked.board is None:
        return False
    return 2 * (run.width + asked.kerf) <= asked.board + asked.kerf


NO_LINE = BearingLine((), (), 0)


def _stack(asked: Question, layer: int, stocks: Sequence[Stock], needs: Needs) -> Stack:
    """A layer's runs for the programme, with lengths as they are rounded already."""
    one = asked.layers[layer]
    rules = JointRules(
        Places.FRAMING, one.least, 0, one.window, one.repeat, 1, 1, end_matched=False,
        spares_joints=asked.spared[1],
    )  # fmt: skip
    runs = [run for run in asked.runs if run.layer == layer]
    joint_runs = [
        JointRun(
            0, run.course, run.low, run.high, run.stations or (), NO_LINE, "",
            spared=(asked.spared[0], asked.spared[0]),
            installed=() if _free(asked, run) else None,
        )
        for run in runs
    ]  # fmt: skip
    return stack_of(joint_runs, [not run.stations for run in runs], rules, stocks, needs)


def _whole(asked: Question, run: ProvedRun) -> Need:
    wall, _ = asked.spared
    return Need(max(1, run.high - run.low), low_spared=wall, high_spared=wall)


def _grid(asked: Question, needs: Sequence[Need]) -> int:
    """Cells in which nothing is rounded, or as fine as leaves few enough of them, and of sizes."""
    longest = max(one.reach for one in asked.stocks) + asked.kerf
    gains = [gain for one in asked.stocks for gain in one.spare if gain]
    grid = reduce(gcd, gains, reduce(gcd, (need.length + asked.kerf for need in needs), 0)) or 1
    grid *= -(-longest // (grid * MOST_CELLS))
    while len({((need.length + asked.kerf) // grid, need[1:]) for need in needs}) > MOST_SIZES:
        grid *= 2
    return grid


def _on_grid(asked: Question, grid: int, need: Need) -> Need:
    """The shortest piece of a need's size; which of its ends spares does not matter."""
    size = (need.length + asked.kerf) // grid
    low, high = sorted((need.low_spared, need.high_spared))
    return Need(max(1, size * grid - asked.kerf), low_spared=low, high_spared=high)


def _windows(master: JointMaster, duals: Sequence[float], worth: float) -> Iterator[Window]:
    """Every window that has a price, by the stations that it reaches over."""
    reach: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for group in master.groups:
        for place, rows in zip(group.graph.places, group.windows, strict=True):
            for row in rows:
                reach[row].append((group.stack, place))
    for row, own in sorted(reach.items()):
        price = int(max(0.0, -duals[row]) * worth)
        if price:
            places = [place for _, place in own]
            yield Window(own[0][0], min(places), max(places), price)
