"""A small job and its right answer, both worked out by hand.

A 200 x 11-1/4 in surface, gap 1/2 in: net 199 x 10-1/4, two full courses of 5-1/8 in. Members
16 in apart. Course 1 is jointed at 96 in, course 2 at 128 in: pieces of 95-1/2 and 103-1/2 in,
127-1/2 and 71-1/2 in. The last is cut from an 8 ft stick (rest 96 - 71-1/2 - 1/8 - 1 = 23-3/8 in),
the others from 12 ft sticks (144), of which the rests are 47-3/8, 39-3/8 and 15-3/8 in.
"""

from __future__ import annotations

import copy
from typing import Any

from tests.independent.measure import INCH

Row = dict[str, Any]

OVERALL, COVER = 5.375, 5.125


def request() -> Row:
    """The job."""
    return {
        "unit": "in",
        "surfaces": [{
            "id": "loft", "rectangle": [200, 11.25],
            "supports": {"direction": 90, "first": 16, "spacing": 16, "thickness": 1.5},
            "rules": {"end_trim": 0.5},
            "layers": [{"id": "boards", "kind": "boarding", "product": "pine", "direction": 0}],
        }],
        "products": [{
            "id": "pine", "form": "board", "profile": "tongue_and_groove", "ends": "square",
            "overall": OVERALL, "coverage": COVER, "thickness": 0.75,
            "stock": [{"length": "8 ft"}, {"length": "12 ft"}],
        }],
    }  # fmt: skip


def answer() -> Row:
    """The tables of its answer that the second opinion reads."""
    pieces = [
        _piece(1, 1, 0.5, 96, "pine-1"), _piece(1, 2, 96, 199.5, "pine-2"),
        _piece(2, 1, 0.5, 128, "pine-3"), _piece(2, 2, 128, 199.5, "pine-4"),
    ]  # fmt: skip
    return {
        "units": {"length": "in", "area": "ft2"},
        "layers": [
            {"surface": "loft", "layer": "boards", "along": [1, 0], "across": [0, 1]},
        ],
        "courses": [_course(1, 0.5, 5.625), _course(2, 5.625, 10.75)],
        "runs": [_run(1), _run(2)],
        "pieces": pieces,
        "joints": [_joint(1, 96, pieces[0], pieces[1]), _joint(2, 128, pieces[2], pieces[3])],
        "sticks": [
            _stick(piece, length, rest)
            for piece, length, rest in zip(
                pieces, (144, 144, 144, 96), (47.375, 39.375, 15.375, 23.375), strict=True
            )
        ],
        "order": [_order(96, 1), _order(144, 3)],
        "ledger": _ledger(),
        "findings": [],
        "relaxed": [],
    }


def copied() -> Row:
    """A copy of the right answer, for spoiling."""
    return copy.deepcopy(answer())


def _course(number: int, near: float, far: float) -> Row:
    return {"surface": "loft", "layer": "boards", "course": number, "near": near, "far": far,
            "width": far - near, "rip": "none", "tongue": "far"}  # fmt: skip


def _run(course: int) -> Row:
    return {"id": f"loft.boards.{course}.1", "surface": "loft", "layer": "boards",
            "course": course, "from": 0.5, "to": 199.5, "length": 199, "pieces": 2}  # fmt: skip


def _piece(course: int, number: int, low: float, high: float, stick: str) -> Row:
    near = 0.5 + (course - 1) * COVER
    return {
        "id": f"loft.boards.{course}.1.{number}", "label": f"{course}.1.{number}",
        "run": f"loft.boards.{course}.1", "surface": "loft", "layer": "boards",
        "course": course, "near": near, "far": near + COVER, "from": low, "to": high,
        "length": high - low, "rip": "none", "notches": 0, "shape": [], "stick": stick,
        "ticks": int((high - low) * INCH),
    }  # fmt: skip


def _joint(course: int, at: float, low: Row, high: Row) -> Row:
    return {"surface": "loft", "layer": "boards", "course": course,
            "between": [low["id"], high["id"]], "at": at, "on": "framing"}  # fmt: skip


def _stick(piece: Row, length: float, rest: float) -> Row:
    exact = {"length": length, "pieces": piece["length"], "kerf": 0.125, "end_trim": 1.0,
             "offcut": rest}  # fmt: skip
    return {
        "stick": piece["stick"], "product": "pine", "owned": False, "length": length,
        "pieces": [piece["id"]], "beside": [[]], "laps": [],
        "cuts": [piece["length"]], "kerfs": 1, "kerf": 0.125, "end_trim": 1.0, "offcut": rest,
        "kept": rest >= 24, "ticks": {name: int(value * INCH) for name, value in exact.items()},
    }  # fmt: skip


def _order(length: float, count: int) -> Row:
    return {"product": "pine", "length": length, "need": count, "cull": 0, "spare": 0,
            "buy": count, "left_over": 0}  # fmt: skip


def _ledger() -> list[Row]:
    """By hand: 398 in of pieces, 1/2 in of kerf, 4 in of trim, 86-3/4 kept, 38-3/4 short."""
    inches = {
        "installed": 398 * COVER, "lap_or_tongue": 398 * 0.25, "kerf": 0.5 * OVERALL,
        "end_trim": 4 * OVERALL, "offcut_kept": 86.75 * OVERALL, "short_offcut": 38.75 * OVERALL,
    }  # fmt: skip
    return [
        {"product": "pine", "account": name, "half_square_ticks": str(int(2 * area * INCH**2))}
        for name, area in inches.items()
    ]
