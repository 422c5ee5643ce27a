"""Parts that no other part can lie beside: each takes a sheet of its own, the cheapest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.cutting.sheets.stock import Cutup, SheetStock
from service.cutting.sheets.trees import Leaf, Part


def unshared(
    parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int
) -> dict[Part, Cutup]:
    """How each part that is alone on every sheet that it fits is cut from the cheapest.

    Parts that could take stock of short supply are left to be weighed against the others.
    """
    found: dict[Part, Cutup] = {}
    for part, count in parts.items():
        holding = [number for number, stock in enumerate(stocks) if _room(part, stock)]
        endless = all(stocks[number].supply is None for number in holding)
        others = [other for other in parts if other != part or count > 1]
        if (
            holding
            and endless
            and not any(
                _both(part, other, stocks[number], kerf) for number in holding for other in others
            )
        ):
            cheapest = min(holding, key=lambda number: (stocks[number].cost, number))
            found[part] = (cheapest, Leaf(part))
    return found


def _room(part: Part, stock: SheetStock) -> bool:
    return part.length <= stock.length and part.width <= stock.width


def _both(part: Part, other: Part, stock: SheetStock, kerf: int) -> bool:
    """Whether one cut can part the two on one sheet."""
    return _room(other, stock) and (
        part.length + kerf + other.length <= stock.length
        or part.width + kerf + other.width <= stock.width
    )
