"""Lines of a moulding as runs whose scarfs are chosen with the sticks that they are cut from.

In a scarf both pieces are longer by half of what they lap. A stick holds its pieces if their
lengths and the saw cuts between them are no longer than it is; take the lap off each piece and off
the stick, and add it to each cut, and that is the same sum. So runs begin and end half a lap within
their line, pieces meet in a point, and the solver of boards plans them, with its bound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from service.cutting.records import Need, Stick, Stock
from service.errors import Fault, Relaxed, TradeRefused
from service.joints.records import Blocked, Cut, Jointed, JointRules, JointRun, Places
from service.layout.bearings import BearingLine
from service.products.goods.moulding.needs import Lines, Sawn, Wanted
from service.products.sticks.needs import Lowering
from service.products.sticks.task import StickTask
from service.units.ticks import down, up
from service.units.writing import both

_NO_MEMBERS = BearingLine((), (), 0)
_APART = 8
"""Courses between two lines: their scarfs have nothing to do with each other."""


@dataclass(frozen=True, slots=True)
class LineJoints:
    """The lines of one need, with the `lap` of all that is cut of the product."""

    task: StickTask
    wanted: Lines
    lap: int

    @property
    def rules(self) -> JointRules:
        """No rule but where they may be joined, and no piece too short."""
        lines = self.wanted.all
        return JointRules(
            places=Places.ANYWHERE if any(one.free for one in lines) else Places.FRAMING,
            min_piece=max(0, min((one.line.least for one in lines), default=0) - self.lap),
            min_bearings=0,
            stagger=0,
            repeat=0,
            cut_to=self.task.rules.cut_to,
            min_touch=0,
            end_matched=False,
        )

    @property
    def relaxed(self) -> tuple[Relaxed, ...]:
        """None is ever lowered."""
        return ()

    @property
    def lifted(self) -> bool:
        """Whether lines may have more scarfs than they need: none may."""
        return False

    @property
    def lines(self) -> tuple[Wanted, ...]:
        """The lines that are longer than what two pieces lap."""
        return tuple(one for one in self.wanted.all if not self._is_short(one))

    @property
    def short(self) -> dict[str, int]:
        """What the other lines are cut to, by name: they are pieces of no run."""
        return {one.name: self._whole(one) for one in self.wanted.all if self._is_short(one)}

    def _is_short(self, one: Wanted) -> bool:
        return self.lap > 0 and self._whole(one) <= self.lap

    def _whole(self, one: Wanted) -> int:
        """A line in one piece: down between two stops, else up (0.2)."""
        length, step = one.line.extent, self.rules.cut_to
        return (down(length, step) if one.stopped else 0) or up(length, step)

    @property
    def names(self) -> list[str]:
        """The names of the lines that are runs."""
        return [one.name for one in self.lines]

    def runs(self, stack: int, stocks: Sequence[Stock], layers: int = 1) -> list[JointRun]:
        """Each line as a run, from half a lap within its one end to half a lap within the other."""
        return [self._run(stack, k, one) for k, one in enumerate(self.lines)]

    def _run(self, stack: int, number: int, one: Wanted) -> JointRun:
        low, high = one.line.adds
        return JointRun(
            stack=stack,
            course=_APART * (number + 1),
            low=self.lap // 2,
            high=low + one.line.length + high - self.lap // 2,
            stations=tuple(low + place for place in one.places),
            line=_NO_MEMBERS,
            name=one.name,
            takes_more=(not one.stopped, not one.stopped),
            most=one.joints,
        )

    def eased(
        self, blocked: Blocked, stocks: Sequence[Stock], kerf: int, *, relax: bool
    ) -> LineJoints:
        """Nothing may give way: raises TradeRefused."""
        raise self.refused()

    def with_any_joints(self) -> LineJoints:
        """More scarfs help no line."""
        return self

    def refused(self) -> TradeRefused:
        """That the longest stick is too short to make a line of pieces that are long enough."""
        longest = max((one.line for one in self.wanted.all), key=lambda one: one.length)
        text = (
            f"a length of {both(longest.length)} cannot be made of pieces of "
            f"{both(longest.least)} or more: the longest stick gives {both(longest.usable)}; "
            "a longer one is needed in `stock`"
        )
        at = f"{self.task.product_pointer}/stock"
        return TradeRefused(
            Fault(
                "piece-too-long", text, at, rule="8.2", measure=longest.length, limit=longest.usable
            )
        )

    def lowered(self, stocks: Sequence[Stock]) -> Iterator[Lowering]:
        """No rule of scarfs is weighed against what it costs."""
        return iter(())

    def sawn(self, cuts: Sequence[Sequence[Cut]]) -> tuple[Sawn, ...]:
        """The lines as their pieces were cut, with their laps."""
        found = {name: Sawn((), (length,)) for name, length in self.short.items()}
        for one, own in zip(self.lines, cuts, strict=True):
            joints = tuple(cut.high - one.line.adds[0] for cut in own[:-1])
            found[one.name] = Sawn(joints, tuple(cut.need.length for cut in own))
        return tuple(found[one.name] for one in self.wanted.all)


SHORT: Final = Need(1)
"""Stands for a piece no longer than a lap while sticks are chosen: more than it takes."""


def with_laps(made: Jointed, lap: int, short: Sequence[int]) -> Jointed:
    """Pieces and sticks with the laps that they were planned without.

    `short` are the pieces that were planned as if each were a little longer than a lap.
    """
    waiting = sorted(short)
    sticks = tuple(
        Stick(
            one.stock,
            tuple(
                Need(waiting.pop()) if need == SHORT else _longer(need, lap) for need in one.pieces
            ),
        )
        for one in made.plan.sticks
    )
    cuts = tuple(
        tuple(Cut(cut.low, cut.high, _longer(cut.need, lap)) for cut in own) for own in made.cuts
    )
    return replace(made, cuts=cuts, plan=replace(made.plan, sticks=sticks), as_you_go=None)


def _longer(need: Need, lap: int) -> Need:
    return need._replace(length=need.length + lap)
