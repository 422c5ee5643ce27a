"""Prices of a programme that a proof may take: of the very pieces of the proof, and of windows."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import reduce
from math import gcd

from service.cutting.records import Need, Stock
from service.cutting.sticks.master import Master
from service.joints.certificate import (
    ALL_WHOLE,
    Ends,
    Prices,
    ProvedRun,
    Question,
    Steps,
    Window,
    risen,
)
from service.joints.graph import Arcs, Graph
from service.joints.master import JointMaster
from service.joints.needs import Needs
from service.joints.records import JointRules, JointRun, Places
from service.joints.stack import Stack, stack_of
from service.layout.bearings import BearingLine

MOST_CELLS = 6_000
"""Cells of the longest stick, where joints are at listed stations."""

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


def of_programme(asked: Question, own: Programmes) -> Prices:
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
