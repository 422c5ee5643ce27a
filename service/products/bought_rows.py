"""Rows of what is bought, what it costs and where it goes; each is a table of the answer.

Forms of stock hand them over by keyword, with lengths in ticks and areas in half square ticks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import partial
from typing import Annotated, ClassVar, Literal, TypeAlias

from service.ledger.book import Measure
from service.order.lines import Bought
from service.schemas.columns import (
    DIGITS,
    PLAIN,
    Area,
    Cost,
    Count,
    Exact,
    Flag,
    Inside,
    Length,
    Money,
    Number,
    Percent,
    Ruled,
    Text,
    Volume,
    Weight,
    Worded,
    computed,
)
from service.units.writing import size


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlanRow:
    """How good the plan for one product is."""

    product: Text
    objective: Text
    cost: Annotated[
        Cost,
        "What is least: the sticks that are cut, before culls, spares and whole multiples, and "
        "`joint_cost` for each field joint; in money, length or a count as `measured_in` says.",
    ]
    bound: Annotated[
        Cost,
        "No plan that keeps the rules can cost less, before the same allowances: of "
        "boards and sheets whatever joints are laid, in the courses and rows of this answer; of "
        "rolls with its widths.",
    ]
    ordered: Annotated[
        Cost | None,
        "What the lines of the order come to in the same measure, with culls, spares "
        "and whole multiples; null where joints are counted.",
    ] = None
    offcuts: Annotated[
        Cost, "What kept offcuts count for (`offcut_value`); off cost and bound already."
    ] = 0
    joints: Annotated[Count, "Field joints of boards; 0 of what has none."] = 0
    joint_cost: Annotated[Cost, "What each of them counts for; in cost and bound already."] = 0
    measured_in: Text
    gap_pct: Annotated[Percent, "How much more than `bound` the cost is."]
    optimal: Annotated[
        Flag,
        "Whether the cost is no more than `bound`. What is shown for the joints as "
        "they are laid alone is in `in_words`, and no more is claimed by it.",
    ]
    work: Annotated[Count, "Work spent, in the solver's own count; never time."]
    in_words: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleCostRow:
    """What one rule of joints or stock costs: the plan found with that rule alone lowered."""

    product: Text
    rule: Text
    key: Text
    asked: Ruled
    used: Annotated[Ruled, "What the rule was lowered to."]
    cost: Annotated[Cost, "Of the plan found with the lowered rule."]
    saves: Annotated[Cost, "How much less that is; 0 where nothing was found."]
    measured_in: Text
    saves_pct: Percent
    in_words: Text


Choice: TypeAlias = Literal["least_material", "as_chosen", "fewest_joints"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceRow:
    """One plan for a board beside others; none of them takes less of both than the one chosen."""

    product: Text
    choice: Annotated[
        Choice,
        PLAIN,
        "What the plan saves: material alone, material and `joint_cost` for each joint, or joints.",
    ]
    material: Annotated[Cost, "Of its boards, before culls, spares and whole multiples."]
    joints: Count
    total: Annotated[Cost, "Of its boards, and `joint_cost` for each joint."]
    bound: Annotated[
        Cost | None,
        "No plan has less material, or a lower total where that is saved; null where joints are.",
    ]
    fewest_joints: Annotated[Count | None, "No plan has fewer joints; null where others are saved."]
    measured_in: Annotated[Text, "What material and total are in."]
    optimal: Annotated[Flag, "Whether the plan has no more than its bound."]
    pieces: Count
    shortest: Annotated[Length, "Of its pieces, as cut."]
    sticks: Count


BookedMeasure: TypeAlias = Annotated[
    Measure,
    PLAIN,
    "What the product's ledger is kept in: area of what is laid by area, length of "
    "what is a line, as blocks and nailers are, volume of a liquid.",
]
BookedArea: TypeAlias = Annotated[Area | None, "Null where the measure is another."]
BookedLength: TypeAlias = Annotated[
    Length | None, "As length of whole stock, where that has a sense."
]
BookedVolume: TypeAlias = Annotated[Volume | None, "Null where the measure is another."]
BookedExact: TypeAlias = Annotated[
    Exact | None,
    "Twice the area in square ticks, as a string of digits: exact, adds up. Null "
    "where the measure is another.",
]
BookedAmount: TypeAlias = Annotated[
    int,
    DIGITS,
    "The exact amount as a string of digits, in the ledger's own unit: half square "
    "ticks of an area, ticks of a length, cubic ticks of a volume. It adds up in every measure.",
]


def _area(row: LedgerRow | LedgerShareRow) -> int | None:
    return row.amount if row.measure == "area" else None


def _volume(row: LedgerRow | LedgerShareRow) -> int | None:
    return row.amount if row.measure == "volume" else None


def _along(row: LedgerRow | LedgerShareRow) -> int | None:
    """A length, or an area as length of stock of its width."""
    if row.measure == "area" and row.width:
        return round(Fraction(row.amount, 2 * row.width))
    return row.amount if row.measure == "length" else None


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerRow:
    """Where one part of what was bought went; a product's rows add up to what was bought."""

    product: Text
    account: Text
    measure: BookedMeasure
    area: ClassVar[BookedArea] = computed(_area)
    length: ClassVar[BookedLength] = computed(_along)
    volume: ClassVar[BookedVolume] = computed(_volume)
    half_square_ticks: ClassVar[BookedExact] = computed(_area)
    amount: BookedAmount
    width: Inside[int | None] = None
    """Turns an area into length of stock; None where that has no sense."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerShareRow:
    """What of an account falls to one surface: the rows of an account add up to it."""

    surface: Text
    product: Text
    account: Text
    measure: BookedMeasure
    area: ClassVar[BookedArea] = computed(_area)
    length: ClassVar[BookedLength] = computed(_along)
    volume: ClassVar[BookedVolume] = computed(_volume)
    half_square_ticks: ClassVar[BookedExact] = computed(_area)
    amount: BookedAmount
    width: Inside[int | None] = None


def _item(row: OrderRow | OwnedRow, unit: str) -> str:
    """`1x6 x 16 ft T&G pine`, `1/2 in ply 48 x 96 in`, `pine 16' 0"`, or its name alone."""
    name = row.written or row.product
    if row.thickness is not None:
        name = f"{size(row.thickness, unit)} {name}"
    if row.size is None:
        return name
    return f"{row.nominal} x {row.size(unit)} {name}" if row.nominal else f"{name} {row.size(unit)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """One line of the order."""

    product: Text
    form: Text
    size: Inside[Callable[[str], str] | None] = field(compare=False)
    """Writes what one piece measures, as its form is called by size; None where it has none."""

    written: Inside[str | None] = None
    """What it is in the caller's words, without its size; None where there is but its id."""

    nominal: Inside[str | None] = None
    """What its section is called, as `1x6`."""

    thickness: Inside[int | None] = None
    """Of a sheet, ticks, where its name does not say it."""

    item: ClassVar[Worded] = computed(lambda row: partial(_item, row))
    length: Length | None
    width: Annotated[Length | None, "Of a sheet, roll or tape."] = None
    bought: Inside[Bought]
    need: ClassVar[Count] = computed("bought.need")
    cull: ClassVar[Count] = computed("bought.cull")
    spare: ClassVar[Count] = computed("bought.spare")
    loss: ClassVar[Count] = computed("bought.loss")
    buy: ClassVar[Count] = computed("bought.buy")
    packages: ClassVar[Count] = computed("bought.packages")
    per_package: ClassVar[
        Annotated[Number, "Pieces in a package, exact; by weight not always a whole number."]
    ] = computed("bought.in_package")
    left_over: ClassVar[Count] = computed("bought.left_over")
    price: Money | None
    weight: Weight | None
    board_feet: Annotated[Number | None, "Of all that is bought, by nominal size."] = None
    pack: Annotated[
        Text | None, "What a package is called, where it was told: box, coil, carton ..."
    ] = None
    volume: Annotated[Volume | None, "Of a liquid: what all of the line holds."] = None
    left_volume: Annotated[
        Volume | None,
        "Of a liquid: what is left over once what is needed, and what is lost of it, is used. Of "
        "several sizes it is told on the smallest.",
    ] = None
    culled: Inside[Fraction] = Fraction(0)
    """The share of what is bought that is culled."""

    holds: Inside[int | Fraction | None] = None
    """What one of a size holds, where a product is sold in several."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnedRow:
    """One size of the caller's own, and how much of it is used: no line of the order."""

    product: Text
    size: Inside[Callable[[str], str]] = field(compare=False)
    written: Inside[str | None] = None
    nominal: Inside[str | None] = None
    thickness: Inside[int | None] = None
    item: ClassVar[Worded] = computed(lambda row: partial(_item, row))
    length: Annotated[Length | None, "Null of a liquid."]
    width: Annotated[Length | None, "Of a sheet, roll or tape."] = None
    count: Annotated[Count, "How many there are."]
    used: Annotated[Count, "Of a liquid those that are begun."]
    left_over: ClassVar[Count] = computed(lambda row: row.count - row.used)
    volume: Annotated[Volume | None, "Of a liquid: what of them is used."] = None
    within: Inside[int | None] = None
    """What is in one, of a liquid."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderShareRow:
    """What of a line of the order falls to one surface: the rows of a line add up to it."""

    surface: Text
    line: Inside[OrderRow]
    product: ClassVar[Text] = computed("line.product")
    item: ClassVar[Worded] = computed("line.item")
    buy: Count
    price: Money | None
