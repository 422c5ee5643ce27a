"""How each figure of the order comes about: the trace that a quote can be defended by.

What was counted stands in other tables of the answer; the trace says in which, and works on from
there in exact numbers, so that anybody can work it again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any, Final

from service.products.bought_rows import OrderRow, OwnedRow
from service.products.liquid_rows import LiquidRow
from service.products.rows import ConsumableRow, FastenerRow
from service.products.supplied import Supplied
from service.products.trace_rows import TraceRow
from service.takeoff.explaining_liquids import Gallon, explain_liquid
from service.takeoff.job import Job, Ring
from service.takeoff.ordering import Item, Use
from service.takeoff.tracing import Trace, given
from service.units.ticks import (
    FOOT,
    KILOGRAM_IN_A_POUND,
    KILOGRAM_PER_CUBIC_METRE,
    METRIC,
    MM,
    TICKS_PER_UNIT,
    ceiling,
)
from service.units.volumes import CUBIC_TICKS

_RULES: Final[Mapping[str, str]] = {
    "rows": "18.7", "caps": "13.6", "clips": "11.8", "along": "18.1", "ends": "18.1",
}  # fmt: skip
"""The rule by which fasteners of a pattern are counted; of boards' patterns 18.3."""

_RULES_OF_PLACES: Final = {
    "notch": "18.4", "leg": "18.4", "framed leg": "18.4",
    "joint end": "18.5", "short piece": "18.6",
}  # fmt: skip
"""The rule by which those of boards are counted that are not driven where a member is crossed."""


