"""Cap fasteners of wrap: along members and along laps, never twice in one place (13.6)."""

from __future__ import annotations

from collections.abc import Sequence

from service.fastening.spacing import points


def on_line(length: int, pitch: int, end: int, rows: Sequence[tuple[int, int]]) -> int:
    """Caps on a member over `length` ticks, less those that rows along laps make needless.

    Each of `rows` is the place at which a row crosses the line, from the line's start, and the
    distance along the line within which a cap is needless; all in ticks.
    """
    count = points(length, pitch, end)
    if count == 1:
        return int(all(abs(length - 2 * at) >= 2 * reach for at, reach in rows))
    first = min(end, length // 4)
    between, steps = length - 2 * first, count - 1
    needless: set[int] = set()
    for at, reach in rows:
        # Cap k stands at first + k x between / steps.
        low = (at - reach - first) * steps // between + 1
        high = -((first - at - reach) * steps // between) - 1
        needless.update(range(max(0, low), min(steps, high) + 1))
    return count - len(needless)


def along(length: int, pitch: int, end: int) -> int:
    """Caps in one row along a lap: one row holds both sheets (18.8)."""
    return points(length, pitch, end)


def around(perimeter: int, pitch: int) -> int:
    """Caps round an opening, at most `pitch` apart."""
    return -(-perimeter // pitch)
