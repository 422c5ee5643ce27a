"""The sheets of a change: what stays of each layer, what goes, and what comes, on one page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.changes.change import Change
from service.changes.rows import ChangedPieceRow
from service.geometry.frame import Frame
from service.geometry.plane import difference, union, without_needles
from service.geometry.rings import Polygon, Region, rectangle, twice_signed
from service.products.drawing import DrawnLayer, DrawnPiece, Mark, Ring, Sheet
from service.products.rows import PieceRow
from service.report.sheets import sheet_of, sheets

NOTE = "White stays, hatched is new, dashed is taken out; new pieces are named as in the cut list"


def change_sheets(change: Change) -> list[Sheet]:
    """One sheet a surface that something of is up and changes; else those of the new takeoff."""
    if not any(row.is_up for row in change.pieces):
        return sheets(change.work)
    found = []
    for surface in change.work.job.surfaces:
        own = [row for row in change.pieces if row.surface == surface.id]
        names = dict.fromkeys(row.layer for row in own if row.do != "keep")
        layers = tuple(_layer(change, surface.id, name, own) for name in names)
        if layers:
            found.append(replace(sheet_of(surface, layers, change.work), section=None))
    return found or sheets(change.work)


def _layer(change: Change, surface: str, name: str, rows: Sequence[ChangedPieceRow]) -> DrawnLayer:
    own = [row for row in rows if row.layer == name]
    at = f"{surface}.{name}"
    (was,) = (one for one in change.before.laid if one.task.at == at)
    drawn = change.work.drawn.get(at)
    new = drawn.marks if drawn is not None else ()
    lines = _lines(change.before.drawn.get(at))
    if lines:
        marks: list[Mark] = [*(new or lines), *_lines_that_go(lines, own)]
    else:
        marks = [*_stays(own, was.frame), *_goes(own, was.frame), *map(_new, new)]
    return DrawnLayer(name, was.task.layer.kind, tuple(marks), (NOTE,))


def _lines(first: DrawnLayer | None) -> list[DrawnPiece]:
    """What a layer was drawn by before, where its pieces are not drawn one by one."""
    marks = first.marks if first is not None else ()
    return [mark for mark in marks if isinstance(mark, DrawnPiece) and mark.line is not None]


def _lines_that_go(
    lines: Sequence[DrawnPiece], rows: Sequence[ChangedPieceRow]
) -> Iterator[DrawnPiece]:
    """The lines as they were of which something that is up is taken out."""
    gone = {row.course for row in rows if row.is_up and row.do == "remove"}
    return (replace(one, label="", size="", state="gone") for one in lines if one.line in gone)


def _new(mark: Mark) -> Mark:
    """A piece of the work is new, where its kind has not said which are."""
    return replace(mark, state="new") if isinstance(mark, DrawnPiece) else mark


def _stays(rows: Sequence[ChangedPieceRow], frame: Frame) -> Iterator[DrawnPiece]:
    for row in rows:
        if row.do in ("keep", "recut") and row.is_up and row.as_is is not None:
            yield from _drawn(_shape(row.as_is), frame, gone=False)


def _goes(rows: Sequence[ChangedPieceRow], frame: Frame) -> Iterator[DrawnPiece]:
    """What is taken out: whole pieces, and what is cut off those that stay in part."""
    left: dict[str, list[Region]] = {}
    for row in rows:
        if row.was is not None and row.as_is is not None:
            left.setdefault(row.was, []).append(_shape(row.as_is))
    for row in rows:
        if row.is_up and row.as_was is not None and row.do in ("remove", "recut"):
            gone = difference(_shape(row.as_was), union(left.get(row.was or "", [])))
            yield from _drawn(without_needles(gone), frame, gone=True)


def _shape(row: PieceRow) -> Region:
    """What a piece covers, in stations."""
    outer = [ring for ring in row.rings if twice_signed(ring) > 0]
    holes = tuple(ring[::-1] for ring in row.rings if twice_signed(ring) < 0)
    if not outer:
        near, far = sorted((row.near, row.far))
        return (Polygon(rectangle(row.low, near, row.high, far)),)
    whole = tuple(Polygon(ring) for ring in outer)
    return difference(whole, tuple(map(Polygon, holes))) if holes else whole


def _drawn(region: Region, frame: Frame, *, gone: bool) -> Iterator[DrawnPiece]:
    for part in region:
        rings: tuple[Ring, ...] = tuple(frame.ring_back(ring) for ring in part.rings)
        yield DrawnPiece(rings, "", state="gone" if gone else "as_is")
