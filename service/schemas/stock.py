"""What comes in lengths: shared by every kind whose stock is cut to length."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.described import Described
from service.schemas.quantities import Count, Density, Length, Name, Positive, Price


class StockLength(Asked):
    """One length that can be bought."""

    length: Length
    price: Price | None = Field(None, description="Price of one stick, sheet or roll.")
    on_hand: Count | None = Field(None, description="How many can be had; default no limit.")
    multiple: Annotated[Count, Field(ge=1, le=10_000)] | None = Field(
        None, description="Sold in multiples of this."
    )

    @property
    def raw(self) -> tuple[bool, bool]:
        """Whether its low and its high end are as the mill left them."""
        return True, True


class Nominal(Asked):
    """Nominal size in inches, for board feet."""

    thickness: Positive
    width: Positive

    @property
    def written(self) -> str:
        """As it is called: `1x6`, `5/4x6`."""
        return f"{_quarters(self.thickness)}x{_quarters(self.width)}"


def _quarters(inches: Fraction) -> str:
    """Whole inches, else quarters, as the trade counts them: `5/4`; else decimals."""
    if inches.denominator == 1:
        return str(inches)
    return f"{inches * 4}/4" if (inches * 4).denominator == 1 else f"{float(inches):g}"


class StickLength(StockLength):
    """One length that sticks can be had in, and whether their ends are cut already."""

    ends: Annotated[list[Literal["raw", "cut"]], Field(min_length=2, max_length=2)] | None = Field(
        None,
        description="Its left and its right end, of boards the tongue away from the viewer: a "
        "`cut` end, as an offcut has, needs no trim. Default: both raw.",
    )

    @property
    def raw(self) -> tuple[bool, bool]:
        """Whether its low and its high end are as the mill left them."""
        low, high = self.ends or ("raw", "raw")
        return low == "raw", high == "raw"


class Stocked(Asked):
    """A product that is bought in lengths and laid piece beside piece, whatever its form.

    What such a job costs in work is known before it is done from its lengths and `laid_width`.
    """

    id: Name
    stock: Sequence[StockLength]

    @property
    @abstractmethod
    def laid_width(self) -> int:
        """Ticks across one piece, over all."""


class StickProduct(Described, Stocked):
    """A product that is bought in sticks of one section and sawn to length."""

    form: str
    thickness: Length
    nominal: Nominal | None = None
    density: Density | None = None

    @property
    def pattern(self) -> str:
        """How an order writes what its edges are worked to; empty for plain stock."""
        return ""

    @property
    def written(self) -> str | None:
        """How an order writes what it is, without its size; None where only its id is known."""
        if self.called is None and self.nominal is None:
            return None
        return f"{self.pattern} {self.called or self.id}".strip()
