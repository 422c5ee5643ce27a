"""What is answered of one room: the cells that were sent, then its figures or its error."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import orjson

from service.report.scale import scale_of
from service.report.tables.flat import plain
from service.report.tables.laid import surfaces
from service.report.tables.summary import line, summary
from service.rows.csv_in import Line
from service.rows.jobs import filled
from service.schemas.rooms import COLUMNS, RESULTS
from service.takeoff.pipeline import Takeoff
from service.units.folding import folded


def row_of(cells: Mapping[str, Any], takeoff: Takeoff) -> dict[str, Any]:
    """The row of a room that was taken off."""
    told, scale = summary(takeoff), scale_of(takeoff.job.unit)
    (surface,) = surfaces(takeoff)
    order = [row for made in takeoff.supplied for row in made.order]
    prices = [row.price for row in order if row.price is not None]
    return _row(
        cells,
        status="ok",
        area=scale.area(surface.net),
        area_unit=scale.area_unit,
        courses=sum(len(one.courses) for one in takeoff.laid),
        pieces=sum(len(one.pieces) for one in takeoff.placed),
        joints=sum(len(one.joints) for one in takeoff.placed),
        fasteners=sum(row.count for row in takeoff.fasteners),
        sticks=told.sticks,
        bought=scale.length(told.bought),
        buy="; ".join(line(row, takeoff.job.unit) for row in order),
        waste_pct=told.waste_pct,
        extra_pct=told.extra_pct,
        price=_money(prices) if len(prices) == len(order) else None,
        findings=" ".join(dict.fromkeys(one.code for one in takeoff.findings)),
    )


def _money(prices: Sequence[float]) -> str:
    """Prices of lines, each with its cents, added up."""
    return f"{folded(prices):.2f}"


def refused(cells: Mapping[str, Any], error: str) -> dict[str, Any]:
    """The row of a room that cannot be taken off as asked."""
    return _row(cells, status="refused", error=error)


def unanswered(cells: Mapping[str, Any], error: str) -> dict[str, Any]:
    """The row of a room that the service did not get to."""
    return _row(cells, status="unanswered", error=error)


def empty(cells: Mapping[str, Any]) -> dict[str, Any]:
    """A row without a room."""
    return _row(cells, status="empty")


def unworked(line: Line) -> dict[str, Any] | None:
    """The row of a line of which it is plain that there is nothing to take off; None of others."""
    cells: dict[str, Any] = plain(line.asked)
    if line.fault is not None:
        return refused(cells, line.fault)
    return None if filled(line.asked) else empty(cells)


def worked(line: Line, answer: bytes) -> dict[str, Any]:
    """The row of a line, from the answer to a sheet of it alone; its cells as they were sent."""
    (row,) = orjson.loads(answer)["rows"]
    return {**row, **plain(line.asked)}


def _row(cells: Mapping[str, Any], **results: Any) -> dict[str, Any]:
    sent = {name: cells.get(name) for name in COLUMNS}
    return {**sent, **{name: results.get(name) for name in RESULTS}}
