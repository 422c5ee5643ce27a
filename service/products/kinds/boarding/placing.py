"""From joints and sticks to rows: every placed piece, every joint, every stick."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from service.geometry.rings import Polygon, Region, twice_area
from service.geometry.strips import cut_across
from service.joints.records import Cut, Jointed, JointRules, Places
from service.layout.runs import SNAPPED, Run
from service.products.costs import Planned, plan_row
from service.products.kind import LaidLayer, Said, Supplied
from service.products.kinds.boarding.counting import (
    account_for,
    compare,
    order_of,
)
from service.products.kinds.boarding.laying import Boards
from service.products.kinds.boarding.looking import say_joints, say_shared
from service.products.kinds.boarding.pooling import lost_sides
from service.products.kinds.boarding.sawing import Blade, sawn
from service.products.kinds.boarding.turning import NEARLY_ALONG
from service.products.rows import JointRow, PieceRow, RunRow

if TYPE_CHECKING:
    from service.products.kinds.boarding.solving import Saw, Setting


@dataclass(frozen=True, slots=True)
class Piece:
    """One placed piece before it has a stick: its row's parts, its shape and its run."""

    id: str
    run: Run
    cut: Cut
    shape: Region
    tongue_lost: bool
    groove_lost: bool


@dataclass(frozen=True, slots=True)
class Pieces:
    """The pieces of one layer and the rules that they keep (easings applied).

    `snap` is what squaring them moved, in half square ticks.
    """

    all: tuple[Piece, ...]
    snap: int
    rules: JointRules
    rows: tuple[PieceRow, ...] = ()

    @property
    def by_run(self) -> list[list[str]]:
        """Ids of the pieces, run by run."""
        return [[piece.id for piece in own] for _, own in groupby(self.all, lambda one: one.run)]


def placed(
    chosen: Sequence[Setting],
    solved: Jointed,
    saw: Saw,
    said: Said,
) -> Supplied:
    """All rows of one product."""
    layers = [one.layer for one in chosen]
    cuts = iter(solved.cuts)
    made = [_pieces(one.layer, one.rules, cuts) for one in chosen]
    first = layers[0].task
    product = first.product
    blade = Blade(saw.kerf, first.rules.get("keep_offcut"))
    out = sawn(product.id, solved, [ids for own in made for ids in own.by_run], saw.stocks, blade)
    rows = [
        _rows(layer, pieces, out.of_piece, one.rules.min_touch)
        for layer, pieces, one in zip(layers, made, chosen, strict=True)
    ]
    details = tuple(
        Pieces(pieces.all, pieces.snap, pieces.rules, own)
        for pieces, own in zip(made, rows, strict=True)
    )
    supplied = Supplied(product.id, tuple(layers), details=details)
    supplied.pieces = tuple(row for own in rows for row in own)
    supplied.runs = tuple(_run_row(*one) for one in _with_runs(chosen, details))
    supplied.joints = tuple(
        joint for one, own in zip(chosen, details, strict=True) for joint in _joints(one, own)
    )
    for one, own in zip(chosen, details, strict=True):
        say_joints(one.layer, own, supplied.joints, said)
    supplied.sticks = out.sticks
    say_shared(first, details, out.beside, said)
    plan = solved.plan
    rests = 0 if saw.rests is None else saw.spent(solved) - plan.cost
    runs, joints = len(solved.cuts), len(supplied.pieces) - len(solved.cuts)
    planned = Planned(plan.cost, plan.bound, plan.work, len(plan.sticks), rests, joints, runs)
    supplied.order, extra = order_of(first, saw.rows_taken(solved, first), said)
    supplied.plans = (plan_row(first, planned, saw.objective, "boards", supplied.order, extra),)
    account_for(supplied, extra, layers, details, out.beside, saw.kerf)
    supplied.compared = (compare(layers, supplied, solved.as_you_go, saw.stocks),)
    return supplied


def _pieces(layer: LaidLayer, rules: JointRules, cuts: Iterator[tuple[Cut, ...]]) -> Pieces:
    boards: Boards = layer.detail
    found: list[Piece] = []
    snap = 0
    for run in boards.laid.runs:
        own = next(cuts)
        shapes = cut_across(run.polygon, [cut.low for cut in own[1:]])
        snap += sum(map(twice_area, shapes)) - run.polygon.twice_area
        name = f"{layer.task.at}.{run.course}.{run.number}"
        for k, (cut, shape) in enumerate(zip(own, shapes, strict=True)):
            near = min(polygon.box[2] for polygon in shape)
            far = max(polygon.box[3] for polygon in shape)
            lost = lost_sides(boards, run, near, far)
            found.append(Piece(f"{name}.{k + 1}", run, cut, shape, *lost))
    return Pieces(tuple(found), snap, rules)


def _rows(
    layer: LaidLayer, pieces: Pieces, where: dict[str, str], min_touch: int
) -> tuple[PieceRow, ...]:
    boards: Boards = layer.detail
    last_of = {piece.run.polygon: piece.id for piece in pieces.all}
    return tuple(
        _row(layer, boards, piece, where[piece.id], min_touch, last_of) for piece in pieces.all
    )


