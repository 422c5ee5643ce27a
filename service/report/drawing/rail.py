"""A rail: a row or column of numbers beside a drawing, and which of them are written.

A rail stands on one side of the drawing and writes each of its ticks at the height (or length)
where the mark lies.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from service.products.drawing import Lie, Point
from service.report.drawing.labels import LINE, SIZE, width_of

Side: TypeAlias = Literal["left", "right", "bottom", "top"]

BETWEEN: Final = 1.6
"""Clear paper between two columns of a rail, mm."""

_ENDS_APART: Final = 4
"""A row of more ticks than this is as close as its inner ones may stand."""

STEPS: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
"""Where all numbers find no room, each 2nd, 5th, 10th ... is written."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A text at a point of the sheet (ticks). `count` is what thinning goes by.

    `listed` is what stands beside the drawing where the text finds no room.
    """

    at: Point
    text: str
    count: int
    listed: str = ""


@dataclass(frozen=True, slots=True)
class Rail:
    """One row or column. `thinned` rails keep each Nth tick; others whatever finds room.

    Rails of one `family` are thinned alike; a lower `rank` finds room earlier. `stroke` is the
    weight of the short line drawn at each tick (mm), 0 for none; `led` rails draw a fine line
    from a mark that ends short of the side. Texts of a lengthwise rail that find no room in the
    first of its `rows` go into the next.
    """

    side: Side
    heading: str
    ticks: tuple[Tick, ...]
    thinned: bool
    family: str
    rank: int
    stroke: float = 0.0
    led: bool = False
    rows: int = 1

    @property
    def lengthwise(self) -> bool:
        """Whether ticks are spread along x."""
        return self.side in {"bottom", "top"}

    @property
    def depth(self) -> float:
        """How much paper the rail takes outward, mm."""
        if self.lengthwise:
            return LINE * self.rows
        return self.widest + BETWEEN

    @property
    def widest(self) -> float:
        """Width of its widest text, mm."""
        return max(width_of(text) for text in (self.heading, *(tick.text for tick in self.ticks)))

    @property
    def pitch(self) -> float:
        """From tick to tick at the least, for both to be written, mm.

        Both ends of a row are written before all others, however wide they are.
        """
        if not self.lengthwise:
            return LINE
        inner = self.ticks[1:-1] if len(self.ticks) > _ENDS_APART else self.ticks
        widest = max((width_of(tick.text) for tick in inner), default=0.0)
        return (widest + 0.4 * SIZE) / self.rows


def lie_of(start: Point, end: Point) -> Lie:
    """How a line lies on the sheet; within 1 in 500 of level or upright counts as such."""
    wide, high = abs(end[0] - start[0]), abs(end[1] - start[1])
    if high * 500 <= wide:
        return "level"
    return "upright" if wide * 500 <= high else "oblique"


def step_for(places: list[float], pitch: float) -> int:
    """The smallest of `STEPS` at which every Nth of evenly spread places is `pitch` apart."""
    if len(places) < 2:
        return 1
    apart = sorted(places)
    usual = (apart[-1] - apart[0]) / (len(apart) - 1)
    return next((step for step in STEPS if step * usual >= pitch), STEPS[-1])


def kept(rail: Rail, step: int) -> tuple[Tick, ...]:
    """The ticks that are written when each `step`th is, with the first and the last always."""
    ends = {tick.count for tick in (rail.ticks[0], rail.ticks[-1])}
    return tuple(tick for tick in rail.ticks if tick.count % step == 0 or tick.count in ends)
