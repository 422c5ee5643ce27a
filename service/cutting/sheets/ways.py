"""Ways of jointing the runs of rows: which pieces each leaves, and which are worth least."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from heapq import nsmallest
from itertools import groupby
from typing import NamedTuple

from service.cutting.sheets.trees import Part


@dataclass(frozen=True, slots=True)
class Jointing:
    """Every way of jointing one run: steps from node to node, 0 to `last`, each with its part.

    Steps ascend by where they begin. A step without a part lies where nothing is laid.
    """

    steps: tuple[tuple[int, int, Part | None], ...]
    last: int


class Way(NamedTuple):
    """One way of jointing a run: joints at nodes, and the parts it uses.

    `near` counts joints where none should be, `worth` is what the parts are worth at some prices,
    `many` how many joints there are: ways compare in that order.
    """

    near: int
    worth: int
    many: int
    joints: tuple[int, ...]
    parts: tuple[Part, ...]


def live(run: Jointing) -> Jointing:
    """The run with only the steps that lie on a way from its low end to its high end."""
    from_low, to_high = {0}, {run.last}
    for start, end, _ in run.steps:
        if start in from_low:
            from_low.add(end)
    for start, end, _ in reversed(run.steps):
        if end in to_high:
            to_high.add(start)
    steps = (one for one in run.steps if one[0] in from_low and one[1] in to_high)
    return Jointing(tuple(steps), run.last)


def counted(runs: Iterable[Jointing]) -> dict[Jointing, int]:
    """The runs without dead ends, those alike counted, in one order however they come."""
    found = Counter(live(run) for run in runs)
    return {run: found[run] for run in sorted(found, key=_as_compared)}


def _as_compared(run: Jointing) -> list[tuple[int, int, int, int]]:
    """A run as it compares; a step without a part comes before others."""
    return [
        (start, end, part.length if part else 0, part.width if part else 0)
        for start, end, part in run.steps
    ]


def least_worth(run: Jointing, prices: Mapping[Part, int]) -> int:
    """The least that a run's parts are worth at `prices` over all ways of jointing it."""
    best = {0: 0}
    for start, end, part in run.steps:
        if start in best:
            worth = best[start] + (0 if part is None else prices[part])
            best[end] = min(worth, best.get(end, worth))
    return best.get(run.last, 0)


def within(run: Jointing, prices: Mapping[Part, int], slack: int) -> Jointing:
    """A run with only the steps on ways that are worth at most `slack` over the least.

    The run has no dead ends.
    """
    low, high = {0: 0}, {run.last: 0}
    for start, end, part in run.steps:
        worth = low[start] + (0 if part is None else prices[part])
        low[end] = min(worth, low.get(end, worth))
    for start, end, part in reversed(run.steps):
        worth = high[end] + (0 if part is None else prices[part])
        high[start] = min(worth, high.get(start, worth))
    most = low[run.last] + slack
    steps = (
        (start, end, part) for start, end, part in run.steps
        if low[start] + (0 if part is None else prices[part]) + high[end] <= most
    )  # fmt: skip
    return Jointing(tuple(steps), run.last)


def cheapest_ways(
    run: Jointing, prices: Mapping[Part, int], toll: int, shut: AbstractSet[int], most: int
) -> list[Way]:
    """Up to `most` ways of jointing a run, those with the fewest joints at `shut` nodes first.

    Of these the ones whose parts are worth least at `prices`, with a `toll` for each joint.
    """
    begun: dict[int, list[Way]] = defaultdict(list, {0: [Way(0, 0, 0, (), ())]})
    for start, steps in groupby(run.steps, key=lambda step: step[0]):
        so_far = nsmallest(most, begun.pop(start, ()))
        for _, end, part in steps:
            joints = () if end == run.last else (end,)
            near = len(shut & set(joints))
            worth = toll * len(joints) + (0 if part is None else prices[part])
            own = () if part is None else (part,)
            begun[end] += [
                Way(
                    one.near + near,
                    one.worth + worth,
                    one.many + len(joints),
                    one.joints + joints,
                    one.parts + own,
                )
                for one in so_far
            ]
    return nsmallest(most, begun[run.last])


def most_of(runs: Mapping[Jointing, int], parts: Mapping[Part, int]) -> dict[Part, int]:
    """How many of each part may be wanted at most, in the order of their sizes."""
    most = Counter(parts)
    for run, count in runs.items():
        for part in parts_of([run]):
            most[part] += run.last * count
    return {part: most[part] for part in sorted(most)}


def parts_of(runs: Iterable[Jointing]) -> set[Part]:
    """The parts of all ways of jointing runs."""
    return {part for run in runs for _, _, part in run.steps if part is not None}
