"""Lines of a moulding as runs whose scarfs are chosen with the sticks that they are cut from.

In a scarf both pieces are longer by half of what they lap. A stick holds its pieces if their
lengths and the saw cuts between them are no longer than it is; take the lap off each piece and off
the stick, and add it to each cut, and that is the same sum. So runs begin and end half a lap within
their line, pieces meet in a point, and the solver of boards plans them, with its bound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.cutting.records import Need, Stick, Stock
from service.errors import Fault, Relaxed, TradeRefused
from service.joints.records import Blocked, Cut, Jointed, JointRules, JointRun, Places
from service.layout.bearings import BearingLine
from service.products.goods.moulding.needs import Lines, Sawn, Wanted
from service.products.goods.moulding.rulings import Task
from service.products.sticks.needs import Lowering
from service.units.writing import both

_NO_MEMBERS = BearingLine((), (), 0)
_APART = 8
"""Courses between two lines: their scarfs have nothing to do with each other."""


@dataclass(frozen=True, slots=True)
class LineJoints:
    """The lines of one need, with the `lap` of all that is cut of the product."""

    task: Task
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
    def names(self) -> list[str]:
        """The names of the lines."""
        return [one.name for one in self.wanted.all]

    def runs(self, stack: int, stocks: Sequence[Stock], layers: int = 1) -> list[JointRun]:
        """Each line as a run, from half a lap within its one end to half a lap within the other."""
        return [self._run(stack, k, one) for k, one in enumerate(self.wanted.all)]

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
            f"{both(longest.least)} or more: the longest stick gives {both(longest.usable)}"
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
        return tuple(
            Sawn(
                tuple(cut.high - one.line.adds[0] for cut in own[:-1]),
                tuple(cut.need.length for cut in own),
            )
            for one, own in zip(self.wanted.all, cuts, strict=True)
        )


def with_laps(made: Jointed, lap: int) -> Jointed:
    """Pieces and sticks with the laps that they were planned without."""
    if not lap:
        return replace(made, as_you_go=None)
    sticks = tuple(
        Stick(one.stock, tuple(_longer(need, lap) for need in one.pieces))
        for one in made.plan.sticks
    )
    cuts = tuple(
        tuple(Cut(cut.low, cut.high, _longer(cut.need, lap)) for cut in own) for own in made.cuts
    )
    return replace(made, cuts=cuts, plan=replace(made.plan, sticks=sticks), as_you_go=None)


def _longer(need: Need, lap: int) -> Need:
    return need._replace(length=need.length + lap)
