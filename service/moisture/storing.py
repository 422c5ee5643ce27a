"""How boards are stacked to dry and to wait: on bearers, stickered, covered, open (26.4)."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stack:
    """Boards of one length that are to be stacked, and how wide the stack may be; ticks."""

    length: int
    count: int
    board: int
    thickness: int
    width: int


@dataclass(frozen=True, slots=True)
class Practice:
    """How far bearers and stickers are apart, how thick stickers are, and how far a cover reaches.

    Ticks. `clear` is the space between the ground and the boards.
    """

    bearers: int
    stickers: int
    sticker: int
    clear: int
    over: int


@dataclass(frozen=True, slots=True)
class Stacked:
    """A stack as it stands: counts, and lengths in ticks; `cover` is twice an area."""

    rows: int
    across: int
    bearers: int
    stickers: int
    stick_length: int
    width: int
    height: int
    cover: int


def stacked(stack: Stack, practice: Practice) -> Stacked:
    """How boards are stacked: rows of as many as the width takes, stickers between all rows.

    Each line of stickers goes straight up; bearers stand under both ends and no farther apart than
    they may be.
    """
    across = min(stack.count, max(1, stack.width // stack.board))
    rows = -(-stack.count // across)
    width = across * stack.board
    reach = 2 * practice.over
    return Stacked(
        rows=rows,
        across=across,
        bearers=_lines(stack.length, practice.bearers),
        stickers=_lines(stack.length, practice.stickers) * (rows - 1),
        stick_length=width,
        width=width,
        height=practice.clear + rows * stack.thickness + (rows - 1) * practice.sticker,
        cover=2 * (stack.length + reach) * (width + reach),
    )


def _lines(length: int, apart: int) -> int:
    """Lines across a length, one at each end and none farther apart than `apart`."""
    return max(1, -(-length // apart)) + 1
