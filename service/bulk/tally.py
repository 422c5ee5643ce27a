"""What a run has come to: answered, refused by which problem, what is to be bought, the work."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any


@dataclass(slots=True)
class Tally:
    """Sums over lines; tallies add up in any order to the same.

    `refused` counts by the type of the problem, `bought` what is ordered by its form, in sticks,
    sheets, rolls or packages as each is sold; `money` is the orders' prices by currency, of the
    orders that have one. `seconds` are of a processor.
    """

    answered: int = 0
    refused: Counter[str] = field(default_factory=Counter)
    bought: Counter[str] = field(default_factory=Counter)
    money: dict[str, Decimal] = field(default_factory=dict)
    seconds: float = 0.0

    @property
    def lines(self) -> int:
        """Lines that have been dealt with."""
        return self.answered + sum(self.refused.values())

    def answer(self, answer: dict[str, Any]) -> None:
        """Count an answer."""
        self.answered += 1
        for row in answer["order"]:
            self.bought[row["form"]] += row["buy"]
        if currency := answer["units"]["money"]:
            prices = (row["price"] for row in answer["order"] if row["price"] is not None)
            self._pay(currency, sum((Decimal(str(price)) for price in prices), Decimal()))

    def add(self, other: Tally) -> None:
        """Count what another has counted."""
        self.answered += other.answered
        self.refused += other.refused
        self.bought += other.bought
        self.seconds += other.seconds
        for currency, amount in other.money.items():
            self._pay(currency, amount)

    def _pay(self, currency: str, amount: Decimal) -> None:
        self.money[currency] = self.money.get(currency, Decimal()) + amount

    def as_json(self) -> dict[str, Any]:
        """Plain JSON, from which `of_json` makes it again."""
        return {
            "answered": self.answered,
            "refused": dict(self.refused),
            "bought": dict(self.bought),
            "money": {currency: str(amount) for currency, amount in self.money.items()},
            "seconds": self.seconds,
        }

    @classmethod
    def of_json(cls, kept: dict[str, Any]) -> Tally:
        """The tally that `as_json` wrote."""
        return cls(
            kept["answered"],
            Counter(kept["refused"]),
            Counter(kept["bought"]),
            {currency: Decimal(amount) for currency, amount in kept["money"].items()},
            kept["seconds"],
        )

    def in_words(self) -> str:
        """For whoever waits at the end of a run."""
        said = [f"{self.lines:,} lines: {self.answered:,} answered"]
        said += [f"  {count:,} refused: {slug}" for slug, count in sorted(self.refused.items())]
        if self.bought:
            each_form = (f"{form} {amount:,}" for form, amount in sorted(self.bought.items()))
            said.append(f"to buy, by form: {'; '.join(each_form)}")
        said += [f"for {amount:,.2f} {currency}" for currency, amount in sorted(self.money.items())]
        each = self.seconds / self.lines if self.lines else 0.0
        return "\n".join([*said, f"processor: {self.seconds:,.1f} s, {1000 * each:,.1f} ms a line"])
