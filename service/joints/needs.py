"""The different pieces that runs may be made of, each once, on a grain of lengths."""

from __future__ import annotations

from collections.abc import Sequence

from service.cutting.records import Need, Stock
from service.units.ticks import up


class Needs:
    """Needs by number, each once."""

    def __init__(self, grain: int = 1, stocks: Sequence[Stock] = ()) -> None:
        self.grain = grain
        self._stocks = stocks
        self._alone: dict[tuple[bool, bool], list[int]] = {}
        self.all: list[Need] = []
        self._numbers: dict[Need, int] = {}
        self.least: dict[Need, int] = {}
        self.shortest: dict[Need, int] = {}

    def standing_for(self, need: Need) -> Need:
        """The need that stands for `need`: up to a multiple of the grain, or to a whole stick.

        Where lengths differ by little from run to run, few needs stand for many.
        """
        if self.grain == 1 or (need.low_factory and need.high_factory):
            return need
        length = up(need.length, self.grain)
        fitting = next((most for most in self._longest(need) if most >= need.length), length)
        return need._replace(length=min(length, fitting))

    def _longest(self, need: Need) -> list[int]:
        """The longest piece with these ends that each stock holds, ascending."""
        ends = need.low_spared, need.high_spared
        if ends not in self._alone:
            alone = [stock.usable + stock.spared(need) for stock in self._stocks]
            self._alone[ends] = sorted(alone)
        return self._alone[ends]

    def met(self, need: Need, least: int | None = None) -> Need:
        """What stands for `need`, which takes `least` of a stick, or its own length.

        The table `least` has the least of all that each was met for, `shortest` their lengths.
        """
        stand_in = self.standing_for(need)
        self.shortest[stand_in] = min(need.length, self.shortest.get(stand_in, need.length))
        least = need.length if least is None else least
        self.least[stand_in] = min(least, self.least.get(stand_in, least))
        return stand_in

    @property
    def nests(self) -> bool:
        """Whether any need may take less of a stick than the shortest it was met for."""
        return self.least != self.shortest

    def number(self, need: Need, least: int | None = None) -> int:
        """The number of what stands for `need`, a new one if it is new."""
        need = self.met(need, least)
        if need not in self._numbers:
            self._numbers[need] = len(self.all)
            self.all.append(need)
        return self._numbers[need]
