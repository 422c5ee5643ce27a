"""The flat answer: a takeoff's records as the published tables, in the caller's unit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service import RULES_VERSION, __version__
from service.errors import Cure, Finding
from service.products.laid_rows import AlternativeRow
from service.products.registry import rules_digest
from service.products.rows import (
    Box,
    ComparedRow,
    ConsumableRow,
    FastenerRow,
    LedgerRow,
    LedgerShareRow,
    OrderRow,
    OrderShareRow,
    PlanRow,
    RuleCostRow,
    SheetRow,
    StickRow,
)
from service.report.compared import compared_in_words
from service.report.items import in_package, item_text
from service.report.names import Names, lasting
from service.report.patches import operations
from service.report.placed_tables import (
    course_row,
    joint_row,
    layers_table,
    member_row,
    opening_row,
    piece_row,
    run_row,
    surfaces_table,
)
from service.report.scale import Scale, scale_of
from service.report.summary import product_rows, summary
from service.takeoff.pipeline import Takeoff


def flat(takeoff: Takeoff) -> dict[str, Any]:
    """The whole answer as plain values, ready to be encoded."""
    scale = scale_of(takeoff.job.unit)
    placed = [one for _, one in takeoff.placed]
    names = lasting(takeoff)

    def rows(name: str, write: Callable[[Scale, Any], Any], of: Sequence[Any]) -> list[Any]:
        return [write(scale, row) for one in of for row in getattr(one, name)]

    order = rows("order", _order, takeoff.supplied)
    order += [_order(scale, row) for row in takeoff.pooled_order]
    return {
        "version": {"service": __version__, "rules": RULES_VERSION, "digest": rules_digest()},
        "units": {
            "length": scale.unit,
            "area": scale.area_unit,
            "weight": scale.weight_unit,
            "money": takeoff.job.currency,
        },
        "summary": summary(takeoff, scale),
        "surfaces": surfaces_table(takeoff, scale),
        "layers": layers_table(takeoff, scale),
        "members": [member_row(scale, row) for row in takeoff.members],
        "openings": [opening_row(scale, row) for layer in takeoff.laid for row in layer.openings],
        "products": product_rows(takeoff, scale),
        "alternatives": [_alternative(scale, r) for la in takeoff.laid for r in la.alternatives],
        "courses": [course_row(scale, row) for layer in takeoff.laid for row in layer.courses],
        "runs": rows("runs", run_row, placed),
        "pieces": [piece_row(scale, row, names) for one in placed for row in one.pieces],
        "joints": [joint_row(scale, row, names) for one in placed for row in one.joints],
        "sticks": [_stick(scale, row, names) for one in takeoff.supplied for row in one.sticks],
        "sheets": [_sheet(scale, row, names) for one in takeoff.supplied for row in one.sheets],
        "cut_plans": rows("plans", _plan, takeoff.supplied),
        "rule_costs": rows("rule_costs", _rule_cost, takeoff.supplied),
        "fasteners": [_fastener(scale, row) for row in takeoff.fasteners],
        "consumables": rows("consumables", _consumable, placed),
        "order": order,
        "ledger": rows("ledger", _ledger, takeoff.supplied),
        "ledger_shares": rows("shares", _ledger_share, takeoff.supplied),
        "order_shares": [_order_share(scale, row) for row in takeoff.order_shares],
        "compared": rows("compared", _compared, takeoff.supplied),
        "findings": [finding_row(scale, takeoff.job.asked, one) for one in takeoff.findings],
        "relaxed": [
            {"rule": one.rule, "key": one.key, "asked": scale.value(one.asked),
             "used": scale.value(one.used), "places": list(one.places)}
            for one in takeoff.relaxed
        ],
        "cautions": list(takeoff.cautions),
        "not_computed": list(takeoff.not_computed),
        "basis": [
            {"at": one.at, "rule": one.rule, "key": one.key, "value": scale.value(one.value),
             "from": one.source}
            for one in takeoff.basis
        ],
        "request": plain(takeoff.job.asked) if takeoff.job.echo else None,
    }  # fmt: skip


def plain(value: Any) -> Any:
    """A read request as plain JSON values again."""
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    return float(value) if isinstance(value, Decimal | Fraction) else value


def _stick(scale: Scale, row: StickRow, names: Names) -> dict[str, Any]:
    return {
        "stick": row.stick, "product": row.product, "length": scale.length(row.length),
        "pieces": [names[one] for one in row.pieces],
        "cuts": [scale.length(cut) for cut in row.cuts],
        "beside": [[names[one] for one in own] for own in row.beside or ((),) * len(row.pieces)],
        "kerfs": row.kerfs, "kerf": scale.length(row.kerf),
        "end_trim": scale.length(row.end_trim), "rest": scale.length(row.rest), "kept": row.kept,
        "ticks": {"length": row.length, "pieces": sum(row.cuts), "kerf": row.kerf,
                  "end_trim": row.end_trim, "rest": row.rest},
    }  # fmt: skip


def _sheet(scale: Scale, row: SheetRow, names: Names) -> dict[str, Any]:
    def boxes(ones: Sequence[Box]) -> list[list[float]]:
        return [[scale.length(side) for side in one] for one in ones]

    def twice(ones: Sequence[Box]) -> int:
        return 2 * sum(length * width for _, _, length, width in ones)

    return {
        "sheet": row.sheet, "product": row.product, "length": scale.length(row.length),
        "width": scale.length(row.width), "pieces": [names[one] for one in row.pieces],
        "boxes": boxes(row.boxes),
        "steps": list(row.steps), "kept": boxes(row.kept), "waste": boxes(row.waste),
        "half_square_ticks": {
            "sheet": str(2 * row.length * row.width), "pieces": str(twice(row.boxes)),
            "kerf": str(row.kerf), "kept": str(twice(row.kept)), "waste": str(twice(row.waste)),
        },
    }  # fmt: skip


def _consumable(scale: Scale, row: ConsumableRow) -> dict[str, Any]:
    return {
        "surface": row.surface, "layer": row.layer, "product": row.product, "where": row.where,
        "length": scale.length(row.length), "counted": row.counted,
    }  # fmt: skip


def _in_measure(scale: Scale, measured_in: str, value: str | int) -> float:
    """A cost as a number: money, a count, or a length in the caller's unit."""
    return scale.length(int(value)) if measured_in == "length" else float(value)


