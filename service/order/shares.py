"""Sharing whole numbers out so that the shares add up (19.2)."""

from __future__ import annotations

from collections.abc import Sequence


def shared_out(total: int, weights: Sequence[int]) -> list[int]:
    """`total` in whole parts in proportion to `weights`, by largest remainder; they add up.

    Weights are not negative; where all are zero they count alike, and nothing is shared among none.
    Ties go to the earlier one.
    """
    if len(weights) < 2:
        return [total] * len(weights)
    parts = list(weights) if any(weights) else [1] * len(weights)
    whole = sum(parts)
    shares = [total * part // whole for part in parts]
    short = total - sum(shares)
    remainders = [total * part % whole for part in parts]
    for k in sorted(range(len(parts)), key=lambda k: (-remainders[k], k))[:short]:
        shares[k] += 1
    return shares
