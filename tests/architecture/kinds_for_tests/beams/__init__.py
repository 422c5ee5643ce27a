"""A kind that exists only in the tests: beams over a surface, which take away what they cover."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Literal

from service.geometry.ends import ends_of
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import clip_to_boxes, union
from service.geometry.rings import Polygon, bounds
from service.geometry.strips import cut_across, refined
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
from service.schemas.bounds import Margin, Spacing
from service.schemas.surface import LayerBase
from service.units.ticks import down


class BeamRules(LumberRules):
    beam_spacing: Spacing | None = None
    beam_short: Margin | None = None


class BeamLayer(LayerBase):
    kind: Literal["beams"]
    direction: Literal[0, 90]
    rules: BeamRules | None = None


class BeamRulings(LumberRulings):
    __slots__ = ()

    beam_spacing = Ruling(int)
    beam_short = Ruling(int)


@dataclass(frozen=True, slots=True)
class Beams:
    """The frame, and each piece of a beam by its id."""

    frame: Frame
    places: dict[str, Polygon]


BeamTask = Task[BeamLayer, LumberProduct, BeamRulings]
LaidBeams = LaidLayer[BeamTask, Beams]
PlacedBeams = Placed[LaidBeams, None]


def lay(task: BeamTask, said: Remarks) -> LaidBeams:
    """A beam at each spacing; what it lies on is no longer there for what follows."""
    frame = frame_of(task.surface.outline, Fraction(task.layer.direction))
    places = {
        f"{task.at}.{number}.{k}.{j}": piece
        for number, parts in enumerate(_beams(task, frame), 1)
        for k, part in enumerate(parts, 1)
        for j, piece in enumerate(_pieces(part, task), 1)
    }
    covered = sum(one.twice_area for one in places.values())
    cuts = union([(Polygon(frame.ring_back(one.outer)),) for one in places.values()])
    return LaidLayer(
        task=task, direction=Fraction(task.layer.direction), frame=frame,
        areas=Areas(covered, covered), openings=(), courses=(), alternatives=(),
        detail=Beams(frame, places), offered=Offered(task.product.thickness, cuts=cuts),
    )  # fmt: skip


def _beams(task: BeamTask, frame: Frame) -> list[tuple[Polygon, ...]]:
    """What of the surface lies under each beam, from one end of it to the other."""
    region = frame.region(task.surface.parts)
    low, high, near, far = bounds(frame.region((Polygon(task.surface.outline),)))
    wide, spacing, short = task.product.width, task.rules.beam_spacing, task.rules.beam_short
    boxes = [
        (low + short, high - short, v, v + wide)
        for v in range(near + spacing, far - wide, spacing)
        if low + short < high - short
    ]
    lines = sorted({edge for box in boxes for edge in box[2:]})
    return clip_to_boxes(refined(region, lines, axis=1), boxes)


def _pieces(part: Polygon, task: BeamTask) -> list[Polygon]:
    """A beam in as few equal pieces as the longest stick gives."""
    low, high = part.box[:2]
    longest = max(stock.length for stock in task.product.stock) - 2 * task.rules.end_trim
    count = -(-(high - low) // longest)
    cuts = [low + (high - low) * k // count for k in range(1, count)]
    return [piece for own in cut_across(part, cuts) for piece in own]


def needs(layer: LaidBeams) -> tuple[Need, ...]:
    step = layer.task.rules.cut_to
    cut = {name: down(one.box[1] - one.box[0], step) for name, one in layer.detail.places.items()}
    return (LUMBER.need(layer.task, Lengths(cut)),) if cut else ()


def place(
    layer: LaidBeams, shares: Sequence[LumberShare], books: Books, said: Remarks
) -> PlacedBeams:
    """Every beam with its stick: what is booked is its length."""
    task = layer.task
    rows = []
    for share, need in zip(shares, needs(layer), strict=True):
        page = books[task.product.id].of(task.surface.id)
        for name, one in layer.detail.places.items():
            low, high, near, far = one.box
            cut = need.wanted.pieces[name]
            page.enter("installed", high - low)
            page.enter("fit", cut - (high - low))
            rows.append(
                PieceRow(
                    id=name, run=name.rpartition(".")[0], surface=task.surface.id,
                    layer=task.layer_id, product=task.product.id,
                    course=int(name.split(".")[-3]), near=near, far=far, low=low, high=high,
                    cut=cut, ends=("square", "square"), rip="none", notches=0, holes=0,
                    rings=one.rings, twice_area=one.twice_area, bearings=0,
                    stick=share.sticks[name], cuts=ends_of((one,)),
                )
            )  # fmt: skip
    return Placed(laid=layer, pieces=tuple(rows), detail=None)


def fasten(placed: PlacedBeams, said: Remarks) -> tuple[FastenerRow, ...]:
    task = placed.laid.task
    row = FastenerRow(
        surface=task.surface.id, layer=task.layer_id, product=None, where="field", pattern="face",
        place="face", spacing=None, count=2 * len(placed.pieces), counted="ends", reach=None,
    )  # fmt: skip
    return (row,)


def draw(placed: PlacedBeams, unit: str) -> DrawnLayer:
    frame = placed.laid.detail.frame
    marks = tuple(
        DrawnPiece((frame.ring_back(one.outer),), name.split(".", 2)[2])
        for name, one in placed.laid.detail.places.items()
    )
    return DrawnLayer(placed.laid.task.layer_id, "beams", marks, ("bays between them",))


def violations(placed: PlacedBeams) -> tuple[str, ...]:
    return ()


KIND = Kind(
    name="beams",
    title="Beams",
    layer=BeamLayer,
    rules=BeamRules,
    rulings=BeamRulings,
    named={"product": "lumber"},
    lay=lay,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    violations=violations,
    folder=Path(__file__).parent,
)
