"""Sets of pieces that can be cut together, all of them listed, and the cheapest that hold all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import TypeVar

from service.cutting.effort import Effort
from service.solver.programme import cover_of, least_cover

T = TypeVar("T")


def sets_that_fit(
    order: Sequence[T], counts: Mapping[T, int], fits: Callable[[tuple[T, ...]], bool], most: int
) -> Iterator[tuple[T, ...]]:
    """Sets that fit, small ones first, each in the given order; ends a little beyond `most`.

    `fits` must hold for every part of a set for which it holds.
    """
    waiting: list[tuple[tuple[T, ...], int]] = [((), 0)]
    made = place = 0
    while place < len(waiting) and made <= most:
        held, first = waiting[place]
        place += 1
        for k in range(first, len(order)):
            new = (*held, order[k])
            if held.count(order[k]) < counts[order[k]] and fits(new):
                made += 1
                yield new
                waiting.append((new, k))


@dataclass(frozen=True, slots=True)
class Chosen:
    """Sets by number as they were listed, and whether none cheaper hold all."""

    numbers: tuple[int, ...]
    proved: bool


def cheapest_sets(
    sets: Sequence[tuple[T, ...]],
    costs: Sequence[float],
    counts: Mapping[T, int],
    effort: Effort,
    limits: Sequence[tuple[Sequence[int], int]] = (),
) -> Chosen | None:
    """How often to take each set so that all pieces are held; None if nothing was found.

    `limits` are (numbers of sets, how many of them may be taken together).
    """
    rows = {piece: k for k, piece in enumerate(counts)}
    columns: list[dict[int, float]] = [
        {rows[piece]: float(n) for piece, n in Counter(one).items()} for one in sets
    ]
    for k, (members, _) in enumerate(limits):
        for number in members:
            columns[number][len(rows) + k] = 1.0
    sides = [(float(count), inf) for count in counts.values()]
    sides += [(-inf, float(most)) for _, most in limits]
    unit = max(costs, default=1.0) or 1.0
    cover = cover_of([(c / unit, own) for c, own in zip(costs, columns, strict=True)], sides)
    whole = least_cover(cover, max(1, effort.nodes), inf, inner=effort.inner)
    return None if whole.values is None else Chosen(tuple(whole.values), whole.finished)