def _plan(scale: Scale, row: PlanRow) -> dict[str, Any]:
    return {
        "product": row.product, "objective": row.objective,
        "cost": _in_measure(scale, row.measured_in, row.cost),
        "bound": _in_measure(scale, row.measured_in, row.bound),
        "ordered": None
        if row.ordered is None
        else _in_measure(scale, row.measured_in, row.ordered),
        "rests": _in_measure(scale, row.measured_in, row.rests),
        "measured_in": row.measured_in, "gap_pct": row.gap_pct,
        "optimal": row.optimal, "work": row.work, "in_words": row.in_words,
    }  # fmt: skip


def _rule_cost(scale: Scale, row: RuleCostRow) -> dict[str, Any]:
    return {
        "product": row.product, "rule": row.rule, "key": row.key,
        "asked": scale.value(row.asked), "used": scale.value(row.used),
        "cost": _in_measure(scale, row.measured_in, row.cost),
        "saves": _in_measure(scale, row.measured_in, row.saves),
        "measured_in": row.measured_in, "saves_pct": row.saves_pct, "in_words": row.in_words,
    }  # fmt: skip


def _alternative(scale: Scale, row: AlternativeRow) -> dict[str, Any]:
    return {
        "surface": row.surface, "layer": row.layer, "rank": row.rank, "start": row.start,
        "courses": row.courses, "first": scale.length(row.first), "last": scale.length(row.last),
        "chosen": row.chosen, "why": row.why,
    }  # fmt: skip


