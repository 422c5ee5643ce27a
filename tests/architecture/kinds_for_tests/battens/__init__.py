"""A kind that exists only in the tests: battens across the members, cut from any board."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees
from pathlib import Path
from typing import Literal

from service.geometry.ends import ends_of
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import clip_to_boxes
from service.geometry.rings import Polygon, bounds
from service.geometry.strips import cut_across
from service.geometry.surface import Member
from service.layout.bearings import bearings_of, line_of
from service.products.drawing import DrawnLayer, DrawnPiece
from service.products.goods.board import FORM as BOARD
from service.products.goods.board.needs import BoardShare, Need
from service.products.goods.board.rulings import BoardRulings
from service.products.goods.board.spec import BoardProduct, BoardRules
from service.products.ground import Offered
from service.products.kind import Kind
from service.products.layer import Areas, Books, LaidLayer, Placed, Task
from service.products.remarks import Remarks
from service.products.rows import FastenerRow, PieceRow
from service.products.rulings import Ruling
from service.products.sticks.needs import Lengths
from service.schemas.bounds import Spacing
from service.schemas.surface import LayerBase
from service.units.ticks import ceiling, down


class BattenRules(BoardRules):
    batten_spacing: Spacing | None = None


class BattenLayer(LayerBase):
    kind: Literal["battens"]
    rules: BattenRules | None = None


class BattenRulings(BoardRulings):
    __slots__ = ()

    batten_spacing = Ruling(int)


@dataclass(frozen=True, slots=True)
class Batten:
    """A piece of a batten: its number, its shape in stations, and the members that it crosses."""

    id: str
    number: int
    shape: Polygon
    crossings: int


@dataclass(frozen=True, slots=True)
class Battens:
    frame: Frame
    all: tuple[Batten, ...]


BattenTask = Task[BattenLayer, BoardProduct, BattenRulings]
LaidBattens = LaidLayer[BattenTask, Battens]
PlacedBattens = Placed[LaidBattens, None]


def lay(task: BattenTask, said: Remarks) -> LaidBattens:
    """A batten at each spacing, in equal pieces where it is longer than the longest stock."""
    member = task.ground.bearings[0]
    direction = Fraction(round(degrees(atan2(member.b, member.a)), 6)) % 180
    frame = frame_of(task.surface.outline, direction)
    region = frame.region(task.surface.parts)
    low, high, near, far = bounds(region)
    wide, spacing = task.product.overall, task.rules.batten_spacing
    boxes = [(low, high, v, v + wide) for v in range(near, far - wide + 1, spacing)]
    found = []
    for number, parts in enumerate(clip_to_boxes(region, boxes), 1):
        shapes = [one for part in parts for one in _pieces(part, task)]
        for k, shape in enumerate(shapes, 1):
            line = line_of(bearings_of(task.ground.bearings, frame), shape.box[2] + wide // 2)
            crossed = len(line.touched(shape.box[0], shape.box[1], 1))
            found.append(Batten(f"{task.at}.{number}.1.{k}", number, shape, crossed))
    covered = sum(one.shape.twice_area for one in found)
    detail = Battens(frame, tuple(found))
    bearings = tuple(_bearing(frame, v + wide // 2, wide) for _, _, v, _ in boxes)
    return LaidLayer(
        task=task, direction=direction, frame=frame, areas=Areas(covered, covered), openings=(),
        courses=(), alternatives=(), detail=detail,
        offered=Offered(task.product.thickness, bearings=bearings),
    )  # fmt: skip


def _bearing(frame: Frame, at: int, wide: int) -> Member:
    """A batten as the line that bears what is laid on it."""
    (a, b), (x, y) = frame.across, frame.back((0, at))
    return Member(a, b, round(a * x + b * y), wide)


def _pieces(part: Polygon, task: BattenTask) -> list[Polygon]:
    low, high = part.box[:2]
    trim = task.rules.joint_trim
    longest = max(stock.length for stock in task.product.stock) - 2 * trim
    count = ceiling(Fraction(high - low, longest))
    cuts = [low + (high - low) * k // count for k in range(1, count)]
    return [piece for own in cut_across(part, cuts) for piece in own]


def needs(layer: LaidBattens) -> tuple[Need, ...]:
    step = layer.task.rules.cut_to
    return (BOARD.need(layer.task, Lengths({one.id: _cut(one, step) for one in layer.detail.all})),)


def _cut(batten: Batten, step: int) -> int:
    return down(batten.shape.box[1] - batten.shape.box[0], step)


def place(
    layer: LaidBattens, shares: Sequence[BoardShare], books: Books, said: Remarks
) -> PlacedBattens:
    """Every piece with its stick; what the walls take of it is a mitre."""
    (share,), task = shares, layer.task
    page = books[task.product.id].of(task.surface.id)
    rows = []
    for one in layer.detail.all:
        low, high, near, far = one.shape.box
        cut, extent, wide = _cut(one, task.rules.cut_to), high - low, task.product.overall
        page.enter("installed", one.shape.twice_area)
        page.enter("mitre", 2 * extent * wide - one.shape.twice_area)
        page.enter("fit", 2 * wide * (cut - extent))
        rows.append(
            PieceRow(
                id=one.id, run=one.id.rpartition(".")[0], surface=task.surface.id,
                layer=task.layer_id, product=task.product.id, course=one.number, near=near,
                far=far, low=low, high=high, cut=cut, ends=("square", "square"), rip="none",
                notches=0, holes=0, rings=one.shape.rings, twice_area=one.shape.twice_area,
                bearings=one.crossings, stick=share.sticks[one.id], cuts=ends_of((one.shape,)),
            )
        )  # fmt: skip
    return Placed(laid=layer, pieces=tuple(rows), detail=None)


def fasten(placed: PlacedBattens, said: Remarks) -> tuple[FastenerRow, ...]:
    task = placed.laid.task
    row = FastenerRow(
        surface=task.surface.id, layer=task.layer_id, product=None, where="field", pattern="face",
        place="face", spacing=None, count=sum(one.bearings for one in placed.pieces),
        counted="crossings", reach=None,
    )  # fmt: skip
    return (row,)


def draw(placed: PlacedBattens, unit: str) -> DrawnLayer:
    frame = placed.laid.detail.frame
    marks = tuple(
        DrawnPiece((frame.ring_back(one.shape.outer),), one.id.split(".", 2)[2])
        for one in placed.laid.detail.all
    )
    return DrawnLayer(placed.laid.task.layer_id, "battens", marks, ("battens from edge to edge",))


def violations(placed: PlacedBattens) -> tuple[str, ...]:
    return ()


KIND = Kind(
    name="battens",
    title="Battens",
    layer=BattenLayer,
    rules=BattenRules,
    rulings=BattenRulings,
    named={"product": "board"},
    lay=lay,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    violations=violations,
    folder=Path(__file__).parent,
)
