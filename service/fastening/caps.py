"""Cap fasteners of wrap: along members and along laps, never twice in one place (13.6)."""

from __future__ import annotations

from collections.abc import Sequence

from service.fastening.spacing import points


def on_line(length: int, pitch: int, end: int, spans: Sequence[tuple[int, int]]) -> int:
    """Caps on a member over `length` ticks, less those that other rows make needless.

    A cap that stands strictly inside one of `spans` (ticks from the line's start, which may reach
    beyond its ends) is left out.
    """
    count = points(length, pitch, end)
    if count == 1:
        return int(not any(2 * a < length < 2 * b for a, b in spans))
    first = min(end, length // 4)
    between, steps = length - 2 * first, count - 1
    needless: set[int] = set()
    for a, b in spans:
        # Cap k stands at first + k x between / steps.
        low = (a - first) * steps // between + 1
        high = -((first - b) * steps // between) - 1
        needless.update(range(max(0, low), min(steps, high) + 1))
    return count - len(needless)


def along(length: int, pitch: int, end: int) -> int:
    """Caps in one row along a lap: one row holds both sheets (18.8)."""
    return points(length, pitch, end)


def around(perimeter: int, pitch: int) -> int:
    """Caps round an opening or along all edges, at most `pitch` apart."""
    return -(-perimeter // pitch)
