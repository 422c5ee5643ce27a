"""Rolls for all layers of one wrap: strips off rolls, then rows, tape, order and ledger."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from service.cutting.records import Stock
from service.cutting.rolls import Laps, Length, RollPiece, RollPlan, roll_out
from service.cutting.solve import EFFORTS
from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.plane import clip_to_boxes, intersection
from service.geometry.rings import Region, twice_area
from service.geometry.strips import refined
from service.layout.widths import Strip, Width
from service.products.costs import Planned, as_laid, plan_row
from service.products.kind import LaidLayer, Said, Settings, Supplied
from service.products.kinds.wrap.counting import account_for, compare, order_of
from service.products.kinds.wrap.rolling import (
    laps_of,
    least_any_way,
    lengths_of,
    numbered,
    rolls_of,
)
from service.products.kinds.wrap.taping import taped
from service.products.rows import JointRow, PieceRow, RunRow, StickRow
from service.products.same_length import cheapest_first, rows_taken, saved
from service.products.stock import stock_short
from service.units.writing import both

if TYPE_CHECKING:
    from service.products.kinds.wrap.laying import Wrap


@dataclass(frozen=True, slots=True)
class Piece:
    """One placed piece: its width and reach, and the box that it is the first to cover.

    `zone` is low, high, near and far in stations; `covers` what of the surface lies in it, and
    `cut` twice the area that openings take of that.
    """

    id: str
    roll: int
    width: Width
    strip: Strip
    low: int
    high: int
    zone: tuple[int, int, int, int]
    covers: Region
    cut: int


def supply(layers: Sequence[LaidLayer], settings: Settings, said: Said) -> Supplied:
    """Pieces, rolls, tape, order and ledger of one wrap; TradeRefused where rolls are short."""
    task = layers[0].task
    stocks, objective = rolls_of(task, settings)
    laps = laps_of(task)
    strips = numbered(layers)
    lengths = lengths_of(strips)
    plan = roll_out(lengths, stocks, laps, EFFORTS[settings.effort])
    if plan is None:
        raise _short(layers, lengths, stocks, laps)
    plan = _cheapest_first(plan, stocks)
    made = Supplied(task.product.id, tuple(layers))
    pieces = _pieces(layers, strips, plan)
    made.details = pieces
    names = _names(task.product.id, plan, stocks)
    made.sticks = _rolls(layers, pieces, plan, stocks, names)
    for layer, own in zip(layers, pieces, strict=True):
        made.pieces += tuple(_piece(layer, piece, names) for piece in own)
        made.runs += tuple(_runs(layer, own, laps))
        made.joints += tuple(_joints(layer, own))
        made.consumables += taped(layer, own, said)
    bound = least_any_way(layers, stocks, laps, plan.bound)
    by_price = objective.measured_in == "money"
    taken = rows_taken(task, plan.rolls, stocks, by_price=by_price)
    made.order, extra = order_of(task, taken, said)
    planned = Planned(plan.cost, bound, plan.work, len(made.sticks))
    row = plan_row(task, planned, objective, "roll", made.order, extra)
    laid = bound < plan.bound
    made.plans = (
        as_laid(row, plan.bound, objective, task.unit, ("roll", "widths")) if laid else row,
    )
    account_for(made, extra)
    made.compared = (compare(made),)
    return made


def _cheapest_first(plan: RollPlan, stocks: Sequence[Stock]) -> RollPlan:
    """Of rolls as long the cheapest are used up first."""
    rolls = cheapest_first(plan.rolls, stocks)
    return replace(plan, rolls=rolls, cost=plan.cost - saved(plan.rolls, rolls, stocks))


def _names(product: str, plan: RollPlan, stocks: Sequence[Stock]) -> list[str]:
    return [f"{product}-{k + 1}" for k in range(len(plan.rolls))]


def _pieces(
    layers: Sequence[LaidLayer], strips: Sequence[tuple[int, Strip]], plan: RollPlan
) -> tuple[tuple[Piece, ...], ...]:
    """The pieces of each layer, each with what it is the first to cover."""
    off: dict[int, list[RollPiece]] = defaultdict(list)
    for piece in plan.pieces:
        off[piece.strip].append(piece)
    found: list[list[Piece]] = [[] for _ in layers]
    for k, (number, strip) in enumerate(strips):
        found[number] += _of_strip(layers[number], strip, off[k])
    return tuple(tuple(own) for own in found)


def _of_strip(layer: LaidLayer, strip: Strip, own: Sequence[RollPiece]) -> list[Piece]:
    wrap: Wrap = layer.detail
    width = wrap.widths[strip.width - 1]
    near, far = width.own
    starts = [strip.low, *(piece.high for piece in own[:-1])]
    zones = [(a, piece.high, near, far) for a, piece in zip(starts, own, strict=True)]
    open_surface = _surface(wrap, zones)
    return [
        Piece(
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


def _surface(wrap: Wrap, zones: Sequence[tuple[int, int, int, int]]) -> list[Region]:
    """What of the surface lies in each zone, openings and all."""
    region = refined(wrap.outline, sorted({at for zone in zones for at in zone[:2]}), axis=0)
    region = refined(region, sorted({at for zone in zones for at in zone[2:]}), axis=1)
    return clip_to_boxes(region, list(zones))


def _rolls(
    layers: Sequence[LaidLayer],
    pieces: Sequence[Sequence[Piece]],
    plan: RollPlan,
    stocks: Sequence[Stock],
    names: Sequence[str],
) -> tuple[StickRow, ...]:
    """Roll rows with their strips in the order in which they come off."""
    keep = layers[0].task.rules.get("reuse_from")
    of_roll: dict[int, list[Piece]] = defaultdict(list)
    for own in pieces:
        for piece in own:
            of_roll[piece.roll].append(piece)
    rows = []
    for number, stock in enumerate(plan.rolls):
        cuts = tuple(piece.high - piece.low for piece in of_roll[number])
        rest = stocks[stock].length - sum(cuts)
        rows.append(
            StickRow(
                stick=names[number],
                product=layers[0].task.product.id,
                length=stocks[stock].length,
                pieces=tuple(piece.id for piece in of_roll[number]),
                cuts=cuts,
                kerfs=0,
                kerf=0,
                end_trim=0,
                rest=rest,
                kept=rest > 0 and rest >= keep,
            )
        )
    return tuple(rows)


def _piece(layer: LaidLayer, piece: Piece, names: Sequence[str]) -> PieceRow:
    task, width, strip = layer.task, piece.width, piece.strip
    near, far = (width.low, width.high) if width.starts_low else (width.high, width.low)
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
        cut_width=width.high - width.low,
    )


def _runs(layer: LaidLayer, pieces: Sequence[Piece], laps: Laps) -> list[RunRow]:
    task = layer.task
    rows = []
    for strip, alike in groupby(pieces, key=lambda piece: piece.strip):
        own = list(alike)
        width = own[0].width
        near, far = (width.low, width.high) if width.starts_low else (width.high, width.low)
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


def _joints(layer: LaidLayer, pieces: Sequence[Piece]) -> list[JointRow]:
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


def _short(
    layers: Sequence[LaidLayer], lengths: Sequence[Length], stocks: Sequence[Stock], laps: Laps
) -> TradeRefused:
    """The rolls at hand do not reach, or are too short to be spliced."""

    def needed(number: int) -> int | None:
        free = [replace(s, supply=None) if k == number else s for k, s in enumerate(stocks)]
        plan = roll_out(lengths, free, laps, EFFORTS["quick"])
        return None if plan is None else plan.rolls.count(number)

    if roll_out(lengths, [replace(s, supply=None) for s in stocks], laps, EFFORTS["quick"]) is None:
        return _too_short(layers, lengths, stocks, laps)
    return stock_short(layers[0].task, stocks, "rolls", needed)


def _too_short(
    layers: Sequence[LaidLayer], lengths: Sequence[Length], stocks: Sequence[Stock], laps: Laps
) -> TradeRefused:
    """No roll is long enough to be spliced: how long one must be to cover any strip whole."""
    task = layers[0].task
    longest = max(stocks, key=lambda stock: stock.length)
    wanted = max(strip.high - strip.low for strip in lengths)
    at = f"{task.product_pointer}/stock/{longest.key}/length"
    return TradeRefused(
        Fault(
            "roll-too-short",
            f"rolls of {both(longest.length)} are too short to be spliced: each lap takes "
            f"{both(laps.end)}, {both(laps.offset)} away from those of the next width; a roll as "
            f"long as the longest strip, {both(wanted)}, needs none",
            at,
            cure=Cure(at, Ticks(wanted)),
            rule="13.3",
            measure=longest.length,
            limit=wanted,
        )
    )
