"""The inspection sheet of a job, by hold points, with what is printed on its products (27.2)."""

from __future__ import annotations

from collections.abc import Iterator

from service.products.remarks import Remarks
from service.takeoff.inspecting.printed import not_met, printed_rows
from service.takeoff.inspecting.rows import InspectionRow, Site
from service.takeoff.inspecting.usual import usual_rows


def inspection(site: Site, said: Remarks) -> tuple[InspectionRow, ...]:
    """All that is looked at: surface by surface from the framing outward, then of products alone.

    What is printed and not so is also a finding.
    """
    printed = list(printed_rows(site))
    for finding in not_met(printed):
        said.find(finding)
    usual = list(usual_rows(site))
    every = [*usual, *printed]
    return tuple(row for place in _places(usual, printed) for row in every if _of(row) == place)


def _of(row: InspectionRow) -> tuple[str | None, str | None]:
    return row.surface, row.hold_point


def _places(*lists: list[InspectionRow]) -> Iterator[tuple[str | None, str | None]]:
    """Every hold point once, in the order of the usual rows."""
    yield from dict.fromkeys(_of(row) for rows in lists for row in rows)
