"""What boards of a laid layer have to move in: their joints and the gaps at walls (3.14)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

LEVEL: Final = "moisture"
"""What the basis calls rules that moisture asks for."""


@dataclass(frozen=True, slots=True)
class Moving:
    """Boards side by side, as laid; ticks.

    Each covers `coverage`, together they reach `over` from side to side. `tongue` is how deep they
    lie in each other, 0 where they do not. `spacer` is the open joint between them and `gap` the
    one at walls; `spacer_is_free` and `gap_is_free` say that nobody sent them. Boards that are laid
    `loose` on each other, as lapped ones, move each for itself and need no spacer.
    """

    coverage: int
    over: int
    tongue: int
    spacer: int
    gap: int
    spacer_is_free: bool
    gap_is_free: bool
    loose: bool


@dataclass(frozen=True, slots=True)
class Room:
    """What moisture asks of a layer where nothing was sent, in ticks; None where the usual does.

    It is a level of the layer's rules, so its members are called as they are.
    """

    spacer: int | None = None
    gap: int | None = None
