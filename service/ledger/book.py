"""One ledger a product. Accounts are measured one by one; none is what is left over."""

from __future__ import annotations

from collections import Counter
from typing import Final

from service.errors import LawBroken

ACCOUNTS: Final = (
    "installed",
    "lap_or_tongue",
    "rip",
    "notch",
    "mitre",
    "crosscut",
    "kerf",
    "end_trim",
    "fit",
    "snap",
    "short_rest",
    "offcut_kept",
    "cull",
    "spare",
    "surplus",
)
"""Where bought area can go, in the order in which it is reported."""


class Ledger:
    """Amounts by account, in half square ticks (twice the area)."""

    def __init__(self, product: str) -> None:
        self.product = product
        self._amounts: Counter[str] = Counter()

    def enter(self, account: str, amount: int) -> None:
        """Add `amount` half square ticks to an account; `fit` and `snap` may be negative."""
        if account not in ACCOUNTS:
            raise LawBroken(f"no such account: {account}")
        self._amounts[account] += amount

    def entries(self) -> tuple[tuple[str, int], ...]:
        """Every account with its amount, in order."""
        return tuple((account, self._amounts[account]) for account in ACCOUNTS)

    def close(self, bought: int) -> None:
        """Check that the accounts are exactly what was bought; raises LawBroken if not."""
        total = sum(amount for _, amount in self.entries())
        if total != bought:
            raise LawBroken(f"ledger of {self.product} is off by {total - bought} half sq. ticks")
