"""What can be wanted of stock that is sawn from sticks: runs to be jointed, or plain lengths."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from service.cutting.records import Stock
from service.errors import JsonValue, Relaxed
from service.joints.records import Blocked, JointRules, JointRun


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
    def lifted(self) -> bool:
        """Whether its runs may have more joints than are asked for at most (6.3)."""

    @property
    def names(self) -> Sequence[str]:
        """The names of its runs, in their order; a piece is named by its number in its run."""

    def runs(self, stack: int, stocks: Sequence[Stock], layers: int = 1) -> list[JointRun]:
        """Its runs as stack `stack` of so many `layers` whose joints are weighed together."""

    def eased(
        self, blocked: Blocked, stocks: Sequence[Stock], kerf: int, *, relax: bool
    ) -> Jointing:
        """With less asked where no layout was found; TradeRefused where nothing may give way."""

    def with_any_joints(self) -> Jointing:
        """With as many joints in a run as it takes."""

    def refused(self) -> Exception:
        """That no layout was found at all."""

    def lowered(self, stocks: Sequence[Stock]) -> Iterable[Lowering]:
        """Each of its rules alone lowered as far as a caller may relax it."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """Plain lengths to be cut square, each by its piece's id (ticks)."""

    pieces: Mapping[str, int]
