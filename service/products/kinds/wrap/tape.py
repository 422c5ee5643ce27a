"""Tape: along side laps and end laps, round openings by their shape, at edges if asked (13.5)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from service.errors import Finding
from service.products.goods.tape.spec import TapeProduct
from service.products.kinds.wrap.records import LaidWrap, Wrap, WrapPiece
from service.products.kinds.wrap.rulings import Task
from service.products.remarks import Remarks
from service.products.rows import ConsumableRow
from service.products.taping import round_openings, tape_round, tape_rows


def taped(layer: LaidWrap, pieces: Sequence[WrapPiece], said: Remarks) -> tuple[ConsumableRow, ...]:
    """The tape of one layer by place."""
    task = layer.task
    wrap: Wrap = layer.detail
    product = _product(task, said)
    width = 0 if product is None else product.width
    lengths = {
        "side laps": sum(seam.high - seam.low for seam in wrap.seams),
        "end laps": _end_laps(wrap, pieces) * task.product.width,
        "openings": round_openings(task, width),
    }
    if task.standing is not None:
        lengths = lengths | {"openings": 0, "patches": task.surface.perimeter}
    elif task.rules.tape_edges:
        lengths["edges"] = task.surface.perimeter
    return tape_rows(task, product, lengths, Fraction(task.rules.tape_loss) / 100)


def seal_again(layer: LaidWrap, rims: frozenset[str]) -> tuple[ConsumableRow, ...]:
    """The tape round some openings of wrap that is up, cut in place (13.5)."""
    task = layer.task
    return tape_round(task, task.layer.tape, rims, Fraction(task.rules.tape_loss) / 100)


def _end_laps(wrap: Wrap, pieces: Sequence[WrapPiece]) -> int:
    return len(pieces) - len(wrap.strips)


def _product(task: Task, said: Remarks) -> TapeProduct | None:
    """The tape product, or None with a finding where none was named."""
    named = task.layer.tape
    if named is None:
        said.find(
            Finding("no-tape", task.at, "no tape was named: its length only, no rolls", rule="13.5")
        )
        return None
    return task.named(named, TapeProduct)[0]
