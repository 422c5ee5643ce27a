"""From the lengths of a layer to rows: every piece with its ends, its stick and its accounts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from service.geometry.ends import End
from service.geometry.walls import Strip
from service.products.goods.board import FORM as BOARD
from service.products.goods.board.needs import BoardShare
from service.products.goods.board.needs import Need as BoardNeed
from service.products.goods.moulding import FORM as MOULDING
from service.products.goods.moulding.needs import Lines, MouldingShare, Sawn
from service.products.goods.moulding.needs import Need as MouldingNeed
from service.products.kinds.trim.accounts import account_for
from service.products.kinds.trim.across import frame_across
from service.products.kinds.trim.board_lines import BoardLines
from service.products.kinds.trim.records import LaidTrim, PlacedTrim, TrimLength
from service.products.kinds.trim.rulings import Task, of_boards, of_mouldings
from service.products.kinds.trim.sawing import Piece, cut_of, saw_rows
from service.products.kinds.trim.section import angle_of_joints
from service.products.kinds.trim.venting import free_area, say_vented
from service.products.layer import Books, Placed
from service.products.remarks import Remarks
from service.products.rows import PieceRow
from service.products.trim_rows import TrimRow, TrimTotalRow

Share = MouldingShare | BoardShare
"""What a layer of trim gets: its lines of a moulding, or of boards."""


def needs(layer: LaidTrim) -> tuple[MouldingNeed | BoardNeed, ...]:
    """All lengths of a layer, to be cut whole or joined; nothing where nothing is trimmed."""
    lines = tuple(one.wanted for one in layer.detail.lengths)
    lap = max((one.line.lap for one in lines if not one.line.is_whole), default=0)
    return tuple(_needed(layer.task, Lines(lines, lap))) if lines else ()


def _needed(task: Task, lines: Lines) -> Iterator[MouldingNeed | BoardNeed]:
    mouldings, boards = of_mouldings(task), of_boards(task)
    if mouldings is not None:
        yield MOULDING.need(mouldings, lines)
    if boards is not None:
        yield BOARD.need(boards, BoardLines(boards, lines))


def _sawn(share: Share) -> tuple[Sawn, ...]:
    """Every length as it is cut."""
    if isinstance(share, MouldingShare):
        return share.sawn
    assert isinstance(share.jointing, BoardLines)
    return share.jointing.sawn(share.cuts)


def place(layer: LaidTrim, shares: Sequence[Share], books: Books, said: Remarks) -> PlacedTrim:
    """Every piece with its stick, every length with its pieces; what they take is booked."""
    trim, task = layer.detail, layer.task
    page = books[task.product.id].of(task.surface.id)
    sawn = _sawn(shares[0]) if shares else ()
    pieces: list[PieceRow] = []
    lengths: list[TrimRow] = []
    for one, own in zip(trim.lengths, sawn, strict=True):
        account_for(layer, one, own, page)
        pieces += pieces_of(layer, one, own, shares[0].sticks)
        lengths.append(_row(layer, one, own))
    say_vented(layer, said)
    return Placed(
        laid=layer,
        pieces=tuple(pieces),
        trim_lengths=tuple(lengths),
        trim_totals=(_total(layer, lengths),),
        detail=sawn,
    )


def ids_of(one: TrimLength, own: Sawn) -> tuple[str, ...]:
    """The names of the pieces of a length, from the start of its wall on."""
    return tuple(f"{one.wanted.name}.{k + 1}" for k in range(len(own.cuts)))


def pieces_of(
    layer: LaidTrim, one: TrimLength, own: Sawn, sticks: Mapping[str, str]
) -> Iterator[PieceRow]:
    """The pieces of one length, from the start of its wall on."""
    trim = layer.detail
    strips = one.strips(trim.wide, own.joints)
    for k, (name, strip, cut) in enumerate(zip(ids_of(one, own), strips, own.cuts, strict=True)):
        shape = Strip(tuple(trim.frame.to(point) for point in strip.ring), strip.twice_area)
        yield _piece(layer, Piece(one, k, len(own.cuts), cut), name, shape, sticks[name])


def _piece(layer: LaidTrim, piece: Piece, name: str, shape: Strip, stick: str) -> PieceRow:
    task, trim = layer.task, layer.detail
    (low, high), (near, far) = ((min(at), max(at)) for at in zip(*shape.ring, strict=True))
    lapped = angle_of_joints(task)
    ends = (cut_of(piece, 0, lapped), cut_of(piece, 1, lapped))
    return PieceRow(
        id=name,
        run=piece.of.wanted.name,
        surface=task.surface.id,
        layer=task.layer_id,
        product=task.product.id,
        course=piece.of.number,
        near=near,
        far=far,
        low=low,
        high=high,
        cut=piece.cut,
        ends=ends if trim.start_is_left else (ends[1], ends[0]),
        rip="none",
        notches=0,
        holes=0,
        work=saw_rows(layer, piece),
        rings=(shape.ring,),
        twice_area=shape.twice_area,
        bearings=0,
        stick=stick,
        cuts=(End(low, low, None), End(high, high, None)),
    )


def _row(layer: LaidTrim, one: TrimLength, own: Sawn) -> TrimRow:
    task, way = layer.task, 1 if layer.detail.start_is_left else -1
    first, last = one.ends[::way]
    start, end = (one.wall.points[0], one.wall.points[-1])[::way]
    scarfs = own.joints if way == 1 else tuple(one.line.length - at for at in own.joints[::-1])
    return TrimRow(
        surface=task.surface.id,
        layer=task.layer_id,
        length_no=one.number,
        edges=tuple(sorted(edge.number for edge in one.wall.edges)),
        from_edge=task.layer.from_edge,
        across_at=None if task.layer.across is None else _back_edge(layer, one),
        opening=one.opening,
        start=start,
        end=end,
        length=one.line.length,
        meets=(first.meets, last.meets),
        turns=(first.turn, last.turn),
        adds=(first.adds, last.adds),
        scarfs=scarfs,
        cut=sum(own.cuts),
        pieces=ids_of(one, own)[::way],
    )


def _back_edge(layer: LaidTrim, one: TrimLength) -> int:
    """The station across at which the back edge of a strip right across a surface lies."""
    return frame_across(layer.task).to(one.wall.points[0])[1]


def _total(layer: LaidTrim, rows: Sequence[TrimRow]) -> TrimTotalRow:
    """Each corner once: two lengths meet in it."""
    met = [meets for row in rows for meets in row.meets]
    asked = layer.task.layer.free_area
    return TrimTotalRow(
        surface=layer.task.surface.id,
        layer=layer.task.layer_id,
        product=layer.task.product.id,
        length=sum(row.length for row in rows),
        cut=sum(row.cut for row in rows),
        pieces=sum(len(row.pieces) for row in rows),
        inside_corners=met.count("inside corner") // 2,
        outside_corners=met.count("outside corner") // 2,
        segment_joints=met.count("segment joint") // 2,
        scarfs=sum(len(row.scarfs) for row in rows),
        free_area=free_area(layer),
        free_area_asked=None if asked is None else round(asked),
    )
