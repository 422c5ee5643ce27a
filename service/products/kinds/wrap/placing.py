"""From a layer's share of the rolls to rows: every placed piece, every end lap, every width."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import groupby, pairwise

from service.cutting.rolls import Laps, RollPiece
from service.geometry.ends import square_ends
from service.geometry.plane import clip_to_boxes, intersection
from service.geometry.rings import Region, twice_area
from service.geometry.strips import refined
from service.layout.widths import RollStrip
from service.products.goods.roll import FORM as ROLL
from service.products.goods.roll.needs import Need, RollShare, Widths
from service.products.kinds.wrap.accounts import account_for
from service.products.kinds.wrap.records import LaidWrap, PlacedWrap, Wrap, WrapPiece
from service.products.kinds.wrap.tape import taped
from service.products.layer import Books, Placed
from service.products.remarks import Remarks
from service.products.rows import JointRow, PieceRow, RunRow


def needs(layer: LaidWrap) -> tuple[Need, ...]:
    """The strips of all widths, and those of every other way in which the wrap could run."""
    wrap: Wrap = layer.detail
    return (ROLL.need(layer.task, Widths(strips=wrap.strips, tried=wrap.tried)),)


def place(layer: LaidWrap, shares: Sequence[RollShare], books: Books, said: Remarks) -> PlacedWrap:
    """Every piece, end lap and width of one layer, and its tape, from its share of the rolls."""
    (share,) = shares
    wrap: Wrap = layer.detail
    pieces = tuple(
        piece
        for strip, own in zip(wrap.strips, share.off, strict=True)
        for piece in _of_strip(layer, strip, own)
    )
    account_for(layer, pieces, books[layer.task.product.id])
    return Placed(
        laid=layer,
        runs=tuple(_runs(layer, pieces, share.laps)),
        pieces=tuple(_piece(layer, piece, share.rolls) for piece in pieces),
        joints=tuple(_joints(layer, pieces)),
        consumables=taped(layer, pieces, said),
        detail=pieces,
    )


def _of_strip(layer: LaidWrap, strip: RollStrip, own: Sequence[RollPiece]) -> list[WrapPiece]:
    wrap: Wrap = layer.detail
    width = wrap.widths[strip.width - 1]
    near, far = width.own
    starts = [strip.low, *(piece.high for piece in own[:-1])]
    zones = [(a, piece.high, near, far) for a, piece in zip(starts, own, strict=True)]
    open_surface = _surface(wrap.bays[strip.bay].outline, zones)
    return [
        WrapPiece(
            id=f"{layer.task.at}.{strip.width}.{strip.number}.{k + 1}",
            roll=piece.roll,
            width=width,
            strip=strip,
            low=piece.low,
            high=piece.high,
            zone=zone,
            covers=covers,
            cut=twice_area(intersection(covers, wrap.open)),
        )
        for k, (piece, zone, covers) in enumerate(zip(own, zones, open_surface, strict=True))
    ]


def _surface(outline: Region, zones: Sequence[tuple[int, int, int, int]]) -> list[Region]:
    """What of the surface lies in each zone, openings and all."""
    region = refined(outline, sorted({at for zone in zones for at in zone[:2]}), axis=0)
    region = refined(region, sorted({at for zone in zones for at in zone[2:]}), axis=1)
    return clip_to_boxes(region, list(zones))


def _piece(layer: LaidWrap, piece: WrapPiece, names: Sequence[str]) -> PieceRow:
    task, strip = layer.task, piece.strip
    low, high = layer.detail.across(strip)
    near, far = (low, high) if piece.width.starts_low else (high, low)
    return PieceRow(
        id=piece.id,
        run=f"{task.at}.{strip.width}.{strip.number}",
        surface=task.surface.id,
        layer=task.layer_id,
        product=task.product.id,
        course=strip.width,
        near=near,
        far=far,
        low=piece.low,
        high=piece.high,
        cut=piece.high - piece.low,
        ends=("square", "square"),
        rip="none",
        notches=0,
        holes=0,
        rings=(),
        twice_area=twice_area(piece.covers) - piece.cut,
        bearings=0,
        stick=names[piece.roll],
        cuts=square_ends(piece.low, piece.high),
        cut_width=high - low,
    )


def _runs(layer: LaidWrap, pieces: Sequence[WrapPiece], laps: Laps) -> list[RunRow]:
    task = layer.task
    rows = []
    for strip, alike in groupby(pieces, key=lambda piece: piece.strip):
        own = list(alike)
        low, high = layer.detail.across(strip)
        near, far = (low, high) if own[0].width.starts_low else (high, low)
        rows.append(
            RunRow(
                id=f"{task.at}.{strip.width}.{strip.number}",
                surface=task.surface.id,
                layer=task.layer_id,
                course=strip.width,
                near=near,
                far=far,
                low=strip.low,
                high=strip.high,
                bearings=0,
                pieces=len(own),
                gap=-laps.end,
            )
        )
    return rows


def _joints(layer: LaidWrap, pieces: Sequence[WrapPiece]) -> list[JointRow]:
    """End laps, at the end of the piece that was laid first."""
    task = layer.task
    ends: dict[int, list[int]] = defaultdict(list)
    pairs = [(a, b) for a, b in pairwise(pieces) if a.strip is b.strip]
    for a, _ in pairs:
        ends[a.strip.width].append(a.high)

    def offset(at: int, width: int) -> int | None:
        return min((abs(at - other) for other in ends.get(width, ())), default=None)

    return [
        JointRow(
            surface=task.surface.id,
            layer=task.layer_id,
            course=a.strip.width,
            between=(a.id, b.id),
            at=a.high,
            on="lap",
            bearing=None,
            offset_before=offset(a.high, a.strip.width - 1),
            offset_after=offset(a.high, a.strip.width + 1),
            offset_repeat=offset(a.high, a.strip.width - 2),
        )
        for a, b in pairs
    ]
