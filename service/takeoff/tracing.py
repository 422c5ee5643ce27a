"""One figure after another of a line of the order, each with its formula, inputs and rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from service.products.bought_rows import OrderRow
from service.products.trace_rows import TraceInput, TraceRow

Number = int | Fraction


def written(value: Number) -> str:
    """An exact number: a decimal where it ends within nine places, else a fraction."""
    exact = Fraction(value)
    if exact.denominator == 1:
        return str(exact.numerator)
    if 10**9 % exact.denominator == 0:
        whole, part = divmod(abs(exact) * 10**9, 10**9)
        return f"{'-' * (exact < 0)}{int(whole)}.{int(part):09d}".rstrip("0")
    return f"{exact.numerator}/{exact.denominator}"


def given(name: str, value: Number, source: str, unit: str = "") -> TraceInput:
    """One input of a formula."""
    return TraceInput(name=name, value=written(value), unit=unit, source=source)


@dataclass(slots=True)
class Trace:
    """The figures of one line of the order, in the order in which they follow from one another."""

    line: int
    order: OrderRow
    rows: list[TraceRow] = field(default_factory=list)

    def step(
        self,
        figure: str,
        formula: str,
        result: Number,
        inputs: Sequence[TraceInput],
        rule: str,
        *,
        unit: str = "",
        table: str | None = None,
    ) -> None:
        """Add a figure."""
        self.rows.append(
            TraceRow(
                line=self.line,
                order=self.order,
                figure=figure,
                formula=formula,
                inputs=tuple(inputs),
                result=written(result),
                unit=unit,
                rule=rule,
                table=table,
            )
        )

    def bought(
        self, total: Number, pieces: Number, rule: str, multiple: str, *, whole: bool = True
    ) -> None:
        """Packages and pieces bought for `total`, in packages of `pieces`.

        Of what is used by length a piece is a package: not `whole`.
        """
        line = self.order.bought
        inputs = [
            given("total", total, "figure total"),
            given("each", pieces, multiple),
        ]
        self.step("packages", "ceil(total / each)", line.packages, inputs, rule)
        if not whole:
            self.step("buy", "packages", line.buy,
                      [given("packages", line.packages, "figure packages")], rule)  # fmt: skip
            return
        self.step(
            "buy",
            "floor(packages * each)",
            line.buy,
            [given("packages", line.packages, "figure packages"), inputs[1]],
            rule,
        )

    def left_over(self, total: Number) -> None:
        """What is bought beyond the total."""
        line = self.order.bought
        inputs = [given("buy", line.buy, "figure buy"), given("total", total, "figure total")]
        self.step("left_over", "buy - total", line.left_over, inputs, "19.1")

    def price(self, count: int, counted: str, each: Fraction | None, currency: str | None) -> None:
        """What the line costs, where a price was sent."""
        if each is None:
            return
        inputs = [
            given(counted, count, f"figure {counted}"),
            given("price", each, "price of the product", currency or ""),
        ]
        self.step("price", f"{counted} * price", count * each, inputs, "19.6", unit=currency or "")
