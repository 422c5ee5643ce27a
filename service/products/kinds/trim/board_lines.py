"""Lines of trim that are cut of boards: their joints are chosen with those of all other layers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.cutting.records import Stock
from service.errors import Relaxed
from service.joints.records import Blocked, Cut, JointRules, JointRun
from service.products.goods.moulding.jointing import LineJoints
from service.products.goods.moulding.needs import Lines, Sawn
from service.products.kinds.trim.rulings import BoardTask
from service.products.sticks.needs import Lowering


@dataclass(frozen=True, slots=True)
class BoardLines:
    """The lines of one layer as runs of boards that butt."""

    task: BoardTask
    wanted: Lines

    @property
    def lines(self) -> LineJoints:
        """The same lines, without laps."""
        return LineJoints(self.task, self.wanted, 0)

    @property
    def drawn(self) -> int:
        """Twice the area of a whole board for each line."""
        lengths = sum(one.line.extent for one in self.wanted.all)
        return 2 * self.task.product.overall * lengths

    @property
    def lies_in_courses(self) -> bool:
        """Trim runs along edges, or across."""
        return False

    @property
    def rules(self) -> JointRules:
        """No rule but where they may be joined, and no piece too short."""
        return self.lines.rules

    @property
    def relaxed(self) -> tuple[Relaxed, ...]:
        """None is ever lowered."""
        return ()

    @property
    def lifted(self) -> bool:
        """Whether lines may have more joints than they need: none may."""
        return False

    @property
    def names(self) -> list[str]:
        """The names of the lines."""
        return self.lines.names

    def runs(self, stack: int, stocks: Sequence[Stock], layers: int = 1) -> list[JointRun]:
        """Each line as a run; its ends are in view, and squared."""
        spares = self.task.rules.trims(self.task.product).spares(covered=False)
        return [replace(run, spared=(spares, spares)) for run in self.lines.runs(stack, stocks)]

    def eased(
        self, blocked: Blocked, stocks: Sequence[Stock], kerf: int, *, relax: bool
    ) -> BoardLines:
        """Nothing may give way: raises TradeRefused."""
        raise self.refused()

    def with_any_joints(self) -> BoardLines:
        """More joints help no line."""
        return self

    def refused(self) -> Exception:
        """That the longest board is too short to make a line of pieces that are long enough."""
        return self.lines.refused()

    def lowered(self, stocks: Sequence[Stock]) -> Iterator[Lowering]:
        """No rule of the joints is weighed against what it costs."""
        return iter(())

    def sawn(self, cuts: Sequence[Sequence[Cut]]) -> tuple[Sawn, ...]:
        """The lines as their pieces were cut."""
        return self.lines.sawn(cuts)
