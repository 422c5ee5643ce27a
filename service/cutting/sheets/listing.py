"""All that sheets can be cut into and that a plan for no more than so much may hold.

At sure prices no sheet is worth more than it costs. What sheets of a plan fall short of that adds
up to no more than the plan costs over the bound of the prices: so a sheet that falls short by more
is in none (reduced costs; Gilmore and Gomory, Operations Research 9, 1961). Of sets of parts only
those are listed that hold no part in whose place a larger one goes, so that larger parts must be
allowed to be cut down.
"""

from __future__ import annotations

from service.cutting.sheets.trees import Part
from service.cutting.sheets.values import Block, Table

MOST_JOINED = 40_000
"""Pairs of sets that are put side by side: a listing is due in some hundredths of a second."""

Numbers = tuple[int, ...]
"""A set of parts by their numbers, ascending, each as often as it is cut."""

Worths = dict[Numbers, int]


class _TooManyError(Exception):
    """There are more sets than can be listed."""


class Listing:
    """Sets of parts of every block, at the prices that a table was last given.

    Larger parts must be worth no less than smaller ones.
    """

    def __init__(self, table: Table) -> None:
        self._table = table
        self._joined = 0
        self._listed: dict[Block, tuple[int, Worths]] = {}
        self._larger = [
            {n for n, other in enumerate(table.parts) if _stands_for(other, n, part, k)}
            for k, part in enumerate(table.parts)
        ]

    def sets(self, sheet: int, least: int) -> list[Numbers] | None:
        """What a sheet can be cut into that is worth `least`; None where that is too much."""
        block = self._table.sheet(sheet)
        try:
            return sorted(self._of(block, self._table.worth(block) - least))
        except _TooManyError:
            return None

    def _of(self, block: Block, slack: int) -> Worths:
        """Sets of a block that are worth no less than its most by more than `slack`."""
        if slack < 0:
            return {}
        listed, found = self._listed.get(block, (-1, {}))
        least = self._table.worth(block) - slack
        if listed < slack:
            found = self._found(block, slack, least)
            self._listed[block] = slack, found
        return {own: worth for own, worth in found.items() if worth >= least}

    def _found(self, block: Block, slack: int, least: int) -> Worths:
        held = dict(self._table.inside(block))
        found: Worths = {(): 0} if least <= 0 else {}
        for number, worth in held.items():
            if worth >= least and not self._larger[number] & held.keys():
                found[number,] = worth
        for one, other in self._table.partings(block):
            lost = self._table.worth(block) - self._table.worth(one) - self._table.worth(other)
            if lost <= slack and self._table.worth(one) and self._table.worth(other):
                self._join(found, self._of(one, slack - lost), self._of(other, slack - lost), least)
        return found

    def _join(self, found: Worths, some: Worths, others: Worths, least: int) -> None:
        """Sets of two blocks side by side that are worth `least`, added to those found."""
        self._joined += len(some) * len(others)
        if self._joined > MOST_JOINED:
            raise _TooManyError
        for own, worth in some.items():
            for more, other in others.items():
                if worth + other >= least:
                    found[tuple(sorted(own + more))] = worth + other


def _stands_for(other: Part, number: int, part: Part, k: int) -> bool:
    """Whether another part goes in a part's place; of two as large the first."""
    larger = other.length >= part.length and other.width >= part.width
    return larger and (other != part or number < k) and number != k


def cut_down(parts: list[Part]) -> list[tuple[Part, Part]]:
    """From which part to which next smaller one each can be cut down."""
    found = []
    for part in parts:
        smaller = [one for one in parts if one != part and _holds(part, one)]
        found += [
            (part, one) for one in smaller
            if not any(one != between and _holds(between, one) for between in smaller)
        ]  # fmt: skip
    return found


def _holds(part: Part, other: Part) -> bool:
    return other.length <= part.length and other.width <= part.width
