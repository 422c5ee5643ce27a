"""Laths: straight lines of lumber that a layer takes besides, along its seams and its edges.

A batten over a seam is one, and a starter strip behind the first course. Each is cut square, in as
few equal pieces as the longest stick gives. Lengths are ticks.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from service.geometry.ends import square_ends
from service.geometry.plane import intersection
from service.geometry.rings import Point, Polygon, Region, rectangle
from service.ledger.book import Ledger
from service.products.goods.lumber import FORM as LUMBER
from service.products.goods.lumber.needs import LumberShare, Need
from service.products.goods.lumber.rulings import Task
from service.products.layer import AnyTask
from service.products.rows import PieceRow
from service.products.standing import Stay
from service.products.sticks.needs import Lengths
from service.products.stock import longest_cut
from service.units.ticks import down


@dataclass(frozen=True, slots=True)
class Line:
    """Where a lath lies: centred on station `at`, from `low` to `high`, along the layer or across.

    `course` is the course that it lies beside.
    """

    course: int
    along: Literal["along", "across"]
    at: int
    low: int
    high: int

    @property
    def ends(self) -> tuple[Point, Point]:
        """Both its ends, in stations along the layer and across."""
        low, high = (self.low, self.at), (self.high, self.at)
        return (low, high) if self.along == "along" else (low[::-1], high[::-1])


@dataclass(frozen=True, slots=True)
class Lath:
    """One piece of a line: its name, what it is cut to, and where it lies."""

    name: str
    line: Line
    low: int
    high: int
    cut: int


@dataclass(frozen=True, slots=True)
class Laths:
    """All laths of one sort of a layer, and the lumber that they are cut of."""

    task: Task
    laths: tuple[Lath, ...]


def laths_of(task: Task, what: str, lines: Iterable[Line]) -> tuple[Lath, ...]:
    """Every piece of the lines of a lumber; what no saw cuts is left out (8.2)."""
    step = task.rules.cut_to
    longest = longest_cut(task.product.rows, task.rules.stick_trims)
    return tuple(
        lath
        for k, line in enumerate(lines, start=1)
        if line.high - line.low >= step
        for lath in _cut_up(f"{task.at}.{what}{k}", line, max(step, longest), step)
    )


def _cut_up(name: str, line: Line, longest: int, step: int) -> Iterator[Lath]:
    extent = line.high - line.low
    count = -(-extent // longest)
    for k in range(count):
        low, high = line.low + extent * k // count, line.low + extent * (k + 1) // count
        yield Lath(f"{name}.{k + 1}", line, low, high, down(high - low, step))


def need_of(task: Task, laths: Sequence[Lath]) -> Need:
    """The laths as plain lengths of their lumber."""
    return LUMBER.need(task, Lengths({one.name: one.cut for one in laths}))


def lath_rows(
    task: Task, laths: Sequence[Lath], share: LumberShare, ledger: Ledger
) -> Iterator[PieceRow]:
    """Each lath as a piece; what they take is booked. They cover nothing of their own."""
    page = ledger.of(task.surface.id)
    for one in laths:
        page.enter("installed", one.high - one.low)
        page.enter("fit", one.cut - (one.high - one.low))
        yield _row(task, task.product.id, task.product.width, one, share.sticks[one.name])


def that_stay(
    before: Laths, after: Laths | None, up: Collection[str], left: Region
) -> Iterator[Stay]:
    """Of laths that are `up` what the job after a change has there too, beside what is `left`.

    `left` is what stays of the layer, in stations: where nothing of it does a lath comes off.
    """
    wanted = () if after is None or after.task.product != before.task.product else after.laths
    wide = before.task.product.width
    for one in (one for one in before.laths if one.name in up):
        for other in wanted:
            low, high = max(one.low, other.low), min(one.high, other.high)
            same = (one.line.along, one.line.at) == (other.line.along, other.line.at)
            if same and low < high:
                box = Polygon(rectangle(*_box(one.line, low, high, wide)))
                if intersection((box,), left):
                    whole = (low, high) == (one.low, one.high)
                    yield Stay(one.name, None if whole else (box,))


def _box(line: Line, low: int, high: int, width: int) -> tuple[int, int, int, int]:
    """Where part of a lath lies: low, near, high, far."""
    near, far = line.at - width // 2, line.at + width - width // 2
    return (low, near, high, far) if line.along == "along" else (near, low, far, high)


def _row(task: AnyTask, product: str, width: int, lath: Lath, stick: str) -> PieceRow:
    low, near, high, far = _box(lath.line, lath.low, lath.high, width)
    return PieceRow(
        id=lath.name,
        run=lath.name.rpartition(".")[0],
        surface=task.surface.id,
        layer=task.layer_id,
        product=product,
        course=lath.line.course,
        near=near,
        far=far,
        low=low,
        high=high,
        cut=lath.cut,
        ends=("square", "square"),
        rip="none",
        notches=0,
        holes=0,
        rings=(),
        twice_area=0,
        bearings=0,
        stick=stick,
        cuts=square_ends(low, high),
    )