def _fastener(scale: Scale, row: FastenerRow) -> dict[str, Any]:
    reach = row.reach
    return {
        "surface": row.surface, "layer": row.layer, "product": row.product, "where": row.where,
        "pattern": row.pattern, "place": row.place, "spacing": scale.maybe(row.spacing),
        "count": row.count, "counted": row.counted,
        "length": None if reach is None else scale.length(reach.length),
        "hold": None if reach is None else scale.length(reach.hold),
        "depth": None if reach is None else scale.length(reach.depth),
        "into_framing": None if reach is None else scale.length(reach.framing),
        "into_wood": None if reach is None else scale.length(reach.wood),
    }  # fmt: skip


def _ledger(scale: Scale, row: LedgerRow) -> dict[str, Any]:
    return {
        "product": row.product, "account": row.account, **_booked(scale, row),
    }  # fmt: skip


def _booked(scale: Scale, row: LedgerRow | LedgerShareRow) -> dict[str, Any]:
    """An amount of a ledger in its own measure; an area as length of stock of its width too."""
    amount, area = row.amount, row.measure == "area"
    along = amount if row.measure == "length" else None
    if area and row.width:
        along = round(Fraction(amount, 2 * row.width))
    return {
        "measure": row.measure,
        "area": scale.area(amount) if area else None,
        "length": scale.maybe(along),
        "half_square_ticks": str(amount) if area else None,
        "amount": str(amount),
    }


def _ledger_share(scale: Scale, row: LedgerShareRow) -> dict[str, Any]:
    return {
        "surface": row.surface, "product": row.product, "account": row.account,
        **_booked(scale, row),
    }  # fmt: skip


def _order_share(scale: Scale, row: OrderShareRow) -> dict[str, Any]:
    return {
        "surface": row.surface, "product": row.line.product,
        "item": item_text(row.line, scale.unit), "buy": row.buy, "price": row.price,
    }  # fmt: skip


def _compared(scale: Scale, row: ComparedRow) -> dict[str, Any]:
    def read(value: int) -> float:
        return scale.length(value) if row.measured_in == "length" else value

    usual = row.as_you_go
    return {
        "product": row.product, "flat_pct": row.flat_pct, "measured_in": row.measured_in,
        "would_order": read(row.would_order), "would_cost": row.would_cost,
        "bought": read(row.bought), "cost": row.cost,
        "wrong_by": read(row.would_order - row.bought),
        "as_you_go": None if usual is None else scale.length(usual.sticks * usual.stock),
        "as_you_go_from": None if usual is None else scale.length(usual.stock),
        "as_you_go_cost": None if usual is None else usual.cost,
        "in_words": compared_in_words(row, scale.unit),
    }  # fmt: skip


def _order(scale: Scale, row: OrderRow) -> dict[str, Any]:
    line = row.bought
    return {
        "product": row.product, "form": row.form, "item": item_text(row, scale.unit),
        "length": scale.maybe(row.length), "width": scale.maybe(row.width),
        "need": line.need, "cull": line.cull, "spare": line.spare, "loss": line.loss,
        "buy": line.buy, "packages": line.packages, "per_package": in_package(row),
        "left_over": line.left_over, "price": row.price, "weight": scale.weight(row.weight),
        "board_feet": row.board_feet,
    }  # fmt: skip


def finding_row(scale: Scale, asked: Any, finding: Finding) -> dict[str, Any]:
    """A finding with its cure as a patch of what was asked."""
    return {
        "code": finding.code, "at": finding.at, "text": finding.text, "rule": finding.rule,
        "measure": scale.maybe(finding.measure), "limit": scale.maybe(finding.limit),
        "cure": cure_rows(scale, asked, finding.cure),
    }  # fmt: skip


def cure_rows(scale: Scale, asked: Any, cure: Cure | None) -> list[dict[str, Any]] | None:
    """A cure as a patch of what was asked, its lengths exact; None where there is no cure."""
    return None if cure is None else operations(asked, cure, scale.exactly)
