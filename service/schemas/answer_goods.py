"""The goods of an answer: what is used, bought and ordered, and where all of it went."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.schemas.base import Given


class ProductRow(Given):
    """One product that layers are made of: how much is laid and how much is bought."""

    product: str
    kind: str
    form: str
    drawn: float = Field(description="Area of its surfaces net of openings.")
    installed: float = Field(description="Area it covers.")
    area_bought: float | None = Field(
        description="Area of all that is bought, laps and tongues too; null for what is bought by "
        "length or volume alone."
    )
    pieces: int
    placed: float | None = Field(description="Length of the pieces as cut; null for sheets.")
    bought: float | None = Field(description="Length bought; null for sheets.")
    units: int = Field(description="Sticks, sheets or rolls bought.")
    waste_pct: float | None = Field(description="1 - installed / bought, laps taken off.")
    extra_pct: float | None = Field(description="Bought / installed - 1, laps taken off.")
    extra_over_drawn_pct: float | None = Field(description="Bought / drawn - 1, laps taken off.")


class ConsumableRow(Given):
    """Something used by length beside the layer itself, as tape is, in one place."""

    surface: str
    layer: str
    product: str | None
    where: str = Field(description="side laps, end laps, openings, edges ...")
    length: float
    counted: str


Measure = Literal["area", "length", "volume"]


class Booked(Given):
    """An amount of a ledger, in the one measure that the product's whole ledger is kept in."""

    measure: Measure = Field(
        description="What the product's ledger is kept in: area of what is laid by area, length of "
        "what is a line, as blocks and nailers are, volume of a liquid."
    )
    area: float | None = Field(description="Null where the measure is another.")
    length: float | None = Field(description="As length of whole stock, where that has a sense.")
    half_square_ticks: str | None = Field(
        description="Twice the area in square ticks, as a string of digits: exact, adds up. Null "
        "where the measure is another."
    )
    amount: str = Field(
        description="The exact amount as a string of digits, in the ledger's own unit: half square "
        "ticks of an area, ticks of a length, cubic ticks of a volume. It adds up in every measure."
    )


class LedgerRow(Booked):
    """Where one part of what was bought went; a product's rows add up to what was bought."""

    product: str
    account: str


class LedgerShareRow(Booked):
    """What of an account falls to one surface: the rows of an account add up to it."""

    surface: str
    product: str
    account: str


class OrderShareRow(Given):
    """What of a line of the order falls to one surface: the rows of a line add up to it."""

    surface: str
    product: str
    item: str
    buy: int
    price: float | None


class ComparedRow(Given):
    """What usual ways of ordering would have bought of the same product.

    Cut as you go: one stock length, course by course, each offcut starts the next course, all
    rules of joints kept; culls and spares as in this order. Null where that cannot be.
    """

    product: str
    flat_pct: float
    measured_in: Literal["length", "sheets", "rolls"]
    would_order: float = Field(description="By the flat percentage, on the drawn area.")
    would_cost: float | None = Field(description="At the price lowest by the length.")
    bought: float
    cost: float | None = Field(description="Of what is bought; null without prices.")
    wrong_by: float = Field(description="Flat order less the true need; negative is short.")
    as_you_go: float | None = Field(description="Length that cutting as you go would order.")
    as_you_go_from: float | None = Field(description="The stock length that it takes.")
    as_you_go_cost: float | None
    in_words: str


class OrderRow(Given):
    """One line of the order."""

    product: str
    form: str
    item: str
    length: float | None
    width: float | None = Field(description="Of a sheet, roll or tape.")
    need: int
    cull: int
    spare: int
    loss: int
    buy: int
    packages: int
    per_package: float = Field(
        description="Pieces in a package, exact; by weight not always a whole number."
    )
    left_over: int
    price: float | None
    weight: float | None
    board_feet: float | None = Field(description="Of all that is bought, by nominal size.")
