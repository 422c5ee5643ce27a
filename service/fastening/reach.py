"""How far a fastener reaches through the layers into what carries it (18.11)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import cos, radians

from service.units.ticks import whole


@dataclass(frozen=True, slots=True)
class Reach:
    """Length of shank in the framing (`hold`) and depth of its point in it, square to the face."""

    length: int
    hold: int
    depth: int


def face_reach(length: int, board: int, behind: int) -> Reach:
    """A fastener of `length` driven square through the face; all in ticks."""
    hold = length - board - behind
    return Reach(length, hold, hold)


def blind_reach(length: int, board: int, behind: int, lean: Fraction) -> Reach:
    """A fastener that leans `lean` degrees from square and enters at mid-thickness."""
    slant = cos(radians(float(lean)))
    hold = length - whole((board / 2 + behind) / slant)
    return Reach(length, hold, whole(hold * slant))


def shortest(
    lengths: Sequence[int], board: int, behind: int, lean: Fraction | None, needed: int
) -> int | None:
    """The shortest of `lengths` that holds `needed`; `lean` None where only faces are driven."""
    for length in sorted(lengths):
        holds = [face_reach(length, board, behind).hold]
        if lean is not None:
            holds.append(blind_reach(length, board, behind, lean).hold)
        if min(holds) >= needed:
            return length
    return None


def needed_length(board: int, behind: int, lean: Fraction | None, needed: int) -> int:
    """The least length that would hold `needed`, ticks."""
    face = board + behind
    if lean is None:
        return face + needed
    slant = cos(radians(float(lean)))
    return max(face, whole((board / 2 + behind) / slant)) + needed
