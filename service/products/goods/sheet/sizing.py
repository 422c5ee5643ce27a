"""What is cut from a sheet for a piece, and the sheets that it can be cut from."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.cutting.sheets.nesting import Part, SheetStock
from service.products.goods.sheet.rulings import Task
from service.products.stock import UNTRIMMED, Objective, in_order, is_owned, stocks_of
from service.products.supplied import SearchSettings
from service.units.ticks import down


@dataclass(frozen=True, slots=True)
class Sizing:
    """How pieces are sized for the saw: `to` is the step, `lengths` and `width` whole sheets'.

    Of a sheet with a `lap` a piece takes the whole width, but for what is ripped in a corner: each
    edge that laps is the mill's.
    `pitch` is that of its beads, 0 where it has none.
    """

    to: int
    lengths: frozenset[int]
    width: int
    kerf: int = 0
    lap: int = 0
    pitch: int = 0

    def part(self, long: int, wide: int) -> Part:
        """A piece that fits between stops, rounded down; what is a whole sheet's is left (0.2)."""
        return Part(self._length(long), self._wide(wide))

    def of_row(self, face: int, *, laps: bool) -> int:
        """What a row ripped along one edge takes of a sheet; one that `laps` its lap too."""
        if self.lap:
            return min(self.width, self.bare_width(face) + (self.lap if laps else 0))
        return self._on_groove(self.bare_width(face))

    def in_corner(self, long: int, wide: int) -> Part:
        """A piece so wide, one edge of which is hidden in a corner: it need not end on a groove."""
        return Part(self._length(long), wide)

    def _length(self, long: int) -> int:
        return max(long if long in self.lengths else down(long, self.to), self.to)

    def _wide(self, wide: int) -> int:
        if self.lap:
            return self.width if wide >= self.width - self.lap else self.bare_width(wide)
        return self._on_groove(self.bare_width(wide))

    def bare_width(self, wide: int) -> int:
        """A width as a saw is set to it, whatever the edges of the sheet ask for besides."""
        return max(wide if wide == self.width else down(wide, self.to), self.to)

    def _on_groove(self, wide: int) -> int:
        """So wide that what is ripped beside it begins on a groove (12.1).

        Of two strips side by side each has an edge of the mill's, which goes to the next sheet.
        """
        if not self.pitch or 3 * wide + 2 * self.kerf > self.width:
            return wide
        return min(self.width, -(-(wide + self.kerf) // self.pitch) * self.pitch - self.kerf)


def sizing_of(task: Task) -> Sizing:
    """How the pieces of a layer are sized."""
    product = task.product
    lengths = frozenset(stock.length for stock in product.stock)
    return Sizing(
        to=task.rules.cut_to,
        lengths=lengths,
        width=product.width,
        kerf=task.rules.kerf,
        lap=product.lap or 0,
        pitch=product.beads.pitch if product.beads else 0,
    )


def sheets_of(task: Task, settings: SearchSettings) -> tuple[tuple[SheetStock, ...], Objective]:
    """The sheets that can be taken; without prices and with one length they are counted.

    They come in one order, however the request lists them. Where joints are to be few, sheets go
    by their length: rows are jointed before.
    """
    few = settings.objective == "fewest_joints"
    bars, objective = stocks_of(
        task, UNTRIMMED, replace(settings, objective="least_length") if few else settings
    )
    objective = replace(objective, name="fewest_joints") if few else objective
    bought = [bar for bar in bars if not is_owned(task, bar)]
    if objective.measured_in != "money" and len(bought) == 1:
        objective = Objective(objective.name, "sheets", bought[0].cost)
    elif objective.measured_in == "sticks":
        objective = replace(objective, measured_in="sheets")
    found = [SheetStock(s.key, s.length, task.product.width, s.cost, s.supply) for s in bars]
    return tuple(in_order(found)), objective
