"""The air of a job and its wood: what was sent, ready to be reckoned with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from service.moisture.air import Air
from service.moisture.equilibrium import equilibrium, is_tabulated
from service.moisture.joints import Room
from service.moisture.meter import Readings
from service.moisture.movement import movement
from service.units.writing import listed

By = Literal["humidity", "wet_bulb", "dew_point", "mc"]


@dataclass(frozen=True, slots=True)
class Season:
    """Air in service for a time, `air` None where only what it brings wood to was sent."""

    name: str
    by: By
    air: Air | None
    content: Fraction

    @property
    def is_tabulated(self) -> bool:
        """Whether what it brings wood to is tabulated at its temperature, or was sent."""
        return self.air is None or is_tabulated(self.air)


def season(name: str, by: By, air: Air) -> Season:
    """Air with the moisture content to which it brings wood."""
    return Season(name, by, air, equilibrium(air))


@dataclass(frozen=True, slots=True)
class Wood:
    """How moist some wood is: visits with a meter, or one figure that was sent."""

    visits: Sequence[Readings] = ()
    sent: Fraction | None = None

    @property
    def content(self) -> Fraction:
        """Percent of moisture now."""
        return self.visits[-1].content if self.sent is None else self.sent


@dataclass(frozen=True, slots=True)
class Boards:
    """Boards that lie beside each other; lengths in ticks.

    `coefficient` is as in `service.moisture.movement`, `coefficient_of` whose it is; `shrinkage` is
    in percent, None where it is not known. `tongue` is 0 where there is none; `spacer` the open
    joint, and `gap` the one at each wall, None where it is not known.
    """

    coefficient: Fraction
    coefficient_of: str
    shrinkage: Fraction | None
    wood: Wood
    coverage: int
    over: int
    tongue: int = 0
    spacer: int = 0
    gap: int | None = None

    def moved(self, width: int, content: Fraction) -> Fraction:
        """How much a width grows till it has this moisture content; exact ticks."""
        return movement(Fraction(width), self.coefficient, self.wood.content, content)

    def room(self, seasons: Sequence[Season]) -> Room:
        """What they do between now and the driest and the dampest of these."""
        each = [self.moved(self.coverage, one.content) for one in seasons]
        whole = [self.moved(self.over, one.content) for one in seasons]
        none = Fraction(0)
        return Room(
            swells=max(none, *each), shrinks=max(none, *(-one for one in each)),
            swells_over_all=max(none, *whole), shrinks_over_all=max(none, *(-one for one in whole)),
        )  # fmt: skip


def percent(content: Fraction) -> str:
    """A moisture content for a sentence: `11.2 %`, to a tenth, half up."""
    return f"{tenths(content)} %"


def tenths(number: Fraction) -> str:
    """A number to a tenth, half up, without needless zeros: `11.2`, `9`."""
    sign = "-" if number < 0 else ""
    found = (2 * abs(number) * 10 + 1) // 2
    return f"{sign}{found // 10}.{found % 10}".removesuffix(".0")


def named(seasons: Sequence[Season]) -> str:
    """Seasons by their names: `summer and winter`."""
    return listed([one.name for one in seasons])
