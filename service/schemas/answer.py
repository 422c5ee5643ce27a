"""The flat answer: tables whose rows carry their own keys, so a kind adds rows and not shapes.

Lengths are numbers in the request's unit, to six decimals; `ticks` are integers of 1/40 000 mm
and add up exactly. Areas are square feet, or square metres when the unit is metric.
"""

from __future__ import annotations

from typing import Any, Final, Literal

from pydantic import Field

from service.schemas.answer_goods import (
    ComparedRow,
    ConsumableRow,
    LedgerRow,
    LedgerShareRow,
    OrderRow,
    OrderShareRow,
    ProductRow,
)
from service.schemas.answer_placed import (
    CourseRow,
    JointRow,
    LayerRow,
    MemberRow,
    OpeningRow,
    PieceRow,
    RunRow,
    SurfaceRow,
)
from service.schemas.base import Given

_RULE: Final = "Number of the trade rule: `/v1/rules/{number}` says it."


class Version(Given):
    """Which service and which rules made the answer."""

    service: str
    rules: str
    digest: str = Field(description="Digest of the rules, defaults and tables in use.")


class Units(Given):
    """What the numbers of the answer are in."""

    length: Literal["in", "ft", "mm", "cm", "m"]
    area: Literal["ft2", "m2"]
    weight: Literal["lb", "kg"]
    money: str | None


class Summary(Given):
    """The finished layers (the outermost of each surface) in one line per question."""

    drawn: float = Field(description="Area net of openings, as drawn.")
    installed: float = Field(description="Area net of openings, less the gaps.")
    placed: float = Field(description="Length of the pieces as cut.")
    bought: float = Field(description="Length bought.")
    sticks: int
    sheets: int = Field(description="Sheets of all layers.")
    waste_pct: float | None = Field(description="1 - installed / bought, on coverage width.")
    extra_pct: float | None = Field(description="Bought / installed - 1, on coverage width.")
    extra_over_drawn_pct: float | None = Field(description="Bought / drawn - 1.")
    optimal: bool
    in_words: str


class StickRow(Given):
    """One bought stick or roll and what is cut from it, in cutting order."""

    stick: str
    product: str
    length: float
    pieces: list[str]
    cuts: list[float] = Field(description="Cut length of each piece, same order.")
    beside: list[list[str]] = Field(
        description="Other pieces ripped from the same board as each piece, none of them longer; "
        "same order."
    )
    kerfs: int
    kerf: float = Field(description="Length that all saw cuts take.")
    end_trim: float
    rest: float
    kept: bool = Field(description="Whether the rest is long enough to keep.")
    ticks: dict[str, int] = Field(description="length, pieces, kerf, end_trim, rest: exact.")


class SheetRow(Given):
    """One bought sheet, where its pieces lie in it, and the through-cuts that part them."""

    sheet: str
    product: str
    length: float
    width: float
    pieces: list[str]
    boxes: list[list[float]] = Field(
        description="Place of each piece, same order: low corner along and across, length, width."
    )
    steps: list[str] = Field(description="The through-cuts in order, in words.")
    kept: list[list[float]] = Field(description="Rests worth keeping, as boxes.")
    waste: list[list[float]] = Field(description="Other rests, as boxes.")
    half_square_ticks: dict[str, str] = Field(
        description="sheet, pieces, kerf, kept, waste: twice the areas in square ticks, as strings "
        "of digits: exact, they add up."
    )


class CutPlanRow(Given):
    """How good the plan for one product is."""

    product: str
    objective: str
    cost: float = Field(
        description="Of the sticks that are cut, before culls, spares and whole multiples: in "
        "money, length or a count as `measured_in` says."
    )
    bound: float = Field(
        description="No plan that keeps the rules can cost less, before the same allowances: of "
        "boards and sheets whatever joints are laid, in the courses and rows of this answer; of "
        "rolls with its widths."
    )
    ordered: float | None = Field(
        description="What the lines of the order come to in the same measure, with culls, spares "
        "and whole multiples; null where joints are counted."
    )
    rests: float = Field(
        description="What kept rests count for (`offcut_value`); off cost and bound already."
    )
    measured_in: str
    gap_pct: float = Field(description="How much more than `bound` the cost is.")
    optimal: bool = Field(
        description="Whether the cost is no more than `bound`. What is shown for the joints as "
        "they are laid alone is in `in_words`, and no more is claimed by it."
    )
    work: int = Field(description="Work spent, in the solver's own count; never time.")
    in_words: str


