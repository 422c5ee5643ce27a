"""The rules of the stock of boards, as they hold for a layer."""

from __future__ import annotations

from fractions import Fraction

from service.errors import Ticks
from service.products.goods.board.spec import BoardProduct
from service.products.layer import Layer
from service.products.layer import Task as TaskOf
from service.products.rulings import Ruling, StickRulings
from service.products.stock import BY_LENGTH, NO_PRICE, Trims
from service.schemas.written import read_length
from service.units.ticks import TICKS_PER_UNIT, whole


class BoardRulings(StickRulings):
    """Rules of the stock of boards; `offcut_value` in percent."""

    __slots__ = ()

    offcut_value = Ruling(Fraction)

    def joint_cost(self, product: BoardProduct, objective: str, unit: str) -> Fraction:
        """What a field joint counts for: money, or ticks of length; 0 where others are counted.

        A length is that of board at the lowest price by the foot among lengths that are bought
        without limit, to the nearest cent (6.7).
        """
        by_money = objective == "least_cost"
        if not by_money and objective not in BY_LENGTH:
            return NO_PRICE
        entry = self.entry("joint_cost")
        sent, source = self._sent("joint_cost")
        asked = read_length(entry["value"]) if sent is None else sent
        assert isinstance(asked, int | Fraction)  # ticks, or a bare number
        is_length = isinstance(asked, int)
        if by_money:
            price = _to_the_cent(asked * _lowest_rate(product)) if is_length else Fraction(asked)
        else:
            price = Fraction(asked if is_length else whole(asked * TICKS_PER_UNIT[unit]))
        shown = float(price) if by_money else Ticks(int(price))
        self.note(entry["rule"], "joint_cost", shown, source)
        return price

    end_trim = Ruling(int)
    joint_trim = Ruling(int)
    wall_trim = Ruling(int)

    def trims(self, product: BoardProduct) -> Trims:
        """What is trimmed off a raw end, by what becomes of it (8.1).

        `end_trim`, if sent, sets both; the ends of end-matched boards are milled.
        """
        turned = product.profile == "square_edge"
        if product.ends == "end_matched" or self.as_sent("end_trim") is not None:
            return Trims(self.end_trim, self.end_trim, turned=turned)
        return Trims(self.joint_trim, self.wall_trim, turned=turned)


def _lowest_rate(product: BoardProduct) -> Fraction:
    """The lowest price a tick among lengths that are bought without limit; 0 without any."""
    bought = [row for row in product.stock if row.on_hand is None and row.price]
    return min((Fraction(row.price or 0) / row.length for row in bought), default=NO_PRICE)


def _to_the_cent(money: Fraction) -> Fraction:
    return Fraction(whole(100 * money), 100)


Task = TaskOf[Layer, BoardProduct, BoardRulings]
"""A layer that takes boards, of whatever kind it is."""
