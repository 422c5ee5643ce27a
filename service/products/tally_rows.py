"""Rows of what boards of random lengths come to, drawn many times."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from service.schemas.columns import Count, Length, Percent, Text


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyRow:
    """A board of random lengths: laid course by course from what comes, in draw after draw.

    Each draw takes boards from one fixed sequence by the shares of the tally. The 90th percentile
    is what nine draws of ten do not go over.
    """

    product: Text
    by: Annotated[Text, "What the shares of its tally are of: pieces, or length."]
    draws: Count
    mean_piece: Annotated[Length, "Of all that comes."]
    too_short_pct: Annotated[
        Percent,
        "Of the pieces that come: shorter than `min_piece`, which serve to end a run at most.",
    ]
    placed: Annotated[Length, "Of all runs."]
    median: Annotated[Length, "Length of board taken, those too short with it."]
    percentile_90: Length
    median_joints: Count
    percentile_90_joints: Count
    shortest: Annotated[Length, "Shortest piece laid, in the median of the draws."]
    estimate: Annotated[
        Length,
        "What a quick estimate comes to (9.3), beside the draws: never what is ordered.",
    ]
    bundles: Annotated[
        Count | None, "That hold the 90th percentile; null where no bundle was told."
    ]
    work: Annotated[Count, "Boards drawn in all."]
