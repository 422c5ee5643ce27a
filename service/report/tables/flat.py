"""The flat answer: a takeoff's tables and what else it says, in the caller's units."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

from service import RULES_VERSION, __version__
from service.products.registry import rules_digest
from service.report.tables.catalogue import ASKED, ONLY_ASKED, TABLES
from service.report.tables.told_rows import Summary
from service.report.tables.writing import writer_of
from service.schemas.answer import Units, Version
from service.schemas.base import Given
from service.schemas.published import model_of, published
from service.takeoff.pipeline import Takeoff


def flat(takeoff: Takeoff) -> dict[str, Any]:
    """The whole answer as plain values, ready to be encoded."""
    writer = writer_of(takeoff)
    tables = {table.name: writer.rows(table.record, table.rows(takeoff)) for table in TABLES}
    (summary,), basis = tables.pop("summary"), tables.pop("basis")
    for name, asked in ASKED.items():
        if not asked(takeoff):
            del tables[name]
    return {
        "version": version(),
        "units": writer.units,
        "summary": summary,
        **tables,
        "not_computed": list(takeoff.not_computed),
        "basis": basis,
        "request": plain(takeoff.job.asked) if takeoff.job.echo else None,
    }


def version() -> dict[str, str]:
    """Which service and which rules made an answer."""
    return {"service": __version__, "rules": RULES_VERSION, "digest": rules_digest()}


@cache
def answer_shape() -> type[Given]:
    """The published shape of the answer: members and order are those of `flat`."""
    tables = {
        table.name: (list[model_of(table.record)], table.description)  # type: ignore[misc]  # made
        for table in TABLES
    }
    del tables["summary"]
    basis = tables.pop("basis")
    members: dict[str, tuple[Any, str | None]] = {
        "version": (Version, None),
        "units": (Units, None),
        "summary": (model_of(Summary), None),
        **tables,
        "not_computed": (list[str], None),
        "basis": basis,
        "request": (dict[str, Any] | None, "The request, when `echo` asked for it."),
    }
    return published("Answer", "The takeoff of a job.", members, ONLY_ASKED)


def plain(value: Any) -> Any:
    """A read request as plain JSON values again."""
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    return float(value) if isinstance(value, Decimal | Fraction) else value
