"""Which whole rolls a few strips take at least, by trying every roll for every strip."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import product

Roll = tuple[int, int, int | None]
"""Length, cost, and how many there are; None without limit."""


def least_rolls(strips: Sequence[int], rolls: Sequence[Roll], lap: int, reuse: int) -> int | None:
    """The least cost of rolls that hold all strips, `lap` lost at each place where one ends in one.

    A roll gives out in the middle of a strip, never is cut there, for what it had left would only
    do as well elsewhere; a rest of a begun roll that is shorter than `reuse` begins no lap. Laps
    need not keep apart here, so rules that are stricter cost no less. None if no rolls do.
    """
    most = sum(strips) + lap * len(strips)
    counts = [
        range(min(-(-most // max(1, length - lap)), 9 if supply is None else supply) + 1)
        for length, _, supply in rolls
    ]
    mixes = sorted(
        (sum(n * cost for n, (_, cost, _) in zip(own, rolls, strict=True)), own)
        for own in product(*counts)
    )
    for cost, own in mixes:
        opened = tuple(
            sorted((rolls[k][0], True) for k, number in enumerate(own) for _ in range(number))
        )
        if sum(length for length, _ in opened) >= sum(strips) and fits(
            tuple(sorted(strips)), opened, lap, reuse
        ):
            return cost
    return None


def fits(
    strips: tuple[int, ...], rolls: tuple[tuple[int, bool], ...], lap: int, reuse: int
) -> bool:
    """Whether strips come off rolls, each its length and whether it is still whole."""

    @cache
    def left(strips: tuple[int, ...], rolls: tuple[tuple[int, bool], ...]) -> bool:
        if not strips:
            return True
        if sum(strips) > sum(length for length, _ in rolls):
            return False
        return any(
            left(*done)
            for strip in sorted(set(strips))
            for roll in sorted(set(rolls))
            if (done := _cut(strips, rolls, strip, roll)) is not None
        )

    def _cut(
        strips: tuple[int, ...],
        rolls: tuple[tuple[int, bool], ...],
        strip: int,
        roll: tuple[int, bool],
    ) -> tuple[tuple[int, ...], tuple[tuple[int, bool], ...]] | None:
        others, rests = list(strips), list(rolls)
        others.remove(strip)
        rests.remove(roll)
        length, whole = roll
        if length >= strip:
            rest = [(length - strip, False)] if length > strip else []
            return tuple(others), tuple(sorted(rests + rest))
        if length <= lap or (not whole and length < reuse):
            return None
        return tuple(sorted([*others, strip - length + lap])), tuple(rests)

    return left(strips, rolls)
