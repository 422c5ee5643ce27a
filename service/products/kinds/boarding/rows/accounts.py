"""What each piece takes of its board, account by account of the ledger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from service.geometry.plane import difference, rest_of_box
from service.geometry.rings import Polygon, rectangle
from service.ledger.book import Ledger, Page
from service.products.goods.board.needs import BoardShare
from service.products.kinds.boarding.records import BoardPiece, Boards, LaidBoards, Pieces

Box = tuple[int, int, int, int]
"""Low and high end, near and far edge."""


def account_for(layer: LaidBoards, pieces: Pieces, share: BoardShare, ledger: Ledger) -> None:
    """What each piece of a layer takes of its board, account by account."""
    boards: Boards = layer.detail
    page = ledger.of(layer.task.surface.id)
    page.enter("installed", layer.areas.installed)
    page.enter("snap", boards.laid.snap + pieces.snap)
    for piece in pieces.all:
        if piece.id in share.beside:
            blank = replace(_of_run(boards, piece), width=boards.board.overall)
            _piece(page, boards, piece, blank)
        elif piece.id in share.leads:
            _beside(boards, piece, share, ledger, page)
        else:
            _piece(page, boards, piece, _of_course(boards, piece))


def _beside(
    boards: Boards, piece: BoardPiece, share: BoardShare, ledger: Ledger, page: Page
) -> None:
    """A piece ripped from what is left of the board beside another: it takes that part (3.13).

    It is cut out of its own strip, so what an opening takes of it all along is ripped off.
    """
    blank, length = _of_run(boards, piece), piece.cut.need.length
    _piece(page, boards, piece, blank)
    lead = ledger.of(share.leads[piece.id])
    lead.enter("rip", -2 * length * (blank.width + share.kerf))
    lead.enter("kerf", 2 * length * share.kerf)


@dataclass(frozen=True, slots=True)
class _Blank:
    """What a piece is cut out of: the part of its board, and the face within it (stations)."""

    width: int
    near: int
    far: int

    @property
    def face(self) -> int:
        """Width that shows before ends, notches and holes are cut."""
        return self.far - self.near


def _of_course(boards: Boards, piece: BoardPiece) -> _Blank:
    """A whole board, ripped to its course."""
    course = boards.course(piece.run)
    return _Blank(boards.board.overall, course.low, course.high)


def _piece(page: Page, boards: Boards, piece: BoardPiece, blank: _Blank) -> None:
    """One piece's blank less its shape: tongue, rip, notch, mitre and fit."""
    board, course = boards.board, boards.course(piece.run)
    extent = piece.cut.high - piece.cut.low
    lap = 0 if piece.tongue_lost else board.lap
    if board.lapped:
        lap = board.overall - blank.face
    page.enter("crosscut", 2 * blank.width * piece.wild)
    page.enter("fit", 2 * blank.width * (piece.cut.need.length - piece.wild - extent))
    page.enter("lap_or_tongue", 2 * extent * lap)
    page.enter("rip", 2 * extent * (blank.width - blank.face - lap))
    shape = piece.shape
    if len(shape) == 1 and shape[0].twice_area == 2 * extent * blank.face:
        return
    holes = [
        (one.low, one.high, course.low + one.legs[0], course.high - one.legs[1])
        for one in boards.laid.cutouts
        if one.course == course.number
    ]
    box = (piece.cut.low, piece.cut.high, blank.near, blank.far)
    for rest in rest_of_boxes(shape, box):
        account = _account(rest, box, holes)
        straight = _straight(rest, box) if account == "rip" else rest.twice_area
        page.enter(account, straight)
        page.enter("notch", rest.twice_area - straight)


def _of_run(boards: Boards, piece: BoardPiece) -> _Blank:
    """The strip to which the run of a piece is ripped."""
    _, _, near, far = piece.run.polygon.box
    lap = 0 if piece.tongue_lost else boards.board.lap
    return _Blank(far - near + lap, near, far)


def rest_of_boxes(shape: Sequence[Polygon], box: Box) -> list[Polygon]:
    """What the parts of one piece leave of its rectangle."""
    if len(shape) == 1:
        return list(rest_of_box(shape[0], box))
    low, high, near, far = box
    return list(difference((Polygon(rectangle(low, near, high, far)),), tuple(shape)))


def _account(rest: Polygon, box: Box, holes: Sequence[Box]) -> str:
    """Where a part taken out of a piece's rectangle belongs.

    What an opening took is a notch; a strip along the whole piece a rip; a slanted part a mitre;
    a square corner a notch.
    """
    low, high, near, far = rest.box
    if any(low < h[1] and high > h[0] and near < h[3] and far > h[2] for h in holes):
        return "notch"
    slanted = not all(
        a[0] == b[0] or a[1] == b[1] for a, b in pairwise([*rest.outer, rest.outer[0]])
    )
    if slanted:
        return "mitre"
    return "rip" if low == box[0] and high == box[1] else "notch"


def _straight(rest: Polygon, box: Box) -> int:
    """Of a strip along a whole piece, what one straight rip takes; steps beyond it are notches."""
    _, _, near, far = rest.box
    seconds = {v for _, v in rest.outer}
    inner = min(seconds - {near}) - near if near == box[2] else far - max(seconds - {far})
    return 2 * (box[1] - box[0]) * inner
