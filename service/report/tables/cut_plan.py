"""The answer to a cut plan: its tables, in the caller's units."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from typing import Annotated, Any, Final

from service.products.bought_rows import CutPlanRow, LedgerRow, OrderRow, OwnedRow
from service.products.compared import ComparedRow
from service.products.cut_rows import StickRow
from service.report.tables.catalogue import ORDER_TOTALS
from service.report.tables.csv_table import table_as_csv
from service.report.tables.flat import version
from service.report.tables.summary import ordered_in_words
from service.report.tables.table import Table
from service.report.tables.told_rows import BasisRow, FindingRow
from service.report.tables.writing import Writer
from service.schemas.answer import Units, Version
from service.schemas.base import Given
from service.schemas.columns import Count, Flag, Length, Percent, Text
from service.schemas.published import model_of, published
from service.takeoff.cut_plan import CutPlan
from service.units.writing import in_system


@dataclass(frozen=True, slots=True, kw_only=True)
class CutSummary:
    """The whole cut plan in one line per question."""

    pieces: Count
    wanted: Annotated[Length, "Length of the pieces."]
    sticks: Annotated[Count, "Sticks that are cut, the caller's own too."]
    taken: Annotated[Length, "Length of those sticks."]
    bought: Annotated[Length, "Length bought, with culls, spares and whole multiples."]
    waste: Annotated[Length, "Of the sticks that are cut, what becomes no piece: the saw cuts, the "
                     "trimmed ends and the rests, those that are kept too."]  # fmt: skip
    waste_pct: Annotated[Percent, "Waste / taken."]
    optimal: Annotated[Flag, "Whether no plan can cost less."]
    in_words: Text


def _summary(plan: CutPlan) -> Iterator[CutSummary]:
    made = plan.supplied
    wanted = sum(length for stick in made.sticks for length in stick.cuts)
    taken = sum(stick.length for stick in made.sticks)
    (row,) = made.plans
    yield CutSummary(
        pieces=sum(len(stick.pieces) for stick in made.sticks),
        wanted=wanted,
        sticks=len(made.sticks),
        taken=taken,
        bought=sum((line.length or 0) * line.bought.buy for line in made.order),
        waste=taken - wanted,
        waste_pct=round(float((taken - wanted) * 100 / taken), 4),
        optimal=row.optimal,
        in_words=" ".join([*ordered_in_words(made.order, made.owned, plan.job.unit), row.in_words]),
    )


def _findings(plan: CutPlan) -> Iterator[FindingRow]:
    for one in plan.findings:
        yield FindingRow(
            code=one.code,
            at=one.at,
            text=in_system(one.text, plan.job.unit),
            rule=one.rule,
            measure=one.measure,
            limit=one.limit,
            cure=None,
        )


def _basis(plan: CutPlan) -> Iterable[BasisRow]:
    for one in plan.basis:
        yield BasisRow(at=one.at, rule=one.rule, key=one.key, value=one.value, source=one.source)


CUT_TABLES: Final[tuple[Table[CutPlan], ...]] = (
    Table("summary", CutSummary, _summary),
    Table("sticks", StickRow, attrgetter("supplied.sticks"), totals=("length", "offcut")),
    Table("cut_plans", CutPlanRow, attrgetter("supplied.plans")),
    Table("order", OrderRow, attrgetter("supplied.order"), totals=ORDER_TOTALS),
    Table("owned", OwnedRow, attrgetter("supplied.owned")),
    Table("ledger", LedgerRow, attrgetter("supplied.ledger")),
    Table("compared", ComparedRow, attrgetter("supplied.compared")),
    Table("findings", FindingRow, _findings),
    Table("basis", BasisRow, _basis),
)

CUT_BY_NAME: Final = {one.name: one for one in CUT_TABLES}


def _writer(plan: CutPlan) -> Writer:
    names = [name for line in plan.job.lines for name in line.pieces]
    return Writer(plan.job.unit, plan.job.currency, lambda: dict(zip(names, names, strict=True)))


def flat_cut_plan(plan: CutPlan) -> dict[str, Any]:
    """The whole answer as plain values, ready to be encoded."""
    writer = _writer(plan)
    tables = {one.name: writer.rows(one.record, one.rows(plan)) for one in CUT_TABLES}
    (summary,) = tables.pop("summary")
    return {"version": version(), "units": writer.units, "summary": summary, **tables}


def cut_plan_csv(plan: CutPlan, name: str | None) -> bytes:
    """One table of a cut plan, or its sticks where none is named."""
    return table_as_csv(CUT_BY_NAME[name or "sticks"], plan, _writer(plan))


@cache
def cut_plan_shape() -> type[Given]:
    """The published shape of the answer: members and order are those of `flat_cut_plan`."""
    tables: dict[str, tuple[Any, str | None]] = {
        one.name: (list[model_of(one.record)], one.description)  # type: ignore[misc]  # made
        for one in CUT_TABLES
        if one.name != "summary"
    }
    members: dict[str, tuple[Any, str | None]] = {
        "version": (Version, None),
        "units": (Units, None),
        "summary": (model_of(CutSummary), None),
        **tables,
    }
    return published("CutPlanAnswer", "Pieces cut from sticks, and what is bought.", members)
