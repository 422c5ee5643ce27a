"""What a layer can want of a board, and its share of the plan that is made for all of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from service.joints.records import Cut
from service.products.form import Need as NeedOf
from service.products.goods.board.rulings import Task
from service.products.sticks.needs import Jointing, Lengths


class Covering(Jointing, Protocol):
    """Runs of boards, and what would be ordered of by a flat percentage."""

    @property
    def drawn(self) -> int:
        """Twice the area that is to be covered, in square ticks."""

    @property
    def lies_in_courses(self) -> bool:
        """Whether the runs are courses of boards, and no parts that are made of some."""


Wanted = Covering | Lengths


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardShare:
    """What one need gets: its pieces run by run, and the stick of each piece by its id.

    `jointing` is the need as it was met. `beside[id]` are the pieces ripped from the same board as
    piece `id`, over all needs; `leads[id]` is the surface of the piece beside which piece `id` is
    ripped, and `kerf` what that rip takes.
    """

    jointing: Jointing | None
    cuts: tuple[tuple[Cut, ...], ...]
    sticks: Mapping[str, str]
    beside: Mapping[str, tuple[str, ...]]
    leads: Mapping[str, str]
    kerf: int


Need = NeedOf[Task, Wanted, BoardShare]
"""What a layer wants of a board."""
