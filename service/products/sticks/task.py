"""What takes stock in sticks: a layer of whatever kind and form, or pieces that are only cut."""

from __future__ import annotations

from typing import Protocol

from service.products.layer import StockTask
from service.products.rulings import StickRulings
from service.schemas.stock import StickProduct


class StickTask(StockTask, Protocol):
    """What takes a stick product, with the rules of its stock."""

    @property
    def product(self) -> StickProduct:
        """What the sticks are of."""

    @property
    def rules(self) -> StickRulings:
        """The rules of its stock as they hold."""
