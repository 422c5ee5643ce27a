"""What a layer can want of a board, and its share of the plan that is made for all of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from service.cutting.records import Stock
from service.errors import JsonValue, Relaxed
from service.joints.records import Blocked, Cut, JointRules, JointRun
from service.products.form import Need as NeedOf
from service.products.goods.board.rulings import Task


@dataclass(frozen=True, slots=True)
class Lowering:
    """A rule lowered from what was asked, and the jointing with it lowered."""

    rule: str
    key: str
    asked: JsonValue
    used: JsonValue
    jointing: Jointing


class Jointing(Protocol):
    """Runs of boards whose joints are chosen with the sticks that they are cut from.

    `relaxed` are the rules that were lowered for want of any layout.
    """

    @property
    def rules(self) -> JointRules:
        """The rules of its joints."""

    @property
    def relaxed(self) -> tuple[Relaxed, ...]:
        """Rules that were lowered, since the caller allowed it."""

    @property
    def names(self) -> Sequence[str]:
        """The names of its runs, in their order; a piece is named by its number in its run."""

    def runs(self, stack: int, stocks: Sequence[Stock], layers: int = 1) -> list[JointRun]:
        """Its runs as stack `stack` of so many `layers` whose joints are weighed together."""

    def eased(
        self, blocked: Blocked, stocks: Sequence[Stock], kerf: int, *, relax: bool
    ) -> Jointing:
        """With less asked where no layout was found; TradeRefused where nothing may give way."""

    def refused(self) -> Exception:
        """That no layout was found at all."""

    def lowered(self, stocks: Sequence[Stock]) -> Iterable[Lowering]:
        """Each of its rules alone lowered as far as a caller may relax it."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """Plain lengths to be cut square, each by its piece's id (ticks)."""

    pieces: Mapping[str, int]


Wanted = Jointing | Lengths


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
