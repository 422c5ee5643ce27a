"""What a form of stock is asked to solve for, and what it makes of one product."""

from __future__ import annotations

from dataclasses import dataclass

from service.errors import Relaxed
from service.products.bought_rows import (
    ChoiceRow,
    CutPlanRow,
    LedgerRow,
    LedgerShareRow,
    OrderRow,
    OwnedRow,
    RuleCostRow,
)
from service.products.certificate_rows import CertificateRow
from service.products.compared import ComparedRow
from service.products.cut_rows import SheetRow, StickRow
from service.products.layer import AnyLaid, AnyPlaced
from service.products.rows import PieceRow


@dataclass(frozen=True, slots=True)
class SearchSettings:
    """What the job asks of the search; `method` is of boards alone.

    `trial`: all that is asked is whether the rules can be kept, so that any plan will do.
    `choices`: plans with least material and with fewest joints are wanted beside the one chosen;
    `certificate`: what proves the bound is.
    """

    objective: str | None
    effort: str
    relax: bool
    method: str = "together"
    trial: bool = False
    choices: bool = False
    certificate: bool = False


@dataclass(slots=True)
class Supplied:
    """One product with its stock: sticks or sheets, plan, order and ledger.

    `kind` is that of the first layer that wants it, `placed` are the layers that are laid of it.
    `booked` is all that is bought, in the unit of the ledger's measure, and
    `covers_half_square_ticks` twice the area that it would cover laid end to end, its laps taken
    off; 0 for what is not laid by area. `shares` is the ledger shared out to surfaces.
    """

    product: str
    form: str
    kind: str
    placed: tuple[AnyPlaced, ...]
    sticks: tuple[StickRow, ...] = ()
    sheets: tuple[SheetRow, ...] = ()
    plans: tuple[CutPlanRow, ...] = ()
    rule_costs: tuple[RuleCostRow, ...] = ()
    choices: tuple[ChoiceRow, ...] = ()
    certificates: tuple[CertificateRow, ...] = ()
    order: tuple[OrderRow, ...] = ()
    owned: tuple[OwnedRow, ...] = ()
    ledger: tuple[LedgerRow, ...] = ()
    shares: tuple[LedgerShareRow, ...] = ()
    booked: int = 0
    covers_half_square_ticks: int = 0
    compared: tuple[ComparedRow, ...] = ()
    relaxed: tuple[Relaxed, ...] = ()

    @property
    def owned_length(self) -> int:
        """All that is used of the caller's own sticks or sheets, end to end, ticks."""
        return sum((row.length or 0) * row.used for row in self.owned)

    @property
    def layers(self) -> tuple[AnyLaid, ...]:
        """The layers that are laid of it."""
        return tuple(one.laid for one in self.placed)

    @property
    def pieces(self) -> tuple[PieceRow, ...]:
        """The pieces of all its layers."""
        return tuple(row for one in self.placed for row in one.pieces)
