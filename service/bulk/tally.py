"""What a run has come to: answered, refused by which problem, what is to be bought, the work."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from service.schemas.rooms import COLUMNS


@dataclass(slots=True)
class Tally:
    """Sums over lines; tallies add up in any order to the same.

    `refused` counts by the type of the problem, `bought` what is ordered by its form, in sticks,
    sheets, rolls or packages as each is sold; `money` is the orders' prices by currency, of the
    orders that have one. Of rows of a sheet, `refused` counts by the column that is at fault,
    `empty` those without a room, and `lengths` adds up what is bought, by its unit. `seconds` are
    of a processor.
    """

    answered: int = 0
    empty: int = 0
    refused: Counter[str] = field(default_factory=Counter)
    bought: Counter[str] = field(default_factory=Counter)
    money: dict[str, Decimal] = field(default_factory=dict)
    lengths: dict[str, Decimal] = field(default_factory=dict)
    seconds: float = 0.0

    @property
    def lines(self) -> int:
        """Lines that have been dealt with."""
        return self.answered + self.empty + sum(self.refused.values())

    def answer(self, answer: dict[str, Any]) -> None:
        """Count an answer."""
        self.answered += 1
        for row in answer["order"]:
            self.bought[row["form"]] += row["buy"]
        if currency := answer["units"]["money"]:
            prices = (row["price"] for row in answer["order"] if row["price"] is not None)
            amount = sum((Decimal(str(price)) for price in prices), Decimal())
            _add(self.money, {currency: amount})

    def row(self, row: Mapping[str, Any]) -> None:
        """Count a row of a sheet, as it is answered."""
        if row["status"] == "empty":
            self.empty += 1
        elif row["status"] != "ok":
            self.refused[_at_fault(row)] += 1
        else:
            self.answered += 1
            _add(self.lengths, {str(row["unit"]): Decimal(str(row["bought"]))})
            if row["price"] is not None:
                _add(self.money, {str(row["currency"]): Decimal(row["price"])})

    def add(self, other: Tally) -> None:
        """Count what another has counted."""
        self.answered += other.answered
        self.refused += other.refused
        self.bought += other.bought
        self.seconds += other.seconds
        self.empty += other.empty
        _add(self.money, other.money)
        _add(self.lengths, other.lengths)

    def as_json(self) -> dict[str, Any]:
        """Plain JSON, from which `of_json` makes it again."""
        return {
            "answered": self.answered,
            "empty": self.empty,
            "refused": dict(self.refused),
            "bought": dict(self.bought),
            "money": {currency: str(amount) for currency, amount in self.money.items()},
            "lengths": {unit: str(length) for unit, length in self.lengths.items()},
            "seconds": self.seconds,
        }

    @classmethod
    def of_json(cls, kept: dict[str, Any]) -> Tally:
        """The tally that `as_json` wrote."""
        return cls(
            kept["answered"],
            kept["empty"],
            Counter(kept["refused"]),
            Counter(kept["bought"]),
            {currency: Decimal(amount) for currency, amount in kept["money"].items()},
            {unit: Decimal(length) for unit, length in kept["lengths"].items()},
            kept["seconds"],
        )

    def in_words(self) -> str:
        """For whoever waits at the end of a run."""
        said = [f"{self.lines:,} lines: {self.answered:,} answered"]
        said += [f"  {count:,} refused: {slug}" for slug, count in sorted(self.refused.items())]
        said += [f"  {self.empty:,} empty"] if self.empty else []
        if self.bought:
            each_form = (f"{form} {amount:,}" for form, amount in sorted(self.bought.items()))
            said.append(f"to buy, by form: {'; '.join(each_form)}")
        said += [
            f"to buy, in length: {length:,.2f} {unit}"
            for unit, length in sorted(self.lengths.items())
        ]
        said += [f"for {amount:,.2f} {currency}" for currency, amount in sorted(self.money.items())]
        each = self.seconds / self.lines if self.lines else 0.0
        return "\n".join([*said, f"processor: {self.seconds:,.1f} s, {1000 * each:,.1f} ms a line"])


def _add(sums: dict[str, Decimal], more: Mapping[str, Decimal]) -> None:
    for name, amount in more.items():
        sums[name] = sums.get(name, Decimal()) + amount


def _at_fault(row: Mapping[str, Any]) -> str:
    """The column that the error of a row begins with; `row` where it is of all, or the status."""
    name = str(row["error"]).split(":", 1)[0]
    if row["status"] == "refused":
        return name if name in COLUMNS else "row"
    return str(row["status"])
