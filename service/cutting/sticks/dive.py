"""A plan by diving: take whole sticks of the fractional solution, price anew, go on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from service.cutting.effort import Effort
from service.cutting.records import Need, Pattern, Stick, ordered
from service.cutting.sticks.heuristic import best_fit, cheaper, cost_of, shrunk, supplies
from service.cutting.sticks.master import Master
from service.solver.programme import Solved

ROUNDS_OF_A_STEP = 30
NEARLY_WHOLE = (0.8, 1.0, 0.55)
"""What counts as nearly a whole number, dive by dive."""

MOST_PRICED = 30_000
"""Needs that a dive prices at most, over all its rounds: then it goes on with what there is."""

FEW_LEFT = 16
"""Pieces left at which best fit is tried after every step."""


def dive(
    master: Master, needs: Mapping[Need, int], effort: Effort, enough: int, nearly: float
) -> tuple[Stick, ...] | None:
    """The cheapest plan met on the way down, or None; stops at one of cost `enough`.

    Each step takes the whole part of every pattern's number, or the pattern used most; with it
    those that come `nearly` to a whole number.
    """
    master.open()
    left, taken = Counter(needs), list[Stick]()
    best: tuple[Stick, ...] | None = None
    last = master.work + MOST_PRICED // len(master.rows)
    for _ in range(effort.dives):
        solved = _priced(master, left, taken, last)
        if solved is None or not left or not master.used(solved):
            break
        taken += _new_sticks(master, solved, left, taken, nearly)
        if left.total() <= FEW_LEFT:
            best = cheaper(best, _finished(master, left, taken), master.stocks)
        if not left or (best is not None and cost_of(best, master.stocks) <= enough):
            return best
    return cheaper(best, _finished(master, left, taken), master.stocks)


def dive_again(
    master: Master, needs: Mapping[Need, int], effort: Effort,
    best: tuple[Stick, ...] | None, bound: int,
) -> tuple[Stick, ...] | None:  # fmt: skip
    """The best plan, dived for in other ways: where a search would take long."""
    for nearly in NEARLY_WHOLE[1:]:
        best = cheaper(best, dive(master, needs, effort, bound, nearly), master.stocks)
        if best is not None and cost_of(best, master.stocks) <= bound:
            break
    return best


def _priced(
    master: Master, left: Counter[Need], taken: Sequence[Stick], last: int
) -> Solved | None:
    """The fractional solution for what is left, with the patterns that it lacks.

    None is looked for once the programme has priced `last` times in all.
    """
    bench = master.bench_of(left)
    master.close_beyond(left)
    master.demand(left, Counter(stick.stock for stick in taken))
    solved = master.programme.solve()
    for _ in range(min(ROUNDS_OF_A_STEP, last - master.work)):
        if solved is None or not master.grown(solved, bench):
            break
        solved = master.programme.solve()
    return solved


def _new_sticks(
    master: Master, solved: Solved, left: Counter[Need], taken: Sequence[Stick], nearly: float
) -> list[Stick]:
    """Sticks for the whole part of each pattern's number, or the one nearest to it."""
    supply = supplies(master.stocks, taken)
    used = sorted(master.used(solved), key=lambda one: (-one[1], one[0].stock))
    new: list[Stick] = []
    for pattern, number in used:
        new += _take(master, pattern, int(number + 1e-6), left, supply)
    if not new:
        new.append(_trimmed(master, used[0][0], left, supply))
        for pattern, number in used[1:]:
            new += _take(master, pattern, int(number + 1 - nearly), left, supply)
    return new


def _take(
    master: Master, pattern: Pattern, most: int, left: Counter[Need], supply: Counter[int]
) -> list[Stick]:
    """Up to `most` sticks of `pattern`, off `left`, with no piece too many."""
    wanted = min(left[need] // count for need, count in pattern.pieces)
    number = min(most, wanted, supply[pattern.stock])
    if number < 1:
        return []
    supply[pattern.stock] -= number
    for need, count in pattern.pieces:
        left[need] -= number * count
        if not left[need]:
            del left[need]
    stick = Stick(pattern.stock, ordered(dict(pattern.pieces), master.stocks[pattern.stock]))
    return [stick] * number


def _trimmed(master: Master, pattern: Pattern, left: Counter[Need], supply: Counter[int]) -> Stick:
    """One stick of `pattern` without the pieces that are not wanted, off `left`."""
    kept = {need: min(count, left[need]) for need, count in pattern.pieces if left[need]}
    supply[pattern.stock] -= 1
    for need, count in kept.items():
        left[need] -= count
        if not left[need]:
            del left[need]
    return shrunk(pattern.stock, kept, master.stocks, supply, master.kerf)


def _finished(
    master: Master, left: Mapping[Need, int], taken: Sequence[Stick]
) -> tuple[Stick, ...] | None:
    """The sticks taken, and best fit for the rest; None if the supply does not reach."""
    if not left:
        return tuple(taken)
    supply = supplies(master.stocks, taken)
    stocks = [
        stock if stock.supply is None else replace(stock, supply=supply[k])
        for k, stock in enumerate(master.stocks)
    ]
    rest = best_fit(stocks, left, master.kerf)
    return None if rest is None else (*taken, *rest)
