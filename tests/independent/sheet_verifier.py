"""A verifier of sheets cut up by through-cuts, in whole numbers; imports nothing of the service."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

Box = tuple[int, int, int, int]
"""Low corner along and across, then length and width."""

Cut = tuple[Box, str, int]
"""The block that is cut, `rip` or `crosscut`, and the side of what comes off its low side."""


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


def sawing_faults(
    length: int, width: int, kerf: int, cuts: Sequence[Cut], boxes: Sequence[Box], lost: int
) -> list[str]:
    """What is wrong with the cuts of a sheet, sawn one after the other.

    Each must go through a whole block that is there; the last blocks are `boxes`, parts and rests;
    the strips that the saw takes, each counted once, are half of `lost`.
    """
    found, dust = [], 0
    there = [(0, 0, length, width)]
    for block, cut, at in cuts:
        if block not in there:
            found.append(f"{block} is not there to be cut")
            continue
        there.remove(block)
        x, y, long, wide = block
        side, other = (long, wide) if cut == "crosscut" else (wide, long)
        if not 0 < at < side:
            found.append(f"a {cut} of {block} at {at} cuts nothing off")
        taken = min(kerf, side - at)
        dust += taken * other
        far = at + taken
        if cut == "crosscut":
            new = [(x, y, at, wide), (x + far, y, long - far, wide)]
        else:
            new = [(x, y, long, at), (x, y + far, long, wide - far)]
        there += [box for box in new if box[2] and box[3]]
    if sorted(there) != sorted(boxes):
        found.append("what is left is not the parts and rests")
    if 2 * dust != lost:
        found.append(f"the saw takes {2 * dust}, not {lost}")
    return found


def least_cost(
    sheets: Sequence[tuple[int, int, int]], kerf: int, parts: Sequence[tuple[int, int]]
) -> int | None:
    """The least that sheets (length, width, cost) for a few parts cost, by trying every grouping.

    None where a part fits no sheet.
    """
    count = len(parts)
    cheapest = {}
    for mask in range(1, 1 << count):
        some = [parts[k] for k in range(count) if mask >> k & 1]
        gross = tuple((long + kerf, wide + kerf) for long, wide in some)
        costs = [cost for long, wide, cost in sheets if holds(long + kerf, wide + kerf, gross)]
        if costs:
            cheapest[mask] = min(costs)
    least: dict[int, int] = {0: 0}
    for mask in range(1, 1 << count):
        ways = [
            least[mask & ~some] + cost
            for some, cost in cheapest.items()
            if some & mask == some and some & (mask & -mask) and mask & ~some in least
        ]
        if ways:
            least[mask] = min(ways)
    return least.get((1 << count) - 1)


def least_within_supply(
    sheets: Sequence[tuple[int, int, int, int | None]],
    kerf: int,
    parts: Sequence[tuple[int, int]],
) -> int:
    """The least cost where some sheets (length, width, cost, supply) are short, by trying all.

    One kind must be without limit and hold every part.
    """
    endless = [(long, wide, cost) for long, wide, cost, supply in sheets if supply is None]
    at_hand = [sheet[:3] for sheet in sheets for _ in range(sheet[3] or 0)]
    return _least_left(at_hand, endless, kerf, tuple(parts))


def _least_left(
    at_hand: Sequence[tuple[int, int, int]],
    endless: Sequence[tuple[int, int, int]],
    kerf: int,
    parts: tuple[tuple[int, int], ...],
) -> int:
    """The same: the first sheet at hand holds none of the parts, or any group that it can."""
    if not parts:
        return 0
    if not at_hand:
        bought = least_cost(endless, kerf, parts)
        if bought is None:
            raise ValueError(f"no sheet without limit holds all of {parts}")
        return bought
    (length, width, cost), *others = at_hand
    found = [_least_left(others, endless, kerf, parts)]
    for mask in range(1, 1 << len(parts)):
        own = [part for k, part in enumerate(parts) if mask >> k & 1]
        gross = tuple((long + kerf, wide + kerf) for long, wide in own)
        if holds(length + kerf, width + kerf, gross):
            left = tuple(part for k, part in enumerate(parts) if not mask >> k & 1)
            found.append(cost + _least_left(others, endless, kerf, left))
    return min(found)


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
