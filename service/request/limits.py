"""The one table of limits, each refused with its name; README prints it."""

from __future__ import annotations

from typing import Final

from service.errors import Fault, LimitExceeded

CORNERS: Final = 5_000
COURSES: Final = 3_000
CORNERS_TIMES_COURSES: Final = 3_000_000
MEMBERS: Final = 2_000
PIECES: Final = 60_000

CUT_PIECES: Final = 10_000
COMPARED: Final = 4_000

MOST_LIGHT: Final = 700
"""A job of more pieces than this (as estimated, corners included) waits in the lane for heavy
ones. No limit on what is taken: it only says who waits for whom."""

LIMITS: Final = {
    "corners": (CORNERS, "corners of outlines and openings in one request"),
    "courses": (COURSES, "courses in one layer"),
    "corners x courses": (
        CORNERS_TIMES_COURSES,
        "corners of a surface times its courses, those of an opening times the courses beside it",
    ),
    "members": (MEMBERS, "supports of one surface"),
    "pieces": (PIECES, "pieces in one request, estimated before any work"),
    "compared pieces": (
        COMPARED,
        "pieces in all variations together, those of its questions too, estimated before any work, "
        "and a hundred more for each: a third of them count with `effort` quick, nine times as "
        "many with thorough; ask less at once",
    ),
    "pieces of a cut plan": (CUT_PIECES, "pieces in one cut plan"),
}
"""Each limit by name: its value, and what it counts."""


def within(name: str, count: int, pointer: str, made_of: str = "") -> None:
    """Refuse a request whose `count` is over the limit called `name`; `made_of` says of what."""
    most, what = LIMITS[name]
    if count > most:
        text = f"at most {most} {what}: this request has {count}{made_of}"
        raise LimitExceeded(Fault("over-limit", text, pointer))
