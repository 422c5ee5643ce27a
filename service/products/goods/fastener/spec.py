"""What a request says of fasteners of one make."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Final, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.bounds import Within
from service.schemas.described import Described
from service.schemas.metals import Metal
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Count, Length, Name, Positive, Price
from service.units.ticks import INCH
from service.units.volumes import QUARTER_PI

_STEEL: Final = Fraction("0.2836")
"""Pounds in a cubic inch."""


class OwnedFasteners(Asked):
    """Fasteners of one length that the caller has already, as in an opened box."""

    length: Length
    count: Count = Field(description="How many there are, piece by piece.")


class FastenerPack(Asked):
    """One size in which fasteners are sold: so many of them, or so many pounds."""

    of: Literal["box", "pack", "coil", "strip", "carton", "tub", "pail"] | None = Field(
        None, description="What it is called. Default: box."
    )
    count: Annotated[Count, Field(ge=1)] | None = Field(
        None, description="Pieces in it, as printed on it."
    )
    pounds: Positive | None = Field(
        None, description="Pounds in it, in place of `count`; with `per_pound` of the fastener."
    )
    price: Price | None = Field(None, description="Price of one.")

    @model_validator(mode="after")
    def _one_measure(self) -> FastenerPack:
        if (self.count is None) == (self.pounds is None):
            raise PydanticCustomError("pack", "give exactly one of `count` and `pounds`")
        return self


class FastenerProduct(Described, WithPrinted):
    """Nails or screws of one make, in the lengths that can be had, and how they are packed."""

    id: Name
    form: Literal["fastener"]
    lengths: Annotated[list[Length], Field(min_length=1, max_length=40)] = Field(
        description="Lengths that can be had; the shortest that holds is chosen."
    )
    shank: Literal["smooth", "ring", "screw"]
    metal: Metal | None = Field(
        None,
        description="What it is made of or coated with: `hot_dipped` zinc (ASTM A153), `stainless` "
        "304 or 316, and `stainless_316` where only that is meant. Held against treated or acidic "
        "wood and salt air where those are told.",
    )
    feed: Literal["hand", "collated"] | None = Field(
        None, description="How they are driven: sets the loss. Default: hand."
    )
    per_box: Annotated[Count, Field(ge=1)] | None = Field(
        None, description="Pieces in a box, as printed on it."
    )
    per_pound: Positive | None = Field(None, description="Pieces in a pound, as printed.")
    diameter: Annotated[int, Within("0.5 mm", "1 in")] | None = Field(
        None,
        description="Of a plain steel shank: where no count by the pound is printed it is reckoned "
        "from it, which real counts follow within about 15 %.",
    )
    pounds: Positive | None = Field(None, description="Pounds in a pack (with per_pound).")
    price: Price | None = Field(None, description="Price of a box or pack.")
    packs: Annotated[list[FastenerPack], Field(min_length=1, max_length=8)] | None = Field(
        None,
        description="The sizes in which they are sold, where there are several: the mix of least "
        "price is bought where each has one, else that with the least left over. In place of "
        "`per_box`, `pounds` and `price`.",
    )
    owned: Annotated[list[OwnedFasteners], Field(max_length=40)] | None = Field(
        None,
        description="What the caller has already, as opened boxes: it is used before any is "
        "bought. Default: none.",
    )

    @model_validator(mode="after")
    def _holds_one(self) -> FastenerProduct:
        least = min(map(self.by_pound, self.lengths), default=None, key=lambda one: one or 0)
        if least and self.pounds and least * self.pounds < 1:
            raise PydanticCustomError(
                "pack",
                "a pack holds less than one piece: pieces in a pound times `pounds` is under 1",
            )
        return self._packed_one_way(least)

    def by_pound(self, length: int) -> Fraction | None:
        """Pieces in a pound: as printed, else of a plain steel shank of a length (19.1).

        Steel weighs 0.2836 pounds a cubic inch, and the head is left out.
        """
        if self.per_pound is not None or self.diameter is None:
            return self.per_pound
        section = QUARTER_PI * Fraction(self.diameter, INCH) ** 2
        return 1 / (_STEEL * section * Fraction(length, INCH))

    def _packed_one_way(self, least: Fraction | None) -> FastenerProduct:
        """Refuse packs beside a box or a price of one, and packs by weight of an unknown count."""
        packs = self.packs or ()
        if packs and any(one is not None for one in (self.per_box, self.pounds, self.price)):
            raise PydanticCustomError(
                "pack", "`packs` stands in place of `per_box`, `pounds` and `price`"
            )
        for one in packs:
            if one.pounds is not None and (least or 0) * one.pounds < 1:
                raise PydanticCustomError(
                    "pack",
                    "a pack by weight needs `per_pound` or `diameter`, and holds a piece at least",
                )
        return self
