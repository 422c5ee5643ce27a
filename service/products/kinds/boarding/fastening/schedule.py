"""Fasteners of boards, counted over the placed pieces and what each of them touches."""

from __future__ import annotations

from collections import Counter
from typing import Final, Literal

from service.errors import Finding
from service.fastening.boards import Pattern
from service.fastening.reach import Reach, Way, blind_entry, reach_of
from service.products.fasteners import (
    NamedFastener,
    holding_length,
    named_clip,
    named_fastener,
    need_of,
)
from service.products.goods.fastener.spec import FastenerProduct
from service.products.kinds.boarding.fastening.glue import say_glue
from service.products.kinds.boarding.fastening.leg_nails import say_unbacked
from service.products.kinds.boarding.fastening.patterns import pattern_of
from service.products.kinds.boarding.fastening.per_piece import (
    Counted,
    Nailing,
    borne_of,
    spacing_of,
)
from service.products.kinds.boarding.fastening.starter_nails import starter_nails
from service.products.kinds.boarding.legs import LegNail, leg_nails
from service.products.kinds.boarding.records import (
    LaidBoards,
    Pieces,
    PlacedBoards,
)
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.units.writing import both, counted

_ALONG: Final = "points along the pieces"
_CROSSED: Final = "boards x framing"
"""What was counted: points at a spacing, or every board on every member."""

_OFF_MEMBERS: Final = ("joint end", "leg")
"""Where a panel holds, though the layer crosses members."""

_IN_FRAMING: Final = ("block", "framed leg")
"""Where framing holds, though the layer runs along the members."""

_BESIDE_HOLES: Final = ("notch", "leg", "framed leg")

AGAIN: Final = {
    "cut end": "ends cut in place x framing",
    "loosened": "boards x framing over new work behind",
}
"""Places in boards that were up, and what was counted there."""


def fasten(placed: PlacedBoards, said: Remarks) -> tuple[FastenerRow, ...]:
    """The fasteners of one layer, by where they are and whether they hide in the tongue."""
    layer = placed.laid
    pieces: Pieces = placed.detail
    pattern = pattern_of(layer, said)
    spacing = spacing_of(layer)
    counts: Counted = Counter()
    unheld, legs, nailing = 0, list[LegNail](), Nailing(layer, pieces, pattern)
    borne = {(one.run.course, one.run.number, one.low) for one in pieces.borne}
    for piece, row in zip(pieces.all, pieces.rows, strict=True):
        ends = borne_of(piece, borne)
        own = list(leg_nails(layer, piece))
        for place, count in nailing.of_piece(piece, row, ends, own).items():
            counts[place] += count
        legs += own
        unheld += row.bearings + len(ends) < 2 and spacing is None
    _say_unheld(layer.task, said, unheld)
    say_unbacked(layer, said, legs)
    if pattern == "glue_pin":
        say_glue(layer.task, said)
    return (*rows_of(layer, pattern, counts, said), *starter_nails(placed, said))


def rows_of(
    layer: LaidBoards, pattern: Pattern, counts: Counted, said: Remarks
) -> tuple[FastenerRow, ...]:
    """A row for each place in which fasteners were counted, all of the shortest length that does.

    Raises TradeRefused where none of the lengths holds.
    """
    product, spacing = named_fastener(layer.task, said), spacing_of(layer)
    clip = named_clip(layer.task, layer.task.layer.fastening, said) if pattern == "clip" else None
    chosen = _length(layer, product, {place for _, place in counts} - {"clip"}, said)
    return tuple(
        FastenerRow(
            surface=layer.task.surface.id,
            layer=layer.task.layer_id,
            product=clip if place == "clip" else None if product is None else product[0].id,
            where=where,
            pattern=pattern,
            place=place,
            spacing=None if where in ("block", *AGAIN) else spacing,
            count=count,
            counted=_counted(where, place, spacing),
            reach=_reach(layer, where, place, chosen),
        )
        for (where, place), count in sorted(counts.items())
    )


def _counted(where: str, place: str, spacing: int | None) -> str:
    """What was counted of the fasteners of one place."""
    if place == "clip" and where == "end":
        return "ends of pieces"
    if where in _BESIDE_HOLES:
        return "sides of cut-outs"
    if where in AGAIN:
        return AGAIN[where]
    return _ALONG if spacing and where != "block" else _CROSSED


def _say_unheld(task: Task, said: Remarks, unheld: int) -> None:
    over_panel = task.ground.backing is not None
    mend = "fasten their ends into the panel" if over_panel else "give the ends backing"
    if unheld:
        said.find(
            Finding(
                "piece-unheld",
                task.at,
                f"{counted(unheld, 'pieces')} {'touches' if unheld == 1 else 'touch'} fewer than "
                f"two members: {mend}",
                rule="5.6",
            )
        )


def _length(
    layer: LaidBoards, product: NamedFastener | None, places: set[str], said: Remarks
) -> int | None:
    """The shortest length that holds everywhere; refuses where none of the list does (18.11)."""
    if product is None:
        return None
    task, boards = layer.task, layer.detail
    if not places:
        return None  # all of it is clipped
    panel_only = boards.along_framing and not boards.rows
    _smooth_in_panel(layer, product[0], said)
    need = need_of(task, product[0].shank, said, "panel" if panel_only else "wood")
    ways = [_way(layer, place, in_panel=panel_only) for place in sorted(places)]
    return holding_length(task, product, ways, need, said)


def _smooth_in_panel(layer: LaidBoards, spec: FastenerProduct, said: Remarks) -> None:
    if layer.detail.along_framing and spec.shank == "smooth":
        said.find(
            Finding(
                "smooth-nail-in-panel",
                layer.task.at,
                "smooth nails do not hold in a panel "
                f"{both(layer.task.ground.backing or 0)} thick: use ring shanks or screws",
                rule="18.5",
            )
        )


def _way(layer: LaidBoards, place: str, *, in_panel: bool) -> Way:
    """How a fastener goes through the board and what lies behind it."""
    task, thickness = layer.task, layer.detail.board.thickness
    ground = task.ground
    carrier: Literal["panel", "framing"] = "panel" if in_panel else "framing"
    if place == "blind":
        lean = task.rules.blind_angle
        return Way(blind_entry(thickness), ground.plies, lean, carrier, ground.depth)
    return Way(thickness, ground.plies, carrier=carrier, depth=ground.depth)


def _reach(layer: LaidBoards, where: str, place: str, length: int | None) -> Reach | None:
    """How far the chosen length holds: in the framing, or in the panel where it meets no member."""
    if length is None or place == "clip":
        return None
    in_panel = (layer.detail.along_framing and where not in _IN_FRAMING) or where in _OFF_MEMBERS
    in_panel &= layer.task.ground.backing is not None
    return reach_of(length, _way(layer, place, in_panel=in_panel))