class Explained:
    """The trace of a whole order."""

    def __init__(
        self,
        job: Job,
        supplied: Sequence[Supplied],
        used: Sequence[Use],
        pooled: Mapping[Item, Sequence[OrderRow]],
        owned: Sequence[OwnedRow],
    ) -> None:
        self._job = job
        self._supplied = supplied
        self._used = used
        self._pooled = pooled
        self._owned = owned
        self._metric = job.unit in METRIC

    def rows(self) -> Iterator[TraceRow]:
        """Every figure of every line, in the order of the lines."""
        number = 0
        for made in self._supplied:
            for row in made.order:
                number += 1
                yield from self._planned(Trace(number, row), made).rows
        for item, lines in self._pooled.items():
            uses = [one for one in self._used if one.item == item]
            for k, row in enumerate(lines):
                number += 1
                yield from self._counted(Trace(number, row), uses, first=k == 0, of=lines).rows

    def _planned(self, trace: Trace, made: Supplied) -> Trace:
        """A line of sticks, sheets or rolls: from the cut plan to what is bought (8.9, 10.1)."""
        row, line = trace.order, trace.order.bought
        table = "sheets" if made.sheets else "sticks"
        need = given("need", line.need, "figure need")
        trace.step("need", "count", line.need,
                   [given("count", line.need, f"{table}: of this length, not the caller's own")],
                   "8.2", table=table)  # fmt: skip
        trace.step("cull", "ceil(need / (1 - cull)) - need", line.cull,
                   [need, given("cull", row.culled, "rule 10.1, cull")], "10.1")  # fmt: skip
        trace.step("spare", "spare", line.spare, [given("spare", line.spare, "rule 10.2, spare")],
                   "10.2")  # fmt: skip
        total = line.need + line.cull + line.spare
        trace.step("total", "need + cull + spare", total,
                   [need, given("cull", line.cull, "figure cull"),
                    given("spare", line.spare, "figure spare")], "0.5")  # fmt: skip
        trace.bought(total, line.per_package, "8.9", "multiple of the stock length, or 1")
        trace.left_over(total)
        trace.price(line.buy, "buy", _each(row, line.buy), self._job.currency)
        self._weighed(trace)
        return trace

    def _weighed(self, trace: Trace) -> None:
        """What a line of boards or sheets weighs, and its board feet (2.2, 19.5)."""
        row = trace.order
        spec, _ = self._job.products[row.product]
        product: Any = spec  # a board or a sheet, which has a section
        buy = given("buy", row.bought.buy, "figure buy")
        if row.board_feet is not None and row.length is not None:
            nominal = product.nominal
            thick = max(Fraction(1), nominal.thickness)
            length = Fraction(row.length, FOOT)
            trace.step("board_feet", "buy * thickness * width * length / 12",
                       row.bought.buy * thick * nominal.width * length / 12,
                       [buy, given("thickness", thick, "nominal of the product, 1 at least", "in"),
                        given("width", nominal.width, "nominal of the product", "in"),
                        given("length", length, "length of the line", "ft")], "2.2")  # fmt: skip
        if row.weight is None or row.length is None:
            return
        foot, of = (1000 * MM, "m") if self._metric else (FOOT, "ft")
        dense = product.density / (KILOGRAM_PER_CUBIC_METRE if self._metric else 1)
        sides = [
            (name, Fraction(ticks, foot))
            for name, ticks in (("length", row.length), ("width", product.laid_width),
                                ("thickness", product.thickness))
        ]  # fmt: skip
        weight = row.bought.buy * dense * sides[0][1] * sides[1][1] * sides[2][1]
        inputs = [given(name, value, f"{name} of the product", of) for name, value in sides]
        density = given("density", dense, "density of the product", f"{self._pound}/{of}3")
        trace.step("weight", "buy * length * width * thickness * density", weight,
                   [buy, *inputs, density], "19.5", unit=self._pound)  # fmt: skip

    @property
    def _pound(self) -> str:
        return "kg" if self._metric else "lb"

    def _counted(
        self, trace: Trace, uses: Sequence[Use], *, first: bool, of: Sequence[OrderRow]
    ) -> Trace:
        """A line of what layers count or measure: each use, with what is lost, then the packs."""
        unit, size = self._measure(uses[0])
        if first:
            for one in uses:
                self._used_once(trace, one, unit, size)
        total = sum((one.amount * (1 + one.loss) for one in uses), Fraction(0)) / size
        total = total if unit else Fraction(ceiling(total))
        own = min(total, self._own(trace.order))
        if first:
            self._totalled(trace, total, uses, (unit, size), "with loss" if own else "total")
        if first and own:
            taken = [given("with_loss", total, "figure with loss", unit),
                     given("owned", own, "owned: used", unit)]  # fmt: skip
            trace.step("total", "with_loss - owned", total - own, taken, "19.1", unit=unit)
        self._packed(trace, total - own, of, unit)
        return trace

    def _totalled(
        self,
        trace: Trace,
        total: Fraction,
        uses: Sequence[Use],
        measured: tuple[str, int],
        figure: str,
    ) -> None:
        """All uses of an item with what is lost of them: of what is counted, whole pieces."""
        unit, size = measured
        alike = len({one.loss for one in uses}) == 1
        inputs = [given(f"a{k}", Fraction(one.amount, size), f"figure used, {_place(one)}", unit)
                  for k, one in enumerate(uses)]  # fmt: skip
        losses = uses[:1] if alike else uses
        inputs += [given("loss" if alike else f"b{k}", one.loss, "loss of the product, or its rule")
                   for k, one in enumerate(losses)]  # fmt: skip
        terms = " + ".join(f"a{k}" if alike else f"a{k} * (1 + b{k})" for k in range(len(uses)))
        formula = f"({terms}) * (1 + loss)" if alike else terms
        rule = {"": "18.12", self._gallon: "20.4"}.get(unit, "20.6")
        trace.step(figure, formula if unit else f"ceil({formula})", total, inputs, rule, unit=unit)

    def _measure(self, use: Use) -> tuple[str, int]:
        """What uses of an item are told in, and how many of its amounts that is."""
        if isinstance(use.row, FastenerRow | Ring):
            return "", 1
        if isinstance(use.row, ConsumableRow):
            return self._job.unit, TICKS_PER_UNIT[self._job.unit]
        return self._gallon, CUBIC_TICKS[self._gallon]

    def _used_once(self, trace: Trace, use: Use, unit: str, size: int) -> None:
        """What one layer uses, and the row in which it was counted."""
        row, place = use.row, _place(use)
        if isinstance(row, LiquidRow):
            explain_liquid(trace, row, place, Gallon(unit, size, self._metric))
            return
        if isinstance(row, Ring):
            ring = given("counted", use.amount, f"openings: {place}, the ring of one")
            trace.step(f"used, {place}", "counted", use.amount, [ring], "5.1", table="openings")
            return
        fastener = isinstance(row, FastenerRow)
        table = "fasteners" if fastener else "consumables"
        rule = _counted_by(row) if isinstance(row, FastenerRow) else "20.6"
        amount = given("counted", Fraction(use.amount, size), f"{table}: {place}, {row.counted}",
                       unit)  # fmt: skip
        trace.step(f"used, {place}", "counted", Fraction(use.amount, size), [amount], rule,
                   unit=unit, table=table)  # fmt: skip

    def _packed(self, trace: Trace, total: Fraction, of: Sequence[OrderRow], unit: str) -> None:
        """From the total to packages: one size is reckoned, of several the mix is shown (19.3)."""
        row, line = trace.order, trace.order.bought
        holds = self._holds(row)
        if len(of) == 1 and row.holds is None:
            trace.bought(total, holds, "19.1", "what one holds", whole=not unit)
        else:
            why = "the mix of least price, else of what is left over and the fewest packs"
            trace.step("packages", "count", line.packages,
                       [given("count", line.packages, why)], "19.3")  # fmt: skip
            trace.step("buy", "floor(packages * each)", line.buy,
                       [given("packages", line.packages, "figure packages"),
                        given("each", line.per_package, "what one holds")], "19.3")  # fmt: skip
        self._pieces(trace)
        if row is of[-1] and row.left_volume is not None:
            held = sum((Fraction(one.volume or 0) for one in of), Fraction(0))
            held /= CUBIC_TICKS[self._gallon]
            inputs = [given("held", held, "volume of all lines of the product", unit),
                      given("total", total, "figure total", unit)]  # fmt: skip
            trace.step("left_volume", "held - total", held - total, inputs, "19.3", unit=unit)
        trace.price(line.packages, "packages", _each(row, line.packages), self._job.currency)

    def _pieces(self, trace: Trace) -> None:
        """How what is bought is parted, what it holds and what it weighs."""
        row, line = trace.order, trace.order.bought
        parted = given("buy", line.buy, "figure buy")
        need = given("need", line.need, "what is used, filled into the largest size first")
        trace.step("need", "need", line.need, [need], "19.3")
        trace.step("loss", "loss", line.loss,
                   [given("loss", line.loss, "total less what is used, filled in after it")],
                   "18.12")  # fmt: skip
        trace.step("left_over", "buy - need - loss", line.left_over,
                   [parted, need, given("loss", line.loss, "figure loss")], "19.1")  # fmt: skip
        if row.volume is not None and row.holds is not None:
            unit, size = self._gallon, CUBIC_TICKS[self._gallon]
            trace.step("volume", "buy * holds", Fraction(row.volume) / size,
                       [parted, given("holds", Fraction(row.holds) / size, "packs of the product",
                                      unit)], "19.3", unit=unit)  # fmt: skip
        if row.weight is not None:
            kilogram = KILOGRAM_IN_A_POUND if self._metric else Fraction(1)
            pieces = Fraction(line.packages * line.per_package)
            trace.step("weight", "packages * each / by_weight", row.weight * kilogram,
                       [given("packages", line.packages, "figure packages"),
                        given("each", line.per_package, "what one holds"),
                        given("by_weight", pieces / (row.weight * kilogram),
                              "per_pound of the product, or by its diameter",
                              f"1/{self._pound}")], "19.1", unit=self._pound)  # fmt: skip

    @property
    def _gallon(self) -> str:
        return "l" if self._metric else "gal"

    def _own(self, row: OrderRow) -> Fraction:
        """What is taken of the caller's own before any is bought."""
        own = [one for one in self._owned
               if (one.product, one.length) == (row.product, row.length)]  # fmt: skip
        if row.volume is not None:
            taken = sum((Fraction(one.volume or 0) for one in own), Fraction(0))
            return taken / CUBIC_TICKS[self._gallon]
        each = self._holds(row) if row.form == "tape" else Fraction(1)
        return sum(one.used for one in own) * each

    def _holds(self, row: OrderRow) -> Fraction:
        """What a package holds, in what its uses are told in."""
        if row.form == "tape":
            return Fraction(row.length or 0, TICKS_PER_UNIT[self._job.unit])
        return Fraction(row.bought.per_package)


def _place(use: Use) -> str:
    """Where something is used, as the rows of its table tell it."""
    row = use.row
    if isinstance(row, Ring):
        return f"{row.surface} openings"
    place = f"{row.surface}.{row.layer} {row.where}"
    return f"{place}, {row.place}" if isinstance(row, FastenerRow) else place


def _each(row: OrderRow, count: int) -> Fraction | None:
    """The price of one, where the line has one."""
    if row.price is None or not count:
        return None
    return Fraction(repr(row.price)) / count


def _counted_by(row: FastenerRow) -> str:
    """The rule by which fasteners are counted, by their pattern or their place."""
    return _RULES.get(row.pattern) or _RULES_OF_PLACES.get(row.where, "18.3")
