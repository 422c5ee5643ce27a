"""Rings that are no outline, or only just one. Corners are in the request's unit."""

from __future__ import annotations

import math
from typing import Any

from tests.contract.hostile.walking import Raw

SIDE = 120


def _star(corners: int) -> list[list[float]]:
    turn = 2 * math.pi * (corners // 2) / corners
    return [[round(SIDE * math.cos(turn * k), 4), round(SIDE * math.sin(turn * k), 4)]
            for k in range(corners)]  # fmt: skip


def _circle(corners: int) -> list[list[float]]:
    turn = 2 * math.pi / corners
    return [[round(SIDE * math.cos(turn * k), 4), round(SIDE * math.sin(turn * k), 4)]
            for k in range(corners)]  # fmt: skip


def _comb(teeth: int) -> list[list[float]]:
    """A wall with many narrow slots."""
    top = [[x, y] for k in range(teeth) for x, y in
           ((k * 4, SIDE), (k * 4 + 2, SIDE), (k * 4 + 2, 10), (k * 4 + 4, 10))]  # fmt: skip
    return [[0, 0], *top, [teeth * 4, 0]]


_BOX = [[0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE]]

REFUSED: dict[str, Any] = {
    "empty": [],
    "one corner": [[0, 0]],
    "two corners": [[0, 0], [SIDE, 0]],
    "one point three times": [[0, 0]] * 3,
    "on a line": [[0, 0], [60, 0], [SIDE, 0]],
    "there and back": [[0, 0], [SIDE, 0], [SIDE, SIDE], [SIDE, 0]],
    "bow-tie": [[0, 0], [SIDE, SIDE], [SIDE, 0], [0, SIDE]],
    "star of 5": _star(5),
    "star of 101": _star(101),
    "star of 401": _star(401),
    "crossing itself far away": [[0, 0], [SIDE, 0], [SIDE, SIDE], [60, -10], [0, SIDE]],
    "touching itself in a corner": [[0, 0], [60, 60], [SIDE, 0], [SIDE, SIDE], [60, 60], [0, SIDE]],
    "spike": [[0, 0], [SIDE, 0], [SIDE, SIDE], [60, SIDE], [60, 2 * SIDE], [60, SIDE], [0, SIDE]],
    "no width": [[0, 0], [SIDE, 0], [SIDE, 1e-9], [0, 1e-9]],
    "three coordinates": [[0, 0, 0], [SIDE, 0, 0], [SIDE, SIDE, 0]],
    "one coordinate": [[0], [SIDE], [1]],
    "flat": [0, 0, SIDE, 0, SIDE, SIDE],
    "objects": [{"x": 0, "y": 0}, {"x": SIDE, "y": 0}, {"x": SIDE, "y": SIDE}],
    "nothing": [None, None, None],
    "texts": [["a", "b"], ["c", "d"], ["e", "f"]],
    "truths": [[True, False], [True, True], [False, True]],
    "deep": [[[0, 0]], [[SIDE, 0]], [[SIDE, SIDE]]],
    "not a number": [[0, 0], [Raw("NaN"), 0], [SIDE, SIDE]],
    "without end": [[0, 0], [Raw("1e400"), 0], [SIDE, SIDE]],
    "far over the edge": [[0, 0], [1e300, 0], [1e300, 1e300]],
    "at the end of the world": [[x + 1e15, y + 1e15] for x, y in _BOX],
    "smaller than a saw's dust": [[0, 0], [1e-300, 0], [1e-300, 1e-300]],
    "20 000 corners": _circle(20_000),
    "all one place, 2 000 times": [[1, 1]] * 2_000,
}
"""Name -> ring that no surface and no opening may have."""

ODD: dict[str, Any] = {
    "closed": [*_BOX, _BOX[0]],
    "other way round": _BOX[::-1],
    "each corner twice": [corner for corner in _BOX for _ in range(2)],
    "corners on its sides": [[0, 0], [60, 0], [SIDE, 0], [SIDE, 60], [SIDE, SIDE], [0, SIDE]],
    "circle of 400": _circle(400),
    "circle of 2 000": _circle(2_000),
    "comb of 100": _comb(100),
    "needle": [[0, 0], [SIDE, 0.001], [0, 0.002]],
    "a tick off": [[0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE + 1e-6]],
    "large": [[x * 1_000, y * 1_000] for x, y in _BOX],
    "far": [[x + 9_000_000, y + 9_000_000] for x, y in _BOX],
    "negative": [[x - 9_000_000, y - 9_000_000] for x, y in _BOX],
}
"""Name -> ring that is sound, or that geometry decides; an answer or a refusal, never a fault."""
