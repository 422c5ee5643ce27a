"""What a form of stock is: its shape in a request, its rules, and how it is bought."""

from __future__ import annotations

from dataclasses import dataclass
from inspect import isabstract
from pathlib import Path

from service.schemas.base import Asked
from service.schemas.stock import Stocked


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One form of stock, bought alike for whatever kind of layer takes it.

    `goods` is what its pieces are called in the plural. `rules` are those of its stock, with their
    defaults in the folder's table: each kind that takes the form has them, and all layers that
    share a product must have them alike; `stock_rules` are their keys.
    """

    name: str
    goods: str
    spec: type
    folder: Path
    rules: type = Asked
    stock_rules: tuple[str, ...] = ()

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
