"""What a form of stock is: its shape in a request, its rules, and how it is bought."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from inspect import isabstract
from pathlib import Path
from typing import Any, Generic, TypeVar

from service.ledger.book import Ledger, Measure
from service.products.bought_rows import OrderRow, OwnedRow
from service.products.layer import AnyTask, Layer, Task
from service.products.nouns import StockNouns
from service.products.remarks import Remarks
from service.products.rulings import Rulings
from service.products.supplied import SearchSettings, Supplied
from service.schemas.base import Asked
from service.schemas.stock import Stocked

Spec = TypeVar("Spec")
Rules = TypeVar("Rules", bound=Rulings)
Wanted = TypeVar("Wanted")
Share = TypeVar("Share")
Plan = TypeVar("Plan")
Task_co = TypeVar("Task_co", bound=Task[Layer, object, Rulings], covariant=True)
Wanted_co = TypeVar("Wanted_co", covariant=True)
Share_co = TypeVar("Share_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Need(Generic[Task_co, Wanted_co, Share_co]):
    """What a layer wants of one product, in the words of the product's form.

    `task` is the layer's, with this product as its own. What it gets of the plan is a `Share_co`:
    only `Form.need` makes a need, so that the one follows from the other.
    """

    task: Task_co
    wanted: Wanted_co


@dataclass(frozen=True, slots=True, kw_only=True)
class Form(Generic[Spec, Rules, Wanted, Share, Plan]):
    """One form of stock, bought alike for whatever kind of layer takes it.

    `goods` is what its pieces are called in the plural. `rules` are those of its stock, with
    their defaults in the folder's table, and `rulings` those rules as they hold: each kind that
    takes the form has them, and all layers that share a product must have them alike;
    `stock_rules` are their keys. `measure` is what its ledger is kept in, and `nouns` are its
    words on paper.

    `plan` chooses stock for all that is wanted of one product, with the share of each need in the
    same order, and raises TradeRefused where that cannot be. When the kinds have placed their
    pieces and entered them in the product's ledger, `supplied` adds what is bought: sticks or
    sheets, order, plans, the rest of the ledger, comparison.

    `joint` chooses the joints of all layers of one product together with its stock, before anything
    that is laid on them stands: for each need what its layer's kind is to settle, or None.
    """

    name: str
    goods: str
    spec: type[Spec]
    folder: Path
    rulings: type[Rules]
    plan: Callable[
        [Sequence[Need[Task[Layer, Spec, Rules], Wanted, Share]], SearchSettings],
        tuple[Plan, Sequence[Share]],
    ]
    supplied: Callable[
        [
            Plan,
            Sequence[Need[Task[Layer, Spec, Rules], Wanted, Share]],
            Supplied,
            Ledger,
            SearchSettings,
            Remarks,
        ],
        None,
    ]
    rules: type = Asked
    stock_rules: tuple[str, ...] = ()
    nouns: StockNouns = field(default_factory=StockNouns)
    measure: Measure = "area"
    joint: (
        Callable[
            [Sequence[Need[Task[Layer, Spec, Rules], Wanted, Share]], SearchSettings],
            Sequence[object],
        ]
        | None
    ) = None

    def __post_init__(self) -> None:
        """Raise TypeError where the spec has `stock` and does not say how wide it is laid."""
        has_stock = "stock" in getattr(self.spec, "model_fields", ())
        if has_stock and (not issubclass(self.spec, Stocked) or isabstract(self.spec)):
            raise TypeError(
                f"the form {self.name} of {self.folder} has `stock`: {self.spec.__qualname__} "
                f"must be a {Stocked.__qualname__} with a `laid_width`"
            )

    def need(
        self, task: Task[Layer, Spec, Rules], wanted: Wanted
    ) -> Need[Task[Layer, Spec, Rules], Wanted, Share]:
        """What a layer wants of the product of its task."""
        return Need(task, wanted)

    @property
    def defaults_path(self) -> Path:
        """The form's table of defaults; there is none where it has no rules."""
        return self.folder / "tables" / "defaults.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedForm(Generic[Spec, Rules]):
    """A form of what layers count or measure themselves, as fasteners and tape: no stock is chosen.

    `packed` are the lines of the order for so many pieces, or so much in ticks of length or cubic
    ticks of a liquid, of one length of the product, and so many with what is lost. `loss` is the
    share that a layer loses by its rules, None where its rows say that themselves. `owned` is
    what is taken of the caller's own of one length, None where nothing of the form can be owned.
    The rest is as in `Form`.
    """

    name: str
    goods: str
    spec: type[Spec]
    folder: Path
    rulings: type[Rules]
    packed: Callable[[Spec, int | None, int, Fraction], tuple[OrderRow, ...]]
    loss: Callable[[Spec, Rules], Fraction] | None = None
    owned: Callable[[Spec, int | None, Fraction], tuple[OwnedRow, ...]] | None = None
    rules: type = Asked
    nouns: StockNouns = field(default_factory=StockNouns)

    @property
    def defaults_path(self) -> Path:
        """The form's table of defaults; there is none where it has no rules."""
        return self.folder / "tables" / "defaults.toml"


AnyPlanned = Form[Any, Any, Any, Any, Any]  # what a form takes is its own; the registry has many
AnyCounted = CountedForm[Any, Any]  # as much
AnyForm = AnyPlanned | AnyCounted
"""A form of whatever stock, planned or counted."""

AnyNeed = Need[AnyTask, object, object]
"""A need of whatever product."""
