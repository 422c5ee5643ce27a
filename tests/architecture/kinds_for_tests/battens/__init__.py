"""A kind that exists only in the tests: battens across a rectangle, one stick each."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Literal

from service.ledger.book import Ledger
from service.order.lines import bought
from service.products.buying import close_books
from service.products.drawing import DrawnLayer, Piece
from service.products.form import Form
from service.products.kind import Areas, Kind, LaidLayer, Said, Settings, Supplied, Task
from service.products.rows import FastenerRow, OrderRow, PieceRow, StickRow
from service.schemas.base import Asked
from service.schemas.quantities import Length, Name
from service.schemas.surface import LayerBase


class BattenRules(Asked):
    batten_spacing: Length | None = None


class BattenLayer(LayerBase):
    kind: Literal["battens"]
    rules: BattenRules | None = None


class BattenProduct(Asked):
    id: Name
    form: Literal["batten"]
    width: Length
    length: Length


def lay(task: Task, said: Said) -> LaidLayer:
    """A batten at each spacing, from edge to edge of the outline's box."""
    xs = [x for x, _ in task.surface.outline]
    ys = [y for _, y in task.surface.outline]
    spacing = task.rules.get("batten_spacing")
    places = list(range(min(xs), max(xs) - task.product.width, spacing))
    installed = 2 * task.product.width * (max(ys) - min(ys)) * len(places)
    detail = (places, min(ys), max(ys))
    return LaidLayer(task, Fraction(90), Areas(installed, installed), (), (), detail)


def supply(layers: Sequence[LaidLayer], settings: Settings, said: Said) -> Supplied:
    product = layers[0].task.product
    made = Supplied(product.id, tuple(layers), details=tuple(layer.detail for layer in layers))
    made.pieces = tuple(row for layer in layers for row in _pieces(layer))
    made.sticks = tuple(_stick(row, product) for row in made.pieces)
    line = bought(len(made.pieces))
    item = OrderRow(
        product=product.id,
        form="batten",
        item=product.id,
        length=product.length,
        bought=line,
        price=None,
        weight=None,
    )
    made.order = (item,)
    ledger = Ledger(product.id)
    for row, stick in zip(made.pieces, made.sticks, strict=True):
        ledger.of(row.surface).enter("installed", row.twice_area)
        ledger.enter("short_rest", 2 * product.width * stick.rest)
    close_books(made, ledger, product.width, {"cull": 0, "spare": 0, "surplus": 0})
    return made


def _pieces(layer: LaidLayer) -> list[PieceRow]:
    task = layer.task
    places, low, high = layer.detail
    width = task.product.width
    return [
        PieceRow(
            id=f"{task.at}.{k + 1}.1.1",
            run=f"{task.at}.{k + 1}.1",
            surface=task.surface.id,
            layer=task.layer_id,
            product=task.product.id,
            course=k + 1,
            near=x,
            far=x + width,
            low=low,
            high=high,
            cut=high - low,
            ends=("square", "square"),
            rip="none",
            notches=0,
            holes=0,
            rings=(),
            twice_area=2 * width * (high - low),
            bearings=0,
            stick=f"{task.product.id}-{task.at}-{k + 1}",
        )
        for k, x in enumerate(places)
    ]


def _stick(row: PieceRow, product: BattenProduct) -> StickRow:
    rest = product.length - row.cut
    return StickRow(
        stick=row.stick,
        product=product.id,
        length=product.length,
        pieces=(row.id,),
        cuts=(row.cut,),
        kerfs=0,
        kerf=0,
        end_trim=0,
        rest=rest,
        kept=False,
    )


def fasten(supplied: Supplied, index: int, said: Said) -> tuple[FastenerRow, ...]:
    return ()


def draw(supplied: Supplied, index: int, unit: str) -> DrawnLayer:
    layer = supplied.layers[index]
    marks = tuple(
        Piece((((r.near, r.low), (r.far, r.low), (r.far, r.high), (r.near, r.high)),), r.id)
        for r in supplied.pieces
        if r.surface == layer.task.surface.id
    )
    return DrawnLayer(layer.task.layer_id, "battens", marks, ("battens from edge to edge",))


def broken(supplied: Supplied) -> tuple[str, ...]:
    return ()


FORM = Form(name="batten", goods="battens", spec=BattenProduct, folder=Path(__file__).parent)

KIND = Kind(
    name="battens",
    title="Battens",
    layer=BattenLayer,
    rules=BattenRules,
    named={"product": "batten"},
    lay=lay,
    supply=supply,
    fasten=fasten,
    draw=draw,
    broken=broken,
    folder=Path(__file__).parent,
)
