"""Woods that eat fasteners, and the metals that stand them."""

from __future__ import annotations

from typing import Literal, TypeAlias

Wood: TypeAlias = Literal["plain", "treated", "acidic"]
"""What is in the wood: nothing that matters, preservative with copper, or tannin of its own."""

Metal: TypeAlias = Literal[
    "bare", "electroplated", "hot_dipped", "aluminium", "silicon_bronze", "copper", "stainless",
    "stainless_316",
]  # fmt: skip
"""What a fastener is made of or coated with."""

WOOD = (
    "`treated`: with a preservative that holds copper; `acidic`: tannin of its own, as cedar, "
    "redwood and oak have. Fasteners are held against it. Default: plain."
)
