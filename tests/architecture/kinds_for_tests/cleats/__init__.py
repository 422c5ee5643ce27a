"""A kind that exists only in the tests: a cleat in each clear bay along the low side, of lumber."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Literal

from service.geometry.ends import ends_of
from service.geometry.frame import Frame, frame_of
from service.geometry.rings import Polygon, bounds, rectangle
from service.layout.bearings import bearings_of
from service.products.backing import Backer, straight
from service.products.drawing import DrawnLayer, DrawnPiece
from service.products.goods.lumber import FORM as LUMBER
from service.products.goods.lumber.needs import LumberShare, Need
from service.products.goods.lumber.rulings import LumberRulings
from service.products.goods.lumber.spec import LumberProduct, LumberRules
from service.products.ground import Offered
from service.products.kind import Kind
from service.products.layer import Areas, Books, LaidLayer, Placed, Task
from service.products.remarks import Remarks
from service.products.rows import FastenerRow, PieceRow
from service.products.rulings import Ruling
from service.products.sticks.needs import Lengths
from service.schemas.bounds import Margin
from service.schemas.surface import LayerBase
from service.units.ticks import down


class CleatRules(LumberRules):
    cleat_play: Margin | None = None


class CleatLayer(LayerBase):
    kind: Literal["cleats"]
    rules: CleatRules | None = None


class CleatRulings(LumberRulings):
    __slots__ = ()

    cleat_play = Ruling(int)


@dataclass(frozen=True, slots=True)
class Cleats:
    """The frame, and each cleat's place by its id."""

    frame: Frame
    places: dict[str, Polygon]


CleatTask = Task[CleatLayer, LumberProduct, CleatRulings]
LaidCleats = LaidLayer[CleatTask, Cleats]
PlacedCleats = Placed[LaidCleats, None]


def lay(task: CleatTask, said: Remarks) -> LaidCleats:
    """From face to face of the members that stand upright behind a level surface."""
    frame = frame_of(task.surface.outline, Fraction(0))
    whole = frame.region((Polygon(task.surface.outline),))
    sides = [(one.base - one.half, one.base + one.half)
             for one in bearings_of(task.ground.bearings, frame)]  # fmt: skip
    play, near = task.rules.cleat_play, bounds(whole)[2]
    boxes = [(a[1], near, b[0] - play, near + task.product.width) for a, b in pairwise(sides)]
    places = {f"{task.at}.1.{k}.1": Polygon(rectangle(*box)) for k, box in enumerate(boxes, 1)}
    covered = sum(one.twice_area for one in places.values())
    return LaidLayer(
        task=task, direction=Fraction(0), frame=frame, areas=Areas(covered, covered), openings=(),
        courses=(), alternatives=(), detail=Cleats(frame, places), offered=Offered(),
    )  # fmt: skip


def needs(layer: LaidCleats) -> tuple[Need, ...]:
    step = layer.task.rules.cut_to
    lengths = {name: down(one.box[1] - one.box[0], step)
               for name, one in layer.detail.places.items()}  # fmt: skip
    return (LUMBER.need(layer.task, Lengths(lengths)),)


def place(
    layer: LaidCleats, shares: Sequence[LumberShare], books: Books, said: Remarks
) -> PlacedCleats:
    """Every cleat with its stick: what is booked is its length."""
    (share,), (need,), task = shares, needs(layer), layer.task
    page = books[task.product.id].of(task.surface.id)
    rows = []
    for name, one in layer.detail.places.items():
        low, high, near, far = one.box
        cut = need.wanted.pieces[name]
        page.enter("installed", high - low)
        page.enter("fit", cut - (high - low))
        rows.append(
            PieceRow(
                id=name, run=name.rpartition(".")[0], surface=task.surface.id,
                layer=task.layer_id, product=task.product.id, course=1, near=near, far=far,
                low=low, high=high, cut=cut, ends=("square", "square"), rip="none", notches=0,
                holes=0, rings=(), twice_area=one.twice_area, bearings=2,
                stick=share.sticks[name], cuts=ends_of((one,)),
            )
        )  # fmt: skip
    return Placed(laid=layer, pieces=tuple(rows), detail=None)


def back(placed: PlacedCleats) -> tuple[Backer, ...]:
    """A nailer along the whole low side, for the tests of what stands behind."""
    frame = placed.laid.detail.frame
    low, high, near, _ = bounds(frame.region((Polygon(placed.laid.task.surface.outline),)))
    return (straight(frame.back((low, near)), frame.back((high, near)), "nailer", "wall"),)


def fasten(placed: PlacedCleats, said: Remarks) -> tuple[FastenerRow, ...]:
    task = placed.laid.task
    row = FastenerRow(
        surface=task.surface.id, layer=task.layer_id, product=None, where="field", pattern="face",
        place="face", spacing=None, count=2 * len(placed.pieces), counted="ends", reach=None,
    )  # fmt: skip
    return (row,)


def draw(placed: PlacedCleats, unit: str) -> DrawnLayer:
    frame = placed.laid.detail.frame
    marks = tuple(
        DrawnPiece((frame.ring_back(one.outer),), name.split(".", 2)[2])
        for name, one in placed.laid.detail.places.items()
    )
    return DrawnLayer(placed.laid.task.layer_id, "cleats", marks, ("a cleat in each bay",))


def violations(placed: PlacedCleats) -> tuple[str, ...]:
    return ()


KIND = Kind(
    name="cleats",
    title="Cleats",
    layer=CleatLayer,
    rules=CleatRules,
    rulings=CleatRulings,
    named={"product": "lumber"},
    lay=lay,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    back=back,
    violations=violations,
    folder=Path(__file__).parent,
)
