"""From a layer's share of the sticks to rows: every piece of a strap, splice and line."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from service.geometry.ends import End, ends_of
from service.geometry.wall_corners import bevel_at
from service.products.goods.lumber import FORM as LUMBER
from service.products.goods.lumber.needs import LumberShare, Need
from service.products.kinds.strapping.findings import say_loose
from service.products.kinds.strapping.records import LaidStraps, PlacedStraps, Strap
from service.products.layer import Books, Placed
from service.products.remarks import Remarks
from service.products.rows import JointRow, PieceRow, RunRow
from service.products.saw_rows import SawRow, angled_ends, bevelled_ends
from service.products.sticks.needs import Lengths
from service.units.ticks import down


def needs(layer: LaidStraps) -> tuple[Need, ...]:
    """The cut lengths of all pieces."""
    return (LUMBER.need(layer.task, Lengths({one.id: _cut(layer, one) for one in _all(layer)})),)


def _all(layer: LaidStraps) -> tuple[Strap, ...]:
    return layer.detail.straps


def _cut(layer: LaidStraps, one: Strap) -> int:
    return down(one.high - one.low, layer.task.rules.cut_to)


def place(
    layer: LaidStraps, shares: Sequence[LumberShare], books: Books, said: Remarks
) -> PlacedStraps:
    """Every piece with its stick, every splice and every line."""
    (share,), task = shares, layer.task
    say_loose(task, layer.detail, said)
    page = books[task.product.id].of(task.surface.id)
    for one in _all(layer):
        page.enter("installed", one.high - one.low)
        page.enter("fit", _cut(layer, one) - (one.high - one.low))
    return Placed(
        laid=layer,
        runs=tuple(_runs(layer)),
        pieces=tuple(_piece(layer, one, share.sticks[one.id]) for one in _all(layer)),
        joints=tuple(_joints(layer)),
        detail=None,
    )


def _piece(layer: LaidStraps, one: Strap, stick: str) -> PieceRow:
    task = layer.task
    low, high, near, far = one.shape.box
    cuts = ends_of((one.shape,))
    first, last = ("square" if end.angle == 0 else "mitred" for end in cuts)
    return PieceRow(
        id=one.id,
        run=_run(one),
        surface=task.surface.id,
        layer=task.layer_id,
        product=task.product.id,
        course=one.line,
        near=near,
        far=far,
        low=low,
        high=high,
        cut=_cut(layer, one),
        ends=(first, last),
        rip="none",
        notches=0,
        holes=0,
        rings=() if one.shape.is_box else one.shape.rings,
        twice_area=one.shape.twice_area,
        bearings=len(one.crossed),
        stick=stick,
        cuts=cuts,
        work=_sawn(layer, one, cuts),
    )


def _sawn(layer: LaidStraps, one: Strap, cuts: tuple[End, End]) -> tuple[SawRow, ...]:
    """Its angles along walls, and its bevels at corners of walls (3.16), from its left end."""
    corners, order = layer.detail.corners, -1 if layer.frame.left_handed else 1
    low, high, near, far = one.shape.box
    ends = (((at, near), (at, far)) for at in (low, high))
    first, last = [bevel_at(end, corners) for end in ends][::order]
    left, right = cuts[::order]
    return (
        *angled_ends((left, right), ("near", "far")),
        *bevelled_ends((first, last), layer.task.product.thickness),
    )


def _run(one: Strap) -> str:
    return one.id.rpartition(".")[0]


def _runs(layer: LaidStraps) -> Iterator[RunRow]:
    for name, alike in groupby(_all(layer), key=_run):
        own = list(alike)
        _, _, near, far = own[0].shape.box
        yield RunRow(
            id=name,
            surface=layer.task.surface.id,
            layer=layer.task.layer_id,
            course=own[0].line,
            near=near,
            far=far,
            low=own[0].low,
            high=own[-1].high,
            bearings=len({place for one in own for place in one.crossed}),
            pieces=len(own),
        )


def _joints(layer: LaidStraps) -> Iterator[JointRow]:
    """Every splice, on the member that carries it."""
    spliced: dict[int, list[int]] = defaultdict(list)
    met = [(a, b) for a, b in pairwise(_all(layer)) if _run(a) == _run(b)]
    for a, _ in met:
        spliced[a.line].append(a.high)
    for a, b in met:
        line = layer.detail.bearings[a.line - 1]
        yield JointRow(
            surface=layer.task.surface.id,
            layer=layer.task.layer_id,
            course=a.line,
            between=(a.id, b.id),
            at=a.high,
            on="framing",
            bearing=line.numbers[line.stations.index(a.high)],
            offset_before=_nearest(a.high, spliced[a.line - 1]),
            offset_after=_nearest(a.high, spliced[a.line + 1]),
            offset_repeat=_nearest(a.high, spliced[a.line - 2]),
        )


def _nearest(at: int, others: Sequence[int]) -> int | None:
    return min((abs(at - other) for other in others), default=None)
