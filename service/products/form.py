"""What a form of stock is: its shape in a request, its rules, and how it is bought."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from inspect import isabstract
from pathlib import Path
from typing import Any, Generic, TypeVar

from service.ledger.book import Ledger, Measure
from service.products.kind import RuleBook, Said, Settings, Supplied, Task
from service.products.rows import OrderRow
from service.schemas.base import Asked
from service.schemas.stock import Stocked

Wanted_co = TypeVar("Wanted_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Need(Generic[Wanted_co]):
    """What a layer wants of one product, in the words of the product's form.

    `task` is the layer's, with this product as its own.
    """

    task: Task
    wanted: Wanted_co


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One form of stock, bought alike for whatever kind of layer takes it.

    `goods` is what its pieces are called in the plural. `rules` are those of its stock, with their
    defaults in the folder's table: each kind that takes the form has them, and all layers that
    share a product must have them alike; `stock_rules` are their keys. `measure` is what its ledger
    is kept in.

    `plan` chooses stock for all that is wanted of one product, with the share of each need in the
    same order (`shares`), and raises TradeRefused where that cannot be. When the kinds have placed
    their pieces and entered them in the product's ledger, `supplied` adds what is bought: sticks or
    sheets, order, plans, the rest of the ledger, comparison.

    What layers count or measure themselves, as fasteners and tape, has `packed` instead: the line
    of the order for so many pieces, or ticks of length, of one length of the product, and so many
    with what is lost. `loss` is the share that a layer loses by its rules.
    """

    name: str
    goods: str
    spec: type
    folder: Path
    rules: type = Asked
    stock_rules: tuple[str, ...] = ()
    measure: Measure = "area"
    plan: Callable[[Sequence[Need[Any]], Settings], Any] | None = None
    supplied: (
        Callable[[Any, Sequence[Need[Any]], Supplied, Ledger, Settings, Said], None] | None
    ) = None
    packed: Callable[[Any, int | None, int, Fraction], OrderRow] | None = None
    loss: Callable[[Any, RuleBook], Fraction] | None = None

    def __post_init__(self) -> None:
        """Raise TypeError where the spec has `stock` and does not say how wide it is laid."""
        has_stock = "stock" in getattr(self.spec, "model_fields", ())
        if has_stock and (not issubclass(self.spec, Stocked) or isabstract(self.spec)):
            raise TypeError(
                f"the form {self.name} of {self.folder} has `stock`: {self.spec.__qualname__} "
                f"must be a {Stocked.__qualname__} with a `laid_width`"
            )

    @property
    def defaults_path(self) -> Path:
        """The form's table of defaults; there is none where it has no rules."""
        return self.folder / "tables" / "defaults.toml"
