"""Pieces that are only cut: the stock that they are cut from, its rules, and what is wanted."""

from __future__ import annotations

from dataclasses import dataclass

from service.cutting.records import Need
from service.products.rulings import Ruling, StickRulings
from service.products.stock import Trims
from service.schemas.cut_plan import CutEnd, CutStock


class CutRulings(StickRulings):
    """Rules of stock that pieces are only cut from; ticks."""

    __slots__ = ()

    end_trim = Ruling(int)
    joint_trim = Ruling(int)
    wall_trim = Ruling(int)

    def trims(self, *, turned: bool) -> Trims:
        """What is trimmed off a raw end, by what becomes of it; `end_trim`, if sent, sets both."""
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


@dataclass(frozen=True, slots=True)
class Line:
    """So many pieces of one length (ticks), and what becomes of their left and right end."""

    id: str
    length: int
    count: int
    ends: tuple[CutEnd, CutEnd]

    def need(self, trims: Trims) -> Need:
        """What one of them takes of a stick."""
        low, high = (trims.spares(covered=end == "covered") for end in self.ends)
        return Need(self.length, low_spared=low, high_spared=high)

    @property
    def pieces(self) -> tuple[str, ...]:
        """The names of its pieces."""
        return tuple(f"{self.id}.{k + 1}" for k in range(self.count))
