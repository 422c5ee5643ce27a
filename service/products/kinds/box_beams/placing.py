"""From sticks to parts: what beams want of boards and lumber, and every piece that they get."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from service.geometry.ends import End, ends_of, square_ends
from service.geometry.rings import Polygon
from service.joints.records import Cut
from service.ledger.book import Ledger
from service.products.goods.board import FORM as BOARD
from service.products.goods.board.needs import BoardShare
from service.products.goods.board.needs import Need as BoardNeed
from service.products.goods.lumber import FORM as LUMBER
from service.products.goods.lumber.needs import LumberShare
from service.products.goods.lumber.needs import Need as LumberNeed
from service.products.goods.sheet.needs import Need as SheetNeed
from service.products.goods.sheet.needs import SheetShare
from service.products.kinds.box_beams.beam_rows import bay_rows, beam_rows, part_rows
from service.products.kinds.box_beams.jointing import (
    Skins,
    core_joints,
    core_pieces,
    joint_rules,
    taken_by_beam,
)
from service.products.kinds.box_beams.records import LaidBoxBeams, Part, PlacedBoxBeams
from service.products.kinds.box_beams.rulings import BoardTask, blank_of, of_boards, of_sheets
from service.products.kinds.box_beams.sawing import end_words, sawn
from service.products.kinds.box_beams.sheet_skins import pieces_of, sheets_needed
from service.products.layer import Books, Placed
from service.products.remarks import Remarks
from service.products.rows import JointRow, PieceRow, RunRow
from service.products.saw_rows import SawRow
from service.products.sticks.needs import Lengths
from service.units.ticks import down

Share = BoardShare | SheetShare | LumberShare
"""What a layer of beams gets: boards or sheets for its skins, lumber for its cores."""


def needs(layer: LaidBoxBeams) -> tuple[BoardNeed | SheetNeed | LumberNeed, ...]:
    """Skins to be jointed and ripped, or as they are jointed, and cores as plain lengths."""
    skins = tuple(_skins_needed(layer)) if layer.detail.skins else ()
    cores = {one.name: one.cut for one in _cores(layer, {})}
    if layer.detail.core is None or not cores:
        return skins
    return *skins, LUMBER.need(layer.task.taking(*layer.detail.core), Lengths(cores))


def _skins_needed(layer: LaidBoxBeams) -> Iterator[BoardNeed | SheetNeed]:
    boards, sheets = of_boards(layer.task), of_sheets(layer.task)
    if boards is not None:
        yield BOARD.need(boards, _to_be_jointed(layer, boards))
    if sheets is not None:
        yield sheets_needed(layer, sheets)


def _to_be_jointed(layer: LaidBoxBeams, task: BoardTask) -> Skins:
    return Skins(layer, task, joint_rules(task), taken_by_beam(task, layer.detail))


@dataclass(frozen=True, slots=True, kw_only=True)
class PartPiece:
    """One piece of a part: where it lies, what it is cut to and from, what is done to it."""

    part: Part
    name: str
    low: int
    high: int
    cut: int
    product: str
    stick: str
    work: tuple[SawRow, ...] = ()
    bearings: int = 0
    cut_width: int | None = None

    @property
    def face(self) -> Polygon:
        """What of the face of its part it is."""
        return self.part.face(self.low, self.high)


def _cores(layer: LaidBoxBeams, sticks: Mapping[str, str]) -> Iterator[PartPiece]:
    """Every piece of the cores; its stick is empty as long as none is known."""
    detail, rules = layer.detail, layer.task.rules
    if detail.core is None:
        return
    product, joints = detail.core[0].id, core_joints(layer.task, detail)
    members = {beam.number: beam.members for beam in detail.beams}
    for part in detail.cores:
        for k, (low, high) in enumerate(core_pieces(part, joints[part.label]), 1):
            name = f"{layer.task.at}.{part.label}.{k}"
            yield PartPiece(
                part=part, name=name, low=low, high=high, cut=down(high - low, rules.cut_to),
                product=product, stick=sticks.get(name, ""),
                bearings=len(members[part.beam].touched(low, high, rules.min_touch)),
                work=sawn(layer, part, low, high, None),
            )  # fmt: skip


def place(
    layer: LaidBoxBeams, shares: Sequence[Share], books: Books, said: Remarks
) -> PlacedBoxBeams:
    """Every piece of every part with its stick, its joints, and what it takes of its board."""
    skins: list[PartPiece] = []
    cores: list[PartPiece] = []
    for share in shares:
        if isinstance(share, LumberShare):
            cores += _cores(layer, share.sticks)
        elif isinstance(share, SheetShare):
            skins = list(_from_sheets(layer, share, books[layer.task.product.id]))
        else:
            skins = list(_from_boards(layer, share, books[layer.task.product.id]))
    for one in cores:
        _account_core(layer, one, books[one.product])
    pieces = [row_of(layer, one) for one in (*skins, *cores)]
    parts = {part: [one for one in skins if one.part is part] for part in layer.detail.skins}
    joints = {part.label: tuple(one.low for one in own[1:]) for part, own in parts.items()}
    return Placed(
        laid=layer,
        runs=tuple(_run(layer, part, len(own)) for part, own in parts.items()),
        pieces=tuple(pieces),
        joints=tuple(_joints(layer, parts)),
        beams=beam_rows(layer),
        bays=bay_rows(layer),
        beam_parts=part_rows(layer, joints | core_joints(layer.task, layer.detail), pieces),
        detail=None,
    )


def _from_boards(layer: LaidBoxBeams, share: BoardShare, ledger: Ledger) -> Iterator[PartPiece]:
    """Every piece of every skin as it is jointed with its boards, entered in their ledger."""
    for part, cuts in zip(layer.detail.skins, share.cuts, strict=True):
        for one in _skins(layer, part, cuts, share):
            _account_skin(layer, one, share, ledger)
            yield one


def _from_sheets(layer: LaidBoxBeams, share: SheetShare, ledger: Ledger) -> Iterator[PartPiece]:
    """Every piece of every skin as it is sawn from its sheet, entered in the ledger of those."""
    page = ledger.of(layer.task.surface.id)
    for part in layer.detail.skins:
        for name, low, high in pieces_of(layer, part):
            sheet, strip = share.where[name]
            one = PartPiece(
                part=part, name=name, low=low, high=high, cut=strip.length,
                product=layer.task.product.id, stick=sheet, cut_width=strip.width,
                work=sawn(layer, part, low, high, part.width),
            )  # fmt: skip
            page.enter("installed", one.face.twice_area)
            page.enter("mitre", 2 * strip.length * strip.width - one.face.twice_area)
            yield one


def _skins(
    layer: LaidBoxBeams, part: Part, cuts: Sequence[Cut], share: BoardShare
) -> Iterator[PartPiece]:
    """Every piece of a skin."""
    product, (_, wide) = layer.task.product, blank_of(layer.task)
    for k, cut in enumerate(cuts, 1):
        name = f"{layer.task.at}.{part.label}.{k}"
        yield PartPiece(
            part=part, name=name, low=cut.low, high=cut.high, cut=cut.need.length,
            product=product.id, stick=share.sticks[name],
            work=sawn(layer, part, cut.low, cut.high, wide,
                      squared=layer.task.rules.trimmed > 0),
        )  # fmt: skip


def row_of(layer: LaidBoxBeams, one: PartPiece) -> PieceRow:
    """A piece as it is answered; a core covers nothing."""
    part, face = one.part, one.face
    plain = part.of == 0 and face.is_box
    return PieceRow(
        id=one.name, run=one.name.rpartition(".")[0], surface=layer.task.surface.id,
        layer=layer.task.layer_id, product=one.product, course=part.beam, near=part.near,
        far=part.far, low=one.low, high=one.high, cut=one.cut,
        ends=end_words(part, one.low, one.high), cuts=_cuts(face),
        rip="far" if any(row.do == "rip" for row in one.work) else "none",
        notches=0, holes=0, work=one.work,
        rings=() if plain else (layer.detail.ring(part.of, face.outer),),
        twice_area=0 if part.name == "core" else face.twice_area,
        bearings=one.bearings, stick=one.stick, cut_width=one.cut_width,
    )  # fmt: skip


def _cuts(face: Polygon) -> tuple[End, End]:
    return square_ends(*face.box[:2]) if face.is_box else ends_of((face,))


def _account_core(layer: LaidBoxBeams, one: PartPiece, ledger: Ledger) -> None:
    """What is booked of a core is its length."""
    page, extent = ledger.of(layer.task.surface.id), one.high - one.low
    page.enter("installed", extent)
    page.enter("fit", one.cut - extent)


def _account_skin(layer: LaidBoxBeams, one: PartPiece, share: BoardShare, ledger: Ledger) -> None:
    """What a piece of a skin takes of its board: its face, its points, the rip (0.5).

    One that is ripped beside another takes its own strip of that board, and a saw cut.
    """
    page, wide = ledger.of(layer.task.surface.id), one.part.width
    extent, face = one.high - one.low, one.face.twice_area
    beside = one.name in share.leads
    blank = wide if beside else blank_of(layer.task)[1]
    page.enter("installed", face)
    page.enter("mitre", 2 * extent * wide - face)
    page.enter("rip", 2 * extent * (blank - wide))
    page.enter("fit", 2 * blank * (one.cut - extent))
    if beside:
        lead = ledger.of(share.leads[one.name])
        lead.enter("rip", -2 * one.cut * (wide + share.kerf))
        lead.enter("kerf", 2 * one.cut * share.kerf)


def _run(layer: LaidBoxBeams, part: Part, pieces: int) -> RunRow:
    task = layer.task
    return RunRow(
        id=f"{task.at}.{part.label}", surface=task.surface.id, layer=task.layer_id,
        course=part.beam, near=part.near, far=part.far, low=part.low, high=part.high,
        bearings=0, pieces=pieces,
    )  # fmt: skip


def _joints(layer: LaidBoxBeams, parts: Mapping[Part, Sequence[PartPiece]]) -> Iterator[JointRow]:
    """Every joint of a skin, with the nearest in the other skins of its beam."""
    stations: dict[int, dict[str, list[int]]] = {}
    for part, pieces in parts.items():
        at = stations.setdefault(part.beam, {}).setdefault(part.name, [])
        at += [one.low for one in pieces[1:]]
    for part, pieces in parts.items():
        before, after = _BESIDE[part.name]
        own = stations[part.beam]
        for k, one in enumerate(pieces[1:], 1):
            name = f"{layer.task.at}.{part.label}"
            yield JointRow(
                surface=layer.task.surface.id, layer=layer.task.layer_id, course=part.beam,
                between=(f"{name}.{k}", f"{name}.{k + 1}"), at=one.low, on="core", bearing=None,
                offset_before=_offset(one.low, own.get(before)),
                offset_after=_offset(one.low, own.get(after)), offset_repeat=None,
            )  # fmt: skip


_BESIDE: Mapping[str, tuple[str, str]] = {
    "near side": ("", "bottom"),
    "bottom": ("near side", "far side"),
    "far side": ("bottom", ""),
}


def _offset(at: int, others: Sequence[int] | None) -> int | None:
    return min((abs(at - one) for one in others), default=None) if others else None
