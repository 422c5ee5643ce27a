"""The answer to a comparison: its tables, in the unit of the job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from typing import Annotated, Any, Final

from service.report.tables.csv_table import table_as_csv
from service.report.tables.flat import version
from service.report.tables.table import Table
from service.report.tables.told_rows import RULE
from service.report.tables.writing import Writer
from service.schemas.answer import Units, Version
from service.schemas.base import Given
from service.schemas.columns import (
    Area,
    Count,
    Flag,
    Length,
    Money,
    Patch,
    Percent,
    Ruled,
    Text,
)
from service.schemas.published import model_of, published

_MADE_OF: Final = "What makes it of the job (RFC 6902)."


@dataclass(frozen=True, slots=True, kw_only=True)
class VariationRow:
    """The job as sent (`as_sent`) or a variation of it, the best first."""

    variation: Text
    rank: Annotated[
        Count,
        "By the figures of `ranked_by`, the first that differs decides; equal figures, equal rank.",
    ]
    cost: Annotated[Money | None, "Of the whole order; null where a line of it has no price."]
    length: Annotated[Length, "Bought of what comes in sticks."]
    sticks: Annotated[Count, "Sticks bought; sheets and rolls with them."]
    joints: Annotated[Count, "Field joints."]
    waste_pct: Annotated[Percent | None, "1 - installed / bought of what shows, as in a summary."]
    optimal: Annotated[Flag, "Whether every plan of it is proved to be the best possible."]
    relaxed: Annotated[Count, "Rules that were not kept, by the caller's leave."]
    findings: Count
    why: Annotated[Text, "Why it is the best, or why it lost against the best."]
    in_words: Annotated[Text, "Its order, and how good its plans are."]
    digest: Annotated[
        Text, "SHA-256 of the answer of `/v1/takeoffs` to it alone: those very bytes."
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedRow:
    """One reason why a variation, or the job as sent, is refused."""

    variation: Text
    code: Text
    detail: Text
    pointer: Annotated[Text, "JSON Pointer into the variation as patched."]
    rule: Annotated[Text | None, RULE]
    cure: Annotated[Patch | None, "A patch of the variation that lets it through, if one is known."]


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHandRow:
    """Whether what there is is enough, and what must be bought at least."""

    question: Annotated[Text, "`on_hand`, or `delivered`."]
    enough: Annotated[
        Flag | None,
        "Whether nothing that comes in lengths must be bought; null if it is refused, or if of "
        "what was `delivered` only boards were measured.",
    ]
    cost: Annotated[Money | None, "Of what must be bought, fasteners and all."]
    length: Annotated[Length | None, "Bought of what comes in sticks."]
    length_all_bought: Annotated[Length | None, "The same if everything were bought."]
    proved: Annotated[
        Flag | None,
        "Whether it is proved that no plan with these courses and rows buys less; not where culls, "
        "spares or whole multiples are bought with it.",
    ]
    in_words: Text
    patch: Annotated[Patch, _MADE_OF]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBuyRow:
    """One line of what must be bought beside what there is."""

    question: Text
    product: Text
    item: Text
    length: Length | None
    buy: Count
    price: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedRow:
    """One length of what there is, and how much of it is used."""

    question: Text
    product: Text
    item: Text
    length: Length
    count: Count
    used: Count


@dataclass(frozen=True, slots=True, kw_only=True)
class RipRow:
    """A layer whose courses are other ones with the boards as they came."""

    question: Text
    surface: Text
    layer: Text
    courses_were: Count
    courses: Count
    first_was: Annotated[Length, "Width of the first course as sent."]
    first: Length
    last_was: Length
    last: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class WasteRow:
    """Where what is bought of a product goes beside what is installed: an account of its ledger."""

    product: Text
    account: Text
    rule: Annotated[Text | None, RULE]
    area: Area | None
    length: Length | None
    share_pct: Annotated[Percent, "Of all that is bought of it."]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """One rule lowered or one thing chosen otherwise, and what the order becomes."""

    key: Annotated[Text, "The rule, or `direction`, `start`, `joints`, `stock`."]
    rule: Annotated[Text | None, RULE]
    asked: Ruled
    tried: Ruled
    cost_saved: Money | None
    length_saved: Length | None
    sticks_saved: Count | None
    joints_saved: Count | None
    waste_pct: Percent | None
    better: Annotated[Flag, "Whether it takes less by the figures of `ranked_by`."]
    refused: Annotated[Text | None, "Why it cannot be; null where it can."]
    in_words: Text
    patch: Annotated[Patch, _MADE_OF]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureRow:
    """A measure that is off, and what the order becomes."""

    surface: Text
    measure: Annotated[
        Text,
        "`length`, `width`, `side 2`, `diagonal 1`; `x` or `y` of corners; `left of hatch`, `first "
        "member`.",
    ]
    at: Annotated[Length, "As it was sent; of corners from the lowest one of the drawing."]
    off: Annotated[Length, "By how much it is off."]
    cost_more: Money | None
    length_more: Annotated[Length | None, "Null where the job is refused so."]
    sticks_more: Count | None
    changes: Annotated[Flag, "Whether another order of what comes in lengths is needed."]
    in_words: Text
    patch: Annotated[Patch, _MADE_OF]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """All that a comparison is answered with; `in_words` are the answers in a sentence each."""

    unit: str
    currency: str | None
    ranked_by: Sequence[str]
    in_words: Sequence[str]
    variations: tuple[VariationRow, ...]
    refused: tuple[RefusedRow, ...]
    at_hand: tuple[AtHandRow, ...] = ()
    to_buy: tuple[ToBuyRow, ...] = ()
    used: tuple[UsedRow, ...] = ()
    rips: tuple[RipRow, ...] = ()
    waste: tuple[WasteRow, ...] = ()
    changes: tuple[ChangeRow, ...] = ()
    measures: tuple[MeasureRow, ...] = ()


_HAND: Final = "Of `ask` with `on_hand`, and of `delivered`."
_WASTE: Final = "Of `ask` with `waste`, the most first."

COMPARISON_TABLES: Final[tuple[Table[Answered], ...]] = (
    Table("variations", VariationRow, attrgetter("variations")),
    Table("refused", RefusedRow, attrgetter("refused"), "Variations that are not answered."),
    Table("at_hand", AtHandRow, attrgetter("at_hand"), _HAND),
    Table("to_buy", ToBuyRow, attrgetter("to_buy"), _HAND, totals=("price",)),
    Table("used", UsedRow, attrgetter("used"), _HAND),
    Table("rips", RipRow, attrgetter("rips"), "Of `delivered`, layers whose courses change."),
    Table("waste", WasteRow, attrgetter("waste"), _WASTE),
    Table("changes", ChangeRow, attrgetter("changes"), _WASTE),
    Table("measures", MeasureRow, attrgetter("measures"), "Of `ask` with `remeasure`."),
)

COMPARISON_BY_NAME: Final = {one.name: one for one in COMPARISON_TABLES}


def flat_comparison(made: Answered) -> dict[str, Any]:
    """The whole answer as plain values, ready to be encoded."""
    writer = Writer(made.unit, made.currency)
    return {
        "version": version(),
        "units": writer.units,
        "ranked_by": list(made.ranked_by),
        "in_words": list(made.in_words),
        **{one.name: writer.rows(one.record, one.rows(made)) for one in COMPARISON_TABLES},
    }


def comparison_csv(made: Answered, name: str | None) -> bytes:
    """One table of a comparison, or its variations where none is named."""
    writer = Writer(made.unit, made.currency)
    return table_as_csv(COMPARISON_BY_NAME[name or "variations"], made, writer)


@cache
def comparison_shape() -> type[Given]:
    """The published shape of the answer: members and order are those of `flat_comparison`."""
    tables: dict[str, tuple[Any, str | None]] = {
        one.name: (list[model_of(one.record)], one.description)  # type: ignore[misc]  # made
        for one in COMPARISON_TABLES
    }
    members: dict[str, tuple[Any, str | None]] = {
        "version": (Version, None),
        "units": (Units, None),
        "ranked_by": (
            list[str],
            "The figures that variations are ranked by, in order. `cost` is among them where every "
            "one that is answered has a cost, in one currency.",
        ),
        "in_words": (list[str], "What was found, a sentence each."),
        **tables,
    }
    return published("ComparisonAnswer", "A job beside variations of it.", members)