def _row(
    layer: LaidLayer,
    boards: Boards,
    piece: Piece,
    stick: str,
    min_touch: int,
    last_of: dict[Polygon, str],
) -> PieceRow:
    cut, run = piece.cut, piece.run
    near = min(polygon.box[2] for polygon in piece.shape)
    far = max(polygon.box[3] for polygon in piece.shape)
    plain = len(piece.shape) == 1 and piece.shape[0].is_box
    rings = () if plain else tuple(ring for polygon in piece.shape for ring in polygon.rings)
    course = boards.course(run)
    if not course.starts_low:
        near, far = far, near
    inside = [one for one in run.cutouts if one.low < cut.high and one.high > cut.low]
    return PieceRow(
        id=piece.id,
        run=f"{layer.task.at}.{run.course}.{run.number}",
        surface=layer.task.surface.id,
        layer=layer.task.layer_id,
        product=layer.task.product.id,
        course=run.course,
        near=near,
        far=far,
        low=cut.low,
        high=cut.high,
        cut=cut.need.length,
        ends=(_end(piece, cut.low), _end(piece, cut.high)),
        rip=_rip(boards, piece),
        notches=sum(one.effect == "notch" for one in inside),
        holes=sum(one.effect == "hole" for one in inside),
        rings=rings,
        twice_area=twice_area(piece.shape),
        bearings=len(boards.line(run).touched(cut.low, cut.high, min_touch)),
        stick=stick,
    )


def _rip(boards: Boards, piece: Piece) -> str:
    if piece.tongue_lost and piece.groove_lost:
        return "both"
    if not (piece.tongue_lost or piece.groove_lost):
        return "none"
    if boards.board.has_tongue:
        return "tongue" if piece.tongue_lost else "groove"
    return "far" if piece.tongue_lost else "near"


def _end(piece: Piece, at: int) -> str:
    """How an end is cut: square, or mitred or shaped to the edge.

    Beside a notch it is square over what is left of the width: the edges that meet it there run
    along the board.
    """
    need = piece.cut.need
    if (need.low_factory and at == piece.cut.low) or (need.high_factory and at == piece.cut.high):
        return "factory"
    points = [p for polygon in piece.shape for p in polygon.outer if abs(p[0] - at) <= SNAPPED]
    spread = max(p[1] for p in points) - min(p[1] for p in points)
    _, _, near, far = piece.shape[0].box
    if spread == far - near or (spread and all(_runs_along(one, at) for one in piece.shape)):
        return "square"
    return "mitred" if len(piece.shape[0].outer) <= 6 else "shaped"


def _runs_along(polygon: Polygon, at: int) -> bool:
    """Whether the edges from the end at station `at` run along the board, give or take a taper."""
    ring = polygon.outer
    sides = [(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
             if (abs(a[0] - at) <= SNAPPED) != (abs(b[0] - at) <= SNAPPED)]  # fmt: skip
    return all(abs(b[1] - a[1]) <= NEARLY_ALONG * abs(b[0] - a[0]) for a, b in sides)


def _with_runs(
    chosen: Sequence[Setting], details: Sequence[Pieces]
) -> list[tuple[LaidLayer, Run, int, int]]:
    """Each run with its layer, how many pieces it has, and the least touch that counts."""
    found = []
    for one, pieces in zip(chosen, details, strict=True):
        count: dict[tuple[int, int], int] = defaultdict(int)
        for piece in pieces.all:
            count[piece.run.course, piece.run.number] += 1
        for run in one.layer.detail.laid.runs:
            found.append((one.layer, run, count[run.course, run.number], one.rules.min_touch))
    return found


def _run_row(layer: LaidLayer, run: Run, pieces: int, min_touch: int) -> RunRow:
    boards: Boards = layer.detail
    _, _, near, far = run.polygon.box
    if not boards.course(run).starts_low:
        near, far = far, near
    task = layer.task
    return RunRow(
        id=f"{task.at}.{run.course}.{run.number}",
        surface=task.surface.id,
        layer=task.layer_id,
        course=run.course,
        near=near,
        far=far,
        low=run.low,
        high=run.high,
        bearings=len(boards.line(run).touched(run.low, run.high, min_touch)),
        pieces=pieces,
    )


def _joints(setting: Setting, pieces: Pieces) -> list[JointRow]:
    """Every joint with the bearing it lands on and the distances to its neighbours."""
    boards: Boards = setting.layer.detail
    pairs = [(a, b) for a, b in zip(pieces.all, pieces.all[1:], strict=False) if a.run is b.run]
    stations: dict[int, list[int]] = defaultdict(list)
    for a, _ in pairs:
        stations[a.run.course].append(a.cut.high)
    for own in stations.values():
        own.sort()
    return [_joint(setting, boards, a, b, stations) for a, b in pairs]


def _joint(
    setting: Setting, boards: Boards, a: Piece, b: Piece, stations: dict[int, list[int]]
) -> JointRow:
    task, course, at = setting.layer.task, a.run.course, a.cut.high
    line = boards.line(a.run)
    place = bisect_left(line.stations, at)
    on_member = place < len(line.stations) and line.stations[place] == at
    kind = setting.rules.places
    names = {Places.FRAMING_OR_BLOCK: "framing" if on_member else "block"}
    return JointRow(
        surface=task.surface.id,
        layer=task.layer_id,
        course=course,
        between=(a.id, b.id),
        at=at,
        on=names.get(kind, kind.value),
        bearing=line.numbers[place] if on_member else None,
        offset_before=_offset(at, stations.get(course - 1)),
        offset_after=_offset(at, stations.get(course + 1)),
        offset_repeat=_offset(at, stations.get(course - 2)),
    )


def _offset(at: int, others: list[int] | None) -> int | None:
    """Distance to the nearest of `others`, or None if there is none."""
    return min((abs(at - other) for other in others), default=None) if others else None
