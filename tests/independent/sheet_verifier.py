"""A verifier of sheets cut up by through-cuts, in whole numbers; imports nothing of the service."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

Box = tuple[int, int, int, int]
"""Low corner along and across, then length and width."""


def sheet_faults(
    length: int, width: int, kerf: int, parts: Sequence[Box], rests: Sequence[Box], lost: int
) -> list[str]:
    """What is wrong with one sheet; `lost` is twice the area that its cuts take.

    Two boxes lie at least a kerf apart unless a rest is cut off by what is left of the sheet.
    """
    found = []
    boxes = [*parts, *rests]
    for x, y, long, wide in boxes:
        if x < 0 or y < 0 or long <= 0 or wide <= 0 or x + long > length or y + wide > width:
            found.append(f"{(x, y, long, wide)} is not inside the sheet")
    for a, b in combinations(boxes, 2):
        if not (clear(a, b, kerf, 0) or clear(a, b, kerf, 1)):
            found.append(f"{a} and {b} are nearer than a kerf")
    if 2 * length * width != 2 * sum(box[2] * box[3] for box in boxes) + lost:
        found.append("parts, rests and cuts are not the sheet")
    if not can_be_sawn(boxes):
        found.append("no through-cut parts them")
    return found


def clear(a: Box, b: Box, kerf: int, side: int) -> bool:
    """Whether a saw passes between two boxes along one side."""
    return a[side] + a[side + 2] + kerf <= b[side] or b[side] + b[side + 2] + kerf <= a[side]


def can_be_sawn(boxes: Sequence[Box]) -> bool:
    """Whether cuts from side to side part all boxes, one from the other."""
    if len(boxes) < 2:
        return True
    for side in (0, 1):
        for at in sorted({box[side] + box[side + 2] for box in boxes}):
            low = [box for box in boxes if box[side] + box[side + 2] <= at]
            high = [box for box in boxes if box[side] >= at]
            if low and high and len(low) + len(high) == len(boxes):
                return can_be_sawn(low) and can_be_sawn(high)
    return False


def fewest_sheets(length: int, width: int, kerf: int, parts: Sequence[tuple[int, int]]) -> int:
    """The fewest equal sheets that hold a few parts, by trying every way of grouping them."""
    count = len(parts)
    fits = {
        mask
        for mask in range(1, 1 << count)
        if holds(length + kerf, width + kerf, tuple(
            (parts[k][0] + kerf, parts[k][1] + kerf) for k in range(count) if mask >> k & 1
        ))
    }  # fmt: skip
    least = {0: 0}
    for mask in range(1, 1 << count):
        least[mask] = min(
            least[mask & ~some] + 1
            for some in fits
            if some & mask == some and some & (mask & -mask)
        )
    return least[(1 << count) - 1]


def holds(length: int, width: int, parts: tuple[tuple[int, int], ...]) -> bool:
    """Whether one block holds all parts, cut side to side; sizes grossed by a kerf."""
    if len(parts) == 1:
        return parts[0][0] <= length and parts[0][1] <= width
    if sum(long * wide for long, wide in parts) > length * width:
        return False
    for mask in range(1, (1 << len(parts)) - 1):
        one = tuple(part for k, part in enumerate(parts) if mask >> k & 1)
        two = tuple(part for k, part in enumerate(parts) if not mask >> k & 1)
        across = least_side(one, width, 0)
        if across is not None and across < length and holds(length - across, width, two):
            return True
        along = least_side(one, length, 1)
        if along is not None and along < width and holds(length, width - along, two):
            return True
    return False


def least_side(parts: tuple[tuple[int, int], ...], other: int, side: int) -> int | None:
    """The shortest block, its other side given, that holds the parts; None if none does."""
    sums = {0}
    for part in parts:
        sums |= {at + part[side] for at in sums}
    for at in sorted(sums - {0}):
        if holds(at, other, parts) if side == 0 else holds(other, at, parts):
            return at
    return None
