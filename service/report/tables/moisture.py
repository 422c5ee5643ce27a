"""The answer about moisture: its tables, in the caller's units."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from operator import attrgetter
from typing import Any, Final

from service.report.tables.csv_table import table_as_csv
from service.report.tables.flat import version
from service.report.tables.table import Table
from service.report.tables.told_rows import BasisRow
from service.report.tables.writing import Writer
from service.schemas.answer import Units, Version
from service.schemas.base import Given
from service.schemas.published import model_of, published
from service.takeoff.moisture.alone import Moistened
from service.takeoff.moisture.rows import (
    AirRow,
    MoistureCheckRow,
    MoistureSummary,
    MovementRow,
    StackRow,
    VisitRow,
)


def _basis(made: Moistened) -> Iterable[BasisRow]:
    for one in made.basis:
        yield BasisRow(at=one.at, rule=one.rule, key=one.key, value=one.value, source=one.source)


MOIST_TABLES: Final[tuple[Table[Moistened], ...]] = (
    Table("summary", MoistureSummary, lambda made: (made.summary,)),
    Table("checks", MoistureCheckRow, attrgetter("checks")),
    Table("air", AirRow, attrgetter("air")),
    Table("visits", VisitRow, attrgetter("visits")),
    Table("movement", MovementRow, attrgetter("movement")),
    Table("stacks", StackRow, attrgetter("stacks")),
    Table("basis", BasisRow, _basis),
)

MOIST_BY_NAME: Final = {one.name: one for one in MOIST_TABLES}


def flat_moisture(made: Moistened) -> dict[str, Any]:
    """The whole answer as plain values, ready to be encoded."""
    writer = Writer(made.job.unit, None)
    tables = {one.name: writer.rows(one.record, one.rows(made)) for one in MOIST_TABLES}
    (summary,) = tables.pop("summary")
    return {"version": version(), "units": writer.units, "summary": summary, **tables}


def moisture_csv(made: Moistened, name: str | None) -> bytes:
    """One table of the answer, or its checks where none is named."""
    return table_as_csv(MOIST_BY_NAME[name or "checks"], made, Writer(made.job.unit, None))


@cache
def moisture_shape() -> type[Given]:
    """The published shape of the answer: members and order are those of `flat_moisture`."""
    tables: dict[str, tuple[Any, str | None]] = {
        one.name: (list[model_of(one.record)], one.description)  # type: ignore[misc]  # made
        for one in MOIST_TABLES
        if one.name != "summary"
    }
    members: dict[str, tuple[Any, str | None]] = {
        "version": (Version, None),
        "units": (Units, None),
        "summary": (model_of(MoistureSummary), None),
        **tables,
    }
    return published("MoistureAnswer", "Whether boards may go up, and how they move.", members)
