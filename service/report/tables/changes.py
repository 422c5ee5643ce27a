"""The answer to a change order: its tables, and the takeoff of the work that is left."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from typing import Any, Final

from service import RULES_VERSION, __version__
from service.changes.change import Change
from service.changes.rows import (
    ChangedFramingRow,
    ChangedPieceRow,
    ChangeOrderRow,
    ChangeSummary,
    ChangeTotalRow,
    StepRow,
)
from service.products.registry import rules_digest
from service.report.tables.csv_table import written
from service.report.tables.flat import answer_shape, flat
from service.report.tables.writing import writer_of
from service.schemas.answer import BeforeVersion, Units, Version
from service.schemas.base import Given
from service.schemas.columns import columns_of
from service.schemas.published import model_of, published


@dataclass(frozen=True, slots=True)
class ChangeTable:
    """One table of a change order: its name, the record of its rows, where a change has them.

    `totals` are columns whose values add up.
    """

    name: str
    record: type
    rows: Callable[[Change], Iterable[Any]]
    description: str
    totals: tuple[str, ...] = ()


TABLES: Final = (
    ChangeTable("totals", ChangeTotalRow, attrgetter("totals"), "The change layer by layer."),
    ChangeTable(
        "pieces", ChangedPieceRow, attrgetter("pieces"), "Every piece, and what becomes of it."
    ),
    ChangeTable(
        "framing",
        ChangedFramingRow,
        attrgetter("framing"),
        "What must stand behind the layers, and what becomes of it.",
    ),
    ChangeTable(
        "order",
        ChangeOrderRow,
        attrgetter("order"),
        "What is to buy and what goes back; items of which nothing changes are left out.",
        totals=("price", "credit"),
    ),
    ChangeTable("steps", StepRow, attrgetter("steps"), "The work, one step after the other."),
)

BY_NAME: Final = {one.name: one for one in TABLES}

CHANGE_PARTS: Final = ("summary", *BY_NAME, "work")
"""What of the answer may be asked for by itself."""


def flat_change(change: Change, before_version: BeforeVersion | None) -> dict[str, Any]:
    """The whole answer as plain values, ready to be encoded."""
    writer = writer_of(change.work)
    (summary,) = writer.rows(ChangeSummary, (change.summary,))
    return {
        "version": {"service": __version__, "rules": RULES_VERSION, "digest": rules_digest()},
        "units": writer.units,
        "before_version": None if before_version is None else before_version.model_dump(),
        "summary": summary,
        **{one.name: writer.rows(one.record, one.rows(change)) for one in TABLES},
        "work": flat(change.work),
    }


def change_as_csv(change: Change, name: str | None) -> bytes:
    """One table of a change order, or what is to buy where none is named."""
    table, writer = BY_NAME[name or "order"], writer_of(change.work)
    rows = writer.rows(table.record, table.rows(change))
    return written(columns_of(table.record), rows, writer.units)


@cache
def change_shape() -> type[Given]:
    """The published shape of the answer: members and order are those of `flat_change`."""
    tables = {
        one.name: (list[model_of(one.record)], one.description)  # type: ignore[misc]  # made
        for one in TABLES
    }
    members: dict[str, tuple[Any, str | None]] = {
        "version": (Version, None),
        "units": (Units, None),
        "before_version": (
            BeforeVersion | None,
            "Whether the first answer was made by the same rules; null where its version was not "
            "sent.",
        ),
        "summary": (model_of(ChangeSummary), None),
        **tables,
        "work": (
            answer_shape(),
            "The takeoff of the work that is left, as `takeoffs` gives it. Cures in it are patches "
            "of `after`.",
        ),
    }
    return published("ChangeOrder", "What a change of a job asks for.", members)
