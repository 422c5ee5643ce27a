"""Pieces that are only cut: the stock that they are cut from, its rules, and what is wanted."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import radians, tan

from service.cutting.records import Need
from service.products.rulings import Ruling, StickRulings
from service.products.stock import UNTRIMMED, Trims
from service.schemas.cut_plan import CutEnd, CutStock, MitredEnd
from service.units.ticks import whole


class CutRulings(StickRulings):
    """Rules of stock that pieces are only cut from; ticks."""

    __slots__ = ()

    end_trim = Ruling(int)
    joint_trim = Ruling(int)
    wall_trim = Ruling(int)

    def trims(self, *, turned: bool, matched: bool) -> Trims:
        """What is trimmed off a raw end, by what becomes of it; `end_trim`, if sent, sets both.

        Of end-matched stock nothing is, and its tongue and its groove stay left and right.
        """
        if matched:
            return UNTRIMMED
        if self.as_sent("end_trim") is not None:
            return Trims(self.end_trim, self.end_trim, turned=turned)
        return Trims(self.joint_trim, self.wall_trim, turned=turned)


@dataclass(frozen=True, slots=True)
class CutTask:
    """The stock that pieces are cut from, with its rules as they hold."""

    product: CutStock
    rules: CutRulings
    unit: str
    product_pointer: str = ""


def cuts_of(ends: tuple[CutEnd, CutEnd], face: int) -> tuple[int, int]:
    """How much further right each end lies at the far edge of a face so wide (4.5)."""
    slants = [
        (-1 if (end.long == "far") else 1) * whole(Fraction(face * tan(radians(end.mitre))))
        if isinstance(end, MitredEnd)
        else 0
        for end in ends
    ]
    return slants[0], -slants[1]


@dataclass(frozen=True, slots=True)
class Line:
    """So many pieces of one length (ticks), and what becomes of their left and right end.

    `cuts` say how much further right each end lies at the far edge than at the near one; 0 of a
    square one.
    """

    id: str
    length: int
    count: int
    ends: tuple[CutEnd, CutEnd]
    cuts: tuple[int, int] = (0, 0)

    def need(self, trims: Trims) -> Need:
        """What one of them takes of a stick."""
        low, high = (trims.spares(covered=end == "covered") for end in self.ends)
        return Need(self.length, *self.matched, low, high, *self.cuts)

    @property
    def matched(self) -> tuple[bool, bool]:
        """Which of its ends are as the mill matched them."""
        low, high = self.ends
        return low == "matched", high == "matched"

    @property
    def pieces(self) -> tuple[str, ...]:
        """The names of its pieces."""
        return tuple(f"{self.id}.{k + 1}" for k in range(self.count))
