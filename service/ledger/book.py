"""One ledger a product. Accounts are measured one by one; none is what is left over.

What is laid by area is booked by area, what is a line by its length, and a liquid by its volume.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Final, Literal

from service.errors import LawBroken
from service.order.shares import shared_out

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
    "short_offcut",
    "offcut_kept",
    "cull",
    "spare",
    "surplus",
    "lost",
    "owned",
)
"""Where what is bought can go, in the order in which it is reported.

`owned` is a source: what of all that was taken was the caller's own, below 0, so that the accounts
still add up to what was bought. It is reported only where something was, as is what is `lost`: what
stays in tubes and nozzles.
"""

_SELDOM: Final = frozenset({"lost", "owned"})

Measure = Literal["area", "length", "volume"]

UNITS: Final[Mapping[Measure, str]] = {
    "area": "half square ticks",
    "length": "ticks",
    "volume": "cubic ticks",
}
"""What each measure is counted in: areas as twice the area, so that a triangle is whole too."""


class Page:
    """Amounts by account, in the unit of the ledger's measure (`UNITS`)."""

    def __init__(self) -> None:
        self._amounts: Counter[str] = Counter()

    def enter(self, account: str, amount: int) -> None:
        """Add `amount` to an account; `fit`, `snap` and `owned` may be negative."""
        if account not in ACCOUNTS:
            raise LawBroken(f"no such account: {account}")
        self._amounts[account] += amount

    def amount(self, account: str) -> int:
        """What stands in an account."""
        return self._amounts[account]

    @property
    def total(self) -> int:
        """All accounts together."""
        return sum(self._amounts.values())


class Ledger(Page):
    """A product's ledger: a page for what its pieces take on each surface, and its own.

    On its own page stands what belongs to the stock as a whole: kerfs, trims, rests, and what is
    bought beyond the plan.
    """

    def __init__(self, product: str, measure: Measure = "area") -> None:
        super().__init__()
        self.product = product
        self.measure = measure
        self._surfaces: dict[str, Page] = {}

    def of(self, surface: str) -> Page:
        """The page of one surface."""
        return self._surfaces.setdefault(surface, Page())

    def entries(self) -> tuple[tuple[str, int], ...]:
        """Every account with its amount over all pages, in order."""
        pages = (self, *self._surfaces.values())
        found = ((name, sum(page.amount(name) for page in pages)) for name in ACCOUNTS)
        return tuple((name, amount) for name, amount in found if amount or name not in _SELDOM)

    def shares(self) -> tuple[tuple[str, str, int], ...]:
        """Surface, account and amount, but for nothing: each account's shares add up to it.

        What stands on the ledger's own page is shared by what the pieces of each surface take.
        """
        pages = self._surfaces
        weights = [max(0, page.total) for page in pages.values()]
        common = {account: shared_out(self.amount(account), weights) for account in ACCOUNTS}
        return tuple(
            (surface, account, amount)
            for k, (surface, page) in enumerate(pages.items())
            for account in ACCOUNTS
            if (amount := page.amount(account) + common[account][k])
        )

    def close(self, bought: int) -> None:
        """Check that the accounts are exactly what was bought; raises LawBroken if not."""
        total = sum(amount for _, amount in self.entries())
        if total != bought:
            unit = UNITS[self.measure]
            raise LawBroken(f"ledger of {self.product} is off by {total - bought} {unit}")
