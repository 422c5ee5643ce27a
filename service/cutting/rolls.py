"""Strips from rolls: cut whole, or one after another with an end lap where a roll runs out.

All lengths are ticks. A plan has its cost, and a bound that no plan can be under.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from service.cutting.effort import Effort
from service.cutting.mixes import Good, least_mix, mixes
from service.cutting.records import Need, Stock
from service.cutting.sticks.groups import lapped_bound
from service.cutting.sticks.solve import solve
from service.cutting.strip_groups import Parted, parted
from service.cutting.unrolling import (
    LEAST_ADVANCE,
    Laps,
    Length,
    RollPiece,
    Unrolled,
    by_preference,
    off_groups,
    off_these,
)

__all__ = ["LEAST_ADVANCE", "Laps", "Length", "RollPiece", "RollPlan", "roll_out"]

MOST_MIXES = 20
"""Mixes of rolls that are tried at most, cheapest first."""


@dataclass(frozen=True, slots=True)
class RollPlan:
    """Pieces in the order of their strips, and the stock number of each roll."""

    pieces: tuple[RollPiece, ...]
    rolls: tuple[int, ...]
    cost: int
    bound: int
    work: int


def roll_out(
    strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, effort: Effort
) -> RollPlan | None:
    """The cheapest plan, then the one with the fewest laps; None if no rolls do."""
    if not strips:
        return RollPlan((), (), 0, 0, 0)
    whole = _whole(strips, stocks, effort)
    found = [*([whole[0]] if whole else []), *_runs(strips, stocks, laps)]
    bound = _bound(strips, stocks, laps, whole[1] if whole else None)
    if not found:
        return None
    least = min(_cost(rolls, stocks) for _, rolls in found)
    if least > bound:
        found += _cheaper(strips, stocks, laps, least)
    pieces, rolls = min(found, key=lambda plan: (_cost(plan[1], stocks), len(plan[0])))
    cost = _cost(rolls, stocks)
    if cost > bound and not effort.any_legal:
        groups = _grouped(strips, stocks, laps)
        bound = _bound(strips, stocks, laps, whole[1] if whole else None, groups.cost)
        found += _apart(strips, stocks, laps, groups) if groups.cost < cost else ()
        pieces, rolls = min(found, key=lambda plan: (_cost(plan[1], stocks), len(plan[0])))
    return RollPlan(pieces, rolls, _cost(rolls, stocks), bound, len(found))


def _cost(rolls: Sequence[int], stocks: Sequence[Stock]) -> int:
    return sum(stocks[number].cost for number in rolls)


def least_of(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, effort: Effort) -> int:
    """What these strips must cost at least; 0 where no rolls do."""
    whole = _whole(strips, stocks, effort) if strips else None
    groups = _grouped(strips, stocks, laps).cost if strips else 0
    return _bound(strips, stocks, laps, whole[1] if whole else None, groups) if strips else 0


def _bound(
    strips: Sequence[Length],
    stocks: Sequence[Stock],
    laps: Laps,
    uncut: int | None,
    groups: int = 0,
) -> int:
    """The cheapest whole rolls with length enough, and for the laps that must be.

    `uncut` is the least cost with every strip in one piece: what is cheaper has one lap or more.
    They cost `groups` or more.
    """
    bare = bare_least(strips, stocks, laps, groups)
    if uncut is None or uncut <= bare:
        return bare
    return min(uncut, bare_least(strips, stocks, laps, groups, 1))


def bare_least(
    strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, groups: int = 0, more: int = 0
) -> int:
    """The cheapest whole rolls with length enough, `more` laps over those that must be.

    Strips and rolls that hang together by their pieces have a lap less than there are rolls of
    them at least: as many rolls as there are over the strips, so many laps.
    """
    bare = sum(strip.high - strip.low for strip in strips)
    lapped = [replace(good, worth=max(0, good.worth - laps.end)) for good in _goods(stocks)]
    by_laps = least_mix(lapped, bare - len(strips) * laps.end, groups)
    needed = length_needed(strips, stocks, laps) + more * laps.end
    return max(by_laps, least_mix(_goods(stocks), needed, groups))


def _grouped(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps) -> Parted:
    """The groups in which strips that share rolls cost least; without them where they are many."""
    lengths = Counter(strip.high - strip.low for strip in strips)
    found = parted(stocks, lengths, laps.end)
    return found or Parted((), lapped_bound(stocks, lengths, laps.end))


def _apart(
    strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, parted: Parted
) -> Iterator[Unrolled]:
    """Strips in those groups, each off rolls of its own, if there are so many rolls."""
    waiting: dict[int, deque[int]] = defaultdict(deque)
    for k, strip in enumerate(strips):
        waiting[strip.high - strip.low].append(k)
    groups = [
        (sorted(waiting[n].popleft() for n, k in one.strips.items() for _ in range(k)), one.rolls)
        for one in parted.groups
    ]
    taken = [sum(own[number] for _, own in groups) for number in range(len(stocks))]
    short = any(s.supply is not None and n > s.supply for s, n in zip(stocks, taken, strict=True))
    made = None if short or not groups else off_groups(strips, stocks, laps, groups)
    if made is not None:
        yield made


def length_needed(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps) -> int:
    """Length of roll that strips take, with the laps that must be."""
    return sum(_least_length(strip, stocks, laps) for strip in strips)


def _least_length(strip: Length, stocks: Sequence[Stock], laps: Laps) -> int:
    """What a strip takes of rolls, with the laps that one over the longest roll must have."""
    length, longest = strip.high - strip.low, max(stock.usable for stock in stocks)
    splices = 0 if length <= longest else -(-(length - longest) // max(1, longest - laps.end))
    return length + splices * laps.end


def _whole(
    strips: Sequence[Length], stocks: Sequence[Stock], effort: Effort
) -> tuple[Unrolled, int] | None:
    """Every strip in one piece; and what that must cost at least."""
    if any(strip.high - strip.low > max(s.usable for s in stocks) for strip in strips):
        return None
    needs = Counter(Need(strip.high - strip.low) for strip in strips)
    plan = solve(stocks, needs, 0, effort)
    if plan is None:
        return None
    waiting: dict[int, deque[int]] = defaultdict(deque)
    for k, strip in enumerate(strips):
        waiting[strip.high - strip.low].append(k)
    roll_of = {
        waiting[need.length].popleft(): number
        for number, stick in enumerate(plan.sticks)
        for need in stick.pieces
    }
    pieces = tuple(
        RollPiece(k, roll_of[k], strip.low, strip.high) for k, strip in enumerate(strips)
    )
    return (pieces, tuple(stick.stock for stick in plan.sticks)), plan.bound


def _runs(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps) -> Iterator[Unrolled]:
    """One strip after another off the same roll, from rolls of each length first."""
    for some in _with_and_without_owned(stocks):
        order = sorted(range(len(some)), key=lambda n: (some[n].cost, -some[n].usable))
        for first in range(len(some)):
            preferred = [first, *(number for number in order if number != first)]
            made = by_preference(strips, some, laps, preferred)
            if made is not None:
                yield made


def _cheaper(
    strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, under: int
) -> Iterator[Unrolled]:
    """Strips off the cheapest mixes of rolls that cost less and that they come off, if any do."""
    for some in _with_and_without_owned(stocks):
        wanted = length_needed(strips, some, laps)
        cheapest = islice(mixes(_goods(some), wanted, under), MOST_MIXES)
        made = next(filter(None, (off_these(strips, some, laps, own) for own in cheapest)), None)
        if made is not None:
            yield made


def _with_and_without_owned(stocks: Sequence[Stock]) -> list[list[Stock]]:
    """All rolls, and those that are bought alone, so that to own more makes no plan dearer."""
    bought = [replace(stock, supply=0) if stock.owned else stock for stock in stocks]
    return [list(stocks)] if bought == list(stocks) else [list(stocks), bought]


def _goods(stocks: Sequence[Stock]) -> list[Good]:
    return [Good(stock.cost, stock.usable, stock.supply) for stock in stocks]
