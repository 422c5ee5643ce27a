"""The laws of jointed boards (23.4), checked on the rows that were made."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from service.joints.records import Places
from service.products.kinds.boarding.records import BoardPiece, Boards, Pieces, PlacedBoards

Joint = tuple[int, int, int]
"""Station of a joint, and the extent of its run."""


def violations(placed: PlacedBoards) -> list[str]:
    """Every joint without its bearing, every pair too near, every piece too short."""
    laid = placed.laid
    return [f"{laid.task.at}: {law}" for law in _violations(laid.detail, placed.detail)]


def _violations(boards: Boards, pieces: Pieces) -> Iterator[str]:
    rules = pieces.rules
    courses: dict[int, list[Joint]] = defaultdict(list)
    for a, b in pairwise(pieces.all):
        if a.run is b.run:
            courses[a.run.course].append((a.cut.high, a.run.low, a.run.high))
            if rules.places is Places.FRAMING and a.cut.high not in boards.line(a.run).stations:
                yield f"the joint at {a.cut.high} is on no member"
            yield from _short(a, rules.min_piece)
            yield from _short(b, rules.min_piece)
    for course, joints in courses.items():
        for apart, back in ((rules.stagger, 1), (rules.repeat, 2)):
            if _too_near(joints, sorted(courses.get(course - back, [])), apart):
                yield f"a joint of course {course} is nearer than {apart} to course {course - back}"


def _short(piece: BoardPiece, least: int) -> Iterator[str]:
    if piece.cut.high - piece.cut.low < least:
        yield f"piece {piece.id} is under the least length"


def _too_near(joints: list[Joint], others: list[Joint], apart: int) -> bool:
    """Whether a joint lies nearer than `apart` to one of `others` whose run touches its own."""
    for at, low, high in joints:
        first = bisect_left(others, (at - apart + 1,))
        for other, other_low, other_high in others[first:]:
            if other - at >= apart:
                break
            if other_low < high and other_high > low:
                return True
    return False
