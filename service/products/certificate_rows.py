"""What proves the bound of a plan of boards: a table of the answer, where it is asked for.

All in it is whole numbers: lengths in ticks, worths in parts of the cost (`per`), so that it can be
added up to the last digit by anybody.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from service.products.bought_rows import CutPlanRow
from service.schemas.columns import PLAIN, TICKS, Cost, Count, Flag, Named, Text

Ticks = Annotated[int, TICKS]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthRow:
    """What pieces with such ends are worth by their length: a step function that never falls."""

    ends: Annotated[
        Count,
        "How many of a piece's ends are of the kind that takes less of a raw end of a stick: at a "
        "joint, or at a wall, whichever of `joint_trim` and `wall_trim` is less.",
    ]
    cells: Annotated[
        tuple[Count, ...],
        "From this size on: the length and a saw cut in steps of `grid`, rounded down.",
    ]
    worths: Annotated[tuple[Count, ...], "It is worth that, up to the next size."]


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowRow:
    """Stations between which a joint costs more: of touching courses every second has one there."""

    surface: Text
    layer: Text
    low: Annotated[Ticks, Named("from")]
    high: Annotated[Ticks, Named("to")]
    price: Count


@dataclass(frozen=True, slots=True, kw_only=True)
class RipShareRow:
    """From what width of face on a piece is worth what share of one of a whole board."""

    width: Ticks
    share: Annotated[Count, "In 1 048 576ths."]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProvedRunRow:
    """Runs that are alike, and where they may be jointed."""

    runs: Annotated[tuple[Text, ...], "Their ids."]
    low: Annotated[
        Ticks,
        Named("from"),
        "Station of the low end, as far in as any rounding of the pieces can bring it.",
    ]
    high: Annotated[Ticks, Named("to")]
    anywhere: Annotated[Flag, "Whether joints may be at any station."]
    stations: Annotated[
        tuple[Ticks, ...],
        "All bearings far enough from the ends, to the nearest step of `cut_to`: more than the "
        "rules allow. None where joints may be anywhere, or where it is one piece.",
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofRow:
    """The prices of a proof: no stick is worth more than it costs, and all runs so much at least.

    The cheapest way of making each run is what its pieces are worth and what its joints cost, each
    with the prices of the windows that it lies in. Their sum, less each window's price for each
    joint that it can have and each cap's for each stick that there is, is what any plan costs.
    """

    grid: Ticks
    per: Annotated[
        Count,
        "Worths in one of what the cost is measured in: of money, of sticks or joints; of a "
        "tick of length.",
    ]
    joint: Annotated[Count, "What each joint costs."]
    worths: tuple[WorthRow, ...]
    widths: tuple[RipShareRow, ...]
    windows: tuple[WindowRow, ...]
    caps: Annotated[
        tuple[Count, ...],
        "What one stick of each row of the product's `stock`, and then of `owned`, is worth beyond "
        "its cost: 0 but where there are only so many.",
    ]
    runs: tuple[ProvedRunRow, ...]


BoundBy = Literal["proof", "search"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CertificateRow:
    """The bound of one plan, and of it what anybody can check without the service."""

    product: Text
    measured_in: Text
    bound: Annotated[Cost, "As `cut_plans` has it."]
    bound_by: Annotated[
        BoundBy,
        PLAIN,
        "Whether `bound` is what the proof shows, or more, by search: then only "
        "`certified_bound` can be checked.",
    ]
    certified_bound: Annotated[Cost | None, "What the proof shows; null without one."]
    why_not: Annotated[Text | None, "Why there is no proof; null where there is one."]
    in_words: Text
    proof: ProofRow | None


def not_certified(plan: CutPlanRow, why_not: str) -> CertificateRow:
    """The row of a plan whose bound nobody can check, and why."""
    return CertificateRow(
        product=plan.product,
        measured_in=plan.measured_in,
        bound=plan.bound,
        bound_by="search",
        certified_bound=None,
        why_not=why_not,
        in_words=f"Nobody can check this without the service: {why_not}.",
        proof=None,
    )
