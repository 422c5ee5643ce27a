"""From a layer's share of the sticks to rows: every placed piece, every joint, every run."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from service.geometry.rings import bounds, twice_area
from service.geometry.strips import cut_across
from service.joints.records import JointRules, Places
from service.layout.runs import Run
from service.products.goods.board.needs import BoardShare
from service.products.goods.lumber.needs import LumberShare
from service.products.kinds.boarding.findings.borne_ends import borne_ends
from service.products.kinds.boarding.joining.joint_runs import ends_of as ends_of_runs
from service.products.kinds.boarding.joining.joint_runs import lost_sides
from service.products.kinds.boarding.joining.jointing import Setting
from service.products.kinds.boarding.records import (
    BoardPiece,
    Boards,
    LaidBoards,
    Pieces,
    PlacedBoards,
)
from service.products.kinds.boarding.rows.accounts import account_for
from service.products.kinds.boarding.rows.crosscuts import Crosscut, Crosscuts
from service.products.kinds.boarding.rows.joint_findings import say_joints, say_wild
from service.products.kinds.boarding.rows.sawing import saw_rows
from service.products.kinds.boarding.starter import starter_of
from service.products.laths import lath_rows
from service.products.layer import Books, Placed
from service.products.remarks import Remarks
from service.products.rows import CutoutRow, JointRow, PieceRow, RippedEdge, RunRow

Share = BoardShare | LumberShare
"""What a layer of boards gets: its boards, and the lumber of its starter strip."""


def place(layer: LaidBoards, shares: Sequence[Share], books: Books, said: Remarks) -> PlacedBoards:
    """Every piece, joint and run of one layer, from its share of the sticks; its starter strip."""
    share, *others = shares
    assert isinstance(share, BoardShare)
    jointing = share.jointing
    assert isinstance(jointing, Setting)
    made = _pieces(layer, jointing.rules, share)
    pieces = replace(
        made,
        rows=_rows(layer, made, share.sticks, jointing.rules.min_touch),
        borne=borne_ends(layer.task, layer.detail),
    )
    joints = tuple(_joints(jointing, pieces))
    say_joints(layer, pieces, joints, said)
    say_wild(layer.task, pieces, said)
    account_for(layer, pieces, share, books[layer.task.product.id])
    runs = tuple(_runs(jointing, pieces))
    strip = tuple(_starter(layer, others, books))
    rows = (*pieces.rows, *strip)
    return Placed(laid=layer, runs=runs, pieces=rows, joints=joints, detail=pieces)


def _starter(layer: LaidBoards, shares: Sequence[Share], books: Books) -> Iterator[PieceRow]:
    """The pieces of the starter strip, where lumber is named for it (3.15)."""
    starter = starter_of(layer)
    if starter is not None:
        (share,) = shares
        assert isinstance(share, LumberShare)
        ledger = books[starter.task.product.id]
        yield from lath_rows(starter.task, starter.laths, share, ledger)


def _pieces(layer: LaidBoards, rules: JointRules, share: BoardShare) -> Pieces:
    boards: Boards = layer.detail
    found: list[BoardPiece] = []
    snap = 0
    ends, at = ends_of_runs(boards), layer.task.at
    for run, own, (first, last) in zip(boards.laid.runs, share.cuts, ends, strict=True):
        shapes = cut_across(run.polygon, [cut.low for cut in own[1:]])
        snap += sum(map(twice_area, shapes)) - run.polygon.twice_area
        name = f"{at}.{run.course}.{run.number}"
        for k, (cut, shape) in enumerate(zip(own, shapes, strict=True)):
            near = min(polygon.box[2] for polygon in shape)
            far = max(polygon.box[3] for polygon in shape)
            lost = lost_sides(boards, run, near, far)
            wild = first.wild * (k == 0) + last.wild * (k == len(own) - 1)
            found.append(BoardPiece(f"{name}.{k + 1}", run, cut, shape, *lost, wild))
    return Pieces(tuple(found), snap, rules)


def _rows(
    layer: LaidBoards, pieces: Pieces, where: Mapping[str, str], min_touch: int
) -> tuple[PieceRow, ...]:
    crosscuts, at = Crosscuts(layer.detail, min_touch), layer.task.at
    return tuple(
        _row(layer, at, piece, where[piece.id], crosscuts.of(piece)) for piece in pieces.all
    )


def _row(layer: LaidBoards, at: str, piece: BoardPiece, stick: str, crosscut: Crosscut) -> PieceRow:
    boards: Boards = layer.detail
    cut, run = piece.cut, piece.run
    *_, low, high = bounds(piece.shape)
    plain = len(piece.shape) == 1 and piece.shape[0].is_box
    rings = () if plain else tuple(ring for polygon in piece.shape for ring in polygon.rings)
    course = boards.course(run)
    near, far = course.from_start(low, high)
    cutouts = _cutouts(boards, piece) if run.cutouts else ()
    return PieceRow(
        id=piece.id,
        run=f"{at}.{run.course}.{run.number}",
        surface=layer.task.surface.id,
        layer=layer.task.layer_id,
        product=layer.task.product.id,
        course=run.course,
        near=near,
        far=far,
        low=cut.low,
        high=cut.high,
        cut=cut.need.length,
        ends=crosscut.ends,
        rip=_rip(boards, piece),
        notches=sum(one.effect == "notch" for one in cutouts),
        holes=sum(one.effect == "hole" for one in cutouts),
        rings=rings,
        twice_area=twice_area(piece.shape),
        bearings=crosscut.bearings,
        stick=stick,
        cuts=crosscut.cuts,
        cutouts=cutouts,
        work=saw_rows(boards, piece, cutouts, crosscut.cuts),
    )


def _cutouts(boards: Boards, piece: BoardPiece) -> tuple[CutoutRow, ...]:
    """The notches and holes of a run that lie in one of its pieces, as far as they do."""
    course, cut = boards.course(piece.run), piece.cut
    found = []
    for one in piece.run.cutouts:
        if one.low < cut.high and one.high > cut.low:
            near, far = course.from_start(course.low + one.legs[0], course.high - one.legs[1])
            found.append(
                CutoutRow(
                    effect="hole" if one.effect == "hole" else "notch",
                    openings=boards.openings.get(one.opening, ()),
                    near=near,
                    far=far,
                    low=max(one.low, cut.low),
                    high=min(one.high, cut.high),
                )
            )
    return tuple(found)


def _rip(boards: Boards, piece: BoardPiece) -> RippedEdge:
    if piece.tongue_lost and piece.groove_lost:
        return "both"
    if not (piece.tongue_lost or piece.groove_lost):
        return "none"
    if boards.board.has_tongue:
        return "tongue" if piece.tongue_lost else "groove"
    return "far" if piece.tongue_lost else "near"


def _runs(setting: Setting, pieces: Pieces) -> Iterator[RunRow]:
    """Each run, and how many pieces it has."""
    count: dict[tuple[int, int], int] = defaultdict(int)
    for piece in pieces.all:
        count[piece.run.course, piece.run.number] += 1
    layer, rules, known = setting.layer, setting.rules, dict[object, _Borne]()
    boards: Boards = layer.detail
    at = layer.task.at
    for run in boards.laid.runs:
        alike = id(boards.line(run)), run.low, run.high
        if alike not in known:
            known[alike] = _Borne(_touched(boards, run, rules), _joints_at(boards, run, rules))
        yield _run_row(layer, at, run, count[run.course, run.number], known[alike])


class _Borne(NamedTuple):
    """How many bearings a run touches, and where its pieces may meet."""

    bearings: int
    at: tuple[int, ...] | None


def _touched(boards: Boards, run: Run, rules: JointRules) -> int:
    return len(boards.line(run).touched(run.low, run.high, rules.min_touch))


def _run_row(layer: LaidBoards, at: str, run: Run, pieces: int, borne: _Borne) -> RunRow:
    boards: Boards = layer.detail
    near, far = boards.course(run).from_start(*run.polygon.box[2:])
    task = layer.task
    return RunRow(
        id=f"{at}.{run.course}.{run.number}",
        surface=task.surface.id,
        layer=task.layer_id,
        course=run.course,
        near=near,
        far=far,
        low=run.low,
        high=run.high,
        bearings=borne.bearings,
        pieces=pieces,
        bearings_at=borne.at,
    )


def _joints_at(boards: Boards, run: Run, rules: JointRules) -> tuple[int, ...] | None:
    """Stations of a run at which pieces may meet; None where they may anywhere (6.2)."""
    if rules.places is Places.NONE:
        return ()
    if rules.places is not Places.FRAMING:
        return None
    stations = boards.line(run).stations
    return stations[bisect_right(stations, run.low) : bisect_left(stations, run.high)]


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
    setting: Setting, boards: Boards, a: BoardPiece, b: BoardPiece, stations: dict[int, list[int]]
) -> JointRow:
    task, course, at = setting.layer.task, a.run.course, a.cut.high
    line = boards.line(a.run)
    place = bisect_left(line.stations, at)
    on_member = place < len(line.stations) and line.stations[place] == at
    kind = setting.rules.places
    names = {Places.FRAMING_OR_BLOCK: "framing" if on_member else "block"}
    if boards.on_rows:
        names = {Places.FRAMING: "block"}
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
    """Distance to the nearest of `others`, which ascend, or None if there is none."""
    if not others:
        return None
    place = bisect_left(others, at)
    return min(abs(at - other) for other in others[max(0, place - 1) : place + 1])
