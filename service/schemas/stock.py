"""What comes in lengths: shared by every kind whose stock is cut to length."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from fractions import Fraction
from typing import Annotated, Final, Literal, Protocol, TypeAlias

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.described import Described
from service.schemas.metals import WOOD, Wood
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Count, Density, Length, Name, Positive, Price


class StockRow(Protocol):
    """One length that can be taken: bought, or owned."""

    @property
    def length(self) -> int:
        """Ticks."""

    @property
    def price(self) -> Fraction | None:
        """Of one stick, sheet or roll; nothing for what is owned."""

    @property
    def on_hand(self) -> int | None:
        """How many can be had; None without limit."""

    @property
    def multiple(self) -> int | None:
        """Sold in multiples of this."""

    @property
    def raw(self) -> tuple[bool, bool]:
        """Whether its low and its high end are as the mill left them."""

    @property
    def is_owned(self) -> bool:
        """Whether it need not be bought."""


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

    @property
    def is_owned(self) -> bool:
        """Whether it need not be bought."""
        return False


class OwnedLength(Asked):
    """Sound pieces of one length that the caller has already: they cost nothing."""

    length: Length
    count: Count = Field(description="How many there are; bad ones are left out.")

    @property
    def price(self) -> Fraction:
        """Nothing."""
        return Fraction(0)

    @property
    def on_hand(self) -> int:
        """As many as are owned."""
        return self.count

    @property
    def multiple(self) -> None:
        """Taken one by one."""

    @property
    def raw(self) -> tuple[bool, bool]:
        """Whether its low and its high end are as the mill left them."""
        return True, True

    @property
    def is_owned(self) -> bool:
        """Whether it need not be bought."""
        return True


OWNED: Final = (
    "What the caller has already, such as offcuts: it costs nothing and is used before any is "
    "bought; never ordered, culled nor spared. Default: none."
)


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


TwoEnds: TypeAlias = Annotated[list[Literal["raw", "cut"]], Field(min_length=2, max_length=2)]

_ENDS: Final = (
    "Its left and its right end, of boards the tongue away from the viewer: a `cut` end, as an "
    "offcut has, needs no trim. Default: both raw."
)


def _raw(ends: Sequence[str] | None) -> tuple[bool, bool]:
    low, high = ends or ("raw", "raw")
    return low == "raw", high == "raw"


class StickLength(StockLength):
    """One length that sticks can be had in, and whether their ends are cut already."""

    ends: TwoEnds | None = Field(None, description=_ENDS)

    @property
    def raw(self) -> tuple[bool, bool]:
        """Whether its low and its high end are as the mill left them."""
        return _raw(self.ends)


class OwnedStick(OwnedLength):
    """Sound sticks of one length that the caller has already, and how their ends are."""

    ends: TwoEnds | None = Field(None, description=_ENDS)

    @property
    def raw(self) -> tuple[bool, bool]:
        """Whether its low and its high end are as the mill left them."""
        return _raw(self.ends)


class Stocked(Asked):
    """A product that is bought in lengths and laid piece beside piece, whatever its form.

    What such a job costs in work is known before it is done from its lengths and `laid_width`.
    """

    id: Name
    stock: Sequence[StockLength]

    @property
    def rows(self) -> Sequence[StockRow]:
        """All that can be taken: rows of `stock`, then of what is owned."""
        return self.stock

    @property
    @abstractmethod
    def laid_width(self) -> int:
        """Ticks across one piece, over all."""


class StickProduct(Described, WithPrinted, Stocked):
    """A product that is bought in sticks of one section and sawn to length."""

    form: str
    thickness: Length
    nominal: Nominal | None = None
    wood: Wood | None = Field(None, description=WOOD)
    density: Density | None = None
    owned: Annotated[list[OwnedStick], Field(max_length=24)] | None = Field(None, description=OWNED)

    @property
    def rows(self) -> Sequence[StockRow]:
        """All that can be taken: rows of `stock`, then of what is owned."""
        return [*self.stock, *(row for row in self.owned or () if row.count)]

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
