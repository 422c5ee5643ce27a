"""Rows of a change order; each is a table of its answer (`service.schemas.columns`).

Lengths are in ticks, areas in half square ticks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal, TypeAlias

from service.products.backing_rows import BackingRow
from service.products.bought_rows import OrderRow, OwnedRow
from service.products.rows import PieceRow
from service.schemas.columns import (
    PLAIN,
    Area,
    Count,
    Flag,
    Inside,
    Length,
    Money,
    Named,
    Place,
    Text,
    Worded,
    computed,
)

Work: TypeAlias = Literal[
    "use", "buy", "return", "remove", "recut", "loosen", "add", "put back", "lay"
]
"""What is done in a step."""

Done: TypeAlias = Literal["keep", "remove", "recut", "add"]
"""What becomes of a piece."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeSummary:
    """The change in a few numbers and one sentence."""

    keep: Annotated[Count, "Pieces that are in both as they are."]
    remove: Count
    recut: Annotated[Count, "Pieces that stay and are cut smaller."]
    add: Count
    price: Annotated[Money | None, "Of what is to buy; null where a price is missing."]
    credit: Annotated[Money | None, "For what goes back, or comes off the first order."]
    in_words: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeTotalRow:
    """What a change does to one layer: pieces, their area and their length as cut."""

    surface: Text
    layer: Text
    product: Text
    keep: Count
    remove: Count
    recut: Count
    add: Count
    kept_area: Annotated[Area, "Of pieces kept, and of what is left of those that are cut."]
    removed_area: Annotated[Area, "Of pieces removed, and of what is cut off others."]
    added_area: Area
    removed_length: Annotated[Length, "Pieces removed, length as they were cut."]
    added_length: Annotated[Length, "New pieces, length as they are cut."]

    @property
    def place(self) -> tuple[str, str, str]:
        """Surface, layer and product."""
        return self.surface, self.layer, self.product


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedPieceRow:
    """One piece and what becomes of it.

    `as_was` is its row in the first job, `as_is` its row once the change is made; both where it
    is kept or cut, which makes of one piece what is left of it.
    """

    do: Annotated[Done, PLAIN]
    is_up: Annotated[Flag, "Whether it is up, or was, before the change."] = False
    was: Annotated[Text | None, "Its id in the first job; null where it is new."]
    now: Annotated[Text | None, Named("is"), "Its id after the change; null where it goes."]
    as_was: Inside[PieceRow | None]
    as_is: Inside[PieceRow | None]
    row: Inside[PieceRow]
    """As it is, or of one that goes as it was."""

    label: ClassVar[
        Annotated[Text, "Its name on paper: course, run and number in the run, as it is in `row`."]
    ] = computed("row.label")
    surface: ClassVar[Text] = computed("row.surface")
    layer: ClassVar[Text] = computed("row.layer")
    product: ClassVar[Text] = computed("row.product")
    course: ClassVar[Count] = computed("row.course")
    near: ClassVar[Length] = computed("row.near")
    far: ClassVar[Length] = computed("row.far")
    low: ClassVar[Annotated[Length, Named("from")]] = computed("row.low")
    high: ClassVar[Annotated[Length, Named("to")]] = computed("row.high")
    length: ClassVar[
        Annotated[Length, "As it is cut; of one that goes, or stays in place, as it was."]
    ] = computed("row.cut")
    cut_width: ClassVar[
        Annotated[
            Length | None,
            Named("width"),
            "Width that a sheet's piece is cut to; null where its course gives it.",
        ]
    ] = computed("row.cut_width")
    ends: ClassVar[tuple[Text, Text]] = computed("row.ends")
    cut_ends: Inside[int] = 0
    """Of one that stays, how many of its ends were cut."""

    put_back: Inside[bool] = False
    """Whether it is taken off to be cut, as mouldings are."""

    stick: Annotated[Text | None, "The stick, sheet or roll that a new piece is cut from (`work`)."]
    was_area: ClassVar[
        Annotated[Area, "0 of a new piece, and of all parts but the first of one that is cut up."]
    ] = computed(lambda one: one.as_was.twice_area if one.as_was else 0)
    is_area: ClassVar[Annotated[Area, "0 of one that goes."]] = computed(
        lambda one: one.as_is.twice_area if one.as_is else 0
    )

    @property
    def place(self) -> tuple[str, str, str]:
        """Surface, layer and product."""
        return self.row.surface, self.row.layer, self.row.product


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedFramingRow:
    """A nailer, header, trimmer, block or cleat, and what becomes of it (5.7)."""

    do: Annotated[Done, PLAIN]
    row: Inside[BackingRow]
    surface: ClassVar[Text] = computed("row.surface")
    layer: ClassVar[Text] = computed("row.layer")
    what: ClassVar[Text] = computed("row.what")
    purpose: ClassVar[Annotated[Text, Named("for")]] = computed("row.purpose")
    start: ClassVar[Annotated[Place, Named("from")]] = computed("row.start")
    end: ClassVar[Annotated[Place, Named("to")]] = computed("row.end")
    length: ClassVar[Length] = computed("row.length")
    count: ClassVar[Count] = computed("row.count")
    product: ClassVar[Text | None] = computed("row.product")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeOrderRow:
    """One item: what was ordered, what is needed now, what is to buy and what goes back.

    Where nothing is said of what came, `more` and `fewer` are the difference of the two orders,
    after packages. Otherwise `is` is what is bought beside what is at hand.
    """

    product: ClassVar[Text] = computed("line.product")
    line: Inside[OrderRow | OwnedRow]
    item: ClassVar[Worded] = computed("line.item")
    length: ClassVar[Length | None] = computed("line.length")
    width: ClassVar[Annotated[Length | None, "Of a sheet, roll or tape."]] = computed("line.width")
    was: Annotated[Count, "What the first order has of it."]
    now: Annotated[Count, Named("is"), "What the order of the work that is left has of it."]
    at_hand: Annotated[Count, "Delivered, left over or `owned`, as sent."]
    used: Annotated[Count, "What is taken of that, before any is bought."]
    more: Annotated[Count, "To buy."]
    packages: Annotated[Count, "Of `more`; 0 where the first order's packages still hold it."]
    fewer: Annotated[Count, "To come off the first order, or to give back (21.6)."]
    price: Annotated[Money | None, "Of `more`; null where it has none."]
    credit: Annotated[Money | None, "Of `fewer`; null where it has no price."]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRow:
    """One step of the work, in its order."""

    number: Count
    surface: Annotated[Text | None, "Null of what concerns the whole job."]
    layer: Text | None
    do: Annotated[Work, PLAIN]
    text: Text