class RuleCostRow(Given):
    """What one rule of joints or stock costs: the plan found with that rule alone lowered."""

    product: str
    rule: str
    key: str
    asked: Any
    used: Any = Field(description="What the rule was lowered to.")
    cost: float = Field(description="Of the plan found with the lowered rule.")
    saves: float = Field(description="How much less that is; 0 where nothing was found.")
    measured_in: str
    saves_pct: float
    in_words: str


class AlternativeRow(Given):
    """One way of laying the courses, ranked."""

    surface: str
    layer: str
    rank: int
    start: str
    courses: int
    first: float = Field(description="Width of the first course; of wrap that of the roll.")
    last: float = Field(description="Width of the last course; of wrap that of the roll.")
    chosen: bool
    why: str


class FastenerRow(Given):
    """Fasteners of one kind in one place, with what was counted."""

    surface: str
    layer: str
    product: str | None
    where: str = Field(
        description="The part of the layer, in its kind's words. Boards: field, first, last, "
        "joint end, notch, lost tongue, short piece, block. Sheets: edge, long edge, field, seam. "
        "Wrap: line, seam, edge, opening."
    )
    pattern: str
    place: str = Field(description="blind or face.")
    spacing: float | None
    count: int
    counted: str
    length: float | None = Field(description="The shortest length that holds.")
    hold: float | None = Field(description="Length of shank in what is meant to carry it.")
    depth: float | None = Field(description="Depth of the point in it, square to the face.")
    into_framing: float | None = Field(description="Length of shank in framing.")
    into_wood: float | None = Field(
        description="Length of shank in framing and in wood panels, together."
    )


class OperationRow(Given):
    """One operation of a patch of the request, as RFC 6902 has it."""

    op: Literal["add", "replace"]
    path: str = Field(
        max_length=500, description="JSON Pointer (RFC 6901) into the request; ends in - to append."
    )
    value: Any = Field(description="What to put there: any JSON value.")


class FindingRow(Given):
    """Something legal that should be known."""

    code: str
    at: str
    text: str
    rule: str | None = Field(description=_RULE)
    measure: float | None
    limit: float | None
    cure: list[OperationRow] | None = Field(
        description="A patch of the request that mends this (RFC 6902): apply all of it, in order."
    )


class RelaxedRow(Given):
    """A rule that was not kept, by the caller's leave."""

    rule: str = Field(description=_RULE)
    key: str
    asked: Any
    used: Any
    places: list[str]


class BasisRow(Given):
    """A value the answer rests on, and where it came from."""

    at: str
    rule: str = Field(description=_RULE)
    key: str
    value: Any
    source: str = Field(alias="from")


class Answer(Given):
    """The takeoff of a job."""

    version: Version
    units: Units
    summary: Summary
    surfaces: list[SurfaceRow]
    layers: list[LayerRow]
    members: list[MemberRow]
    openings: list[OpeningRow]
    products: list[ProductRow]
    alternatives: list[AlternativeRow]
    courses: list[CourseRow]
    runs: list[RunRow]
    pieces: list[PieceRow]
    joints: list[JointRow]
    sticks: list[StickRow]
    sheets: list[SheetRow]
    cut_plans: list[CutPlanRow]
    rule_costs: list[RuleCostRow] = Field(
        description="What the rules cost, the dearest first; with `effort` thorough only."
    )
    fasteners: list[FastenerRow]
    consumables: list[ConsumableRow]
    order: list[OrderRow]
    ledger: list[LedgerRow]
    ledger_shares: list[LedgerShareRow]
    order_shares: list[OrderShareRow]
    compared: list[ComparedRow]
    findings: list[FindingRow]
    relaxed: list[RelaxedRow]
    cautions: list[str]
    not_computed: list[str]
    basis: list[BasisRow]
    request: dict[str, Any] | None = Field(description="The request, when `echo` asked for it.")
