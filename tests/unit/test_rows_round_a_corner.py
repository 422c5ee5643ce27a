"""Rows of panelling that start with what the last sheet of the wall before left (12.4), by hand."""

from __future__ import annotations

import pytest

from service.layout.panelling import Module, panelled_on
from service.layout.runs import Course
from service.products.kinds.sheathing.corner import kept_edge
from service.units.ticks import INCH

SHEETS = Module(48 * INCH, 48 * INCH, 0, 0, 12 * INCH)
"""Sheets of 48 in that neither lap nor have beads, no row under 12 in."""


def widths(net: int, offcut: int) -> list[int] | None:
    """The rows of a wall so wide, in inches, that starts with an offcut."""
    rows = panelled_on(0, net * INCH, SHEETS, None, True, offcut * INCH)
    return None if rows is None else [(row.high - row.low) // INCH for row in rows]


@pytest.mark.parametrize(("net", "offcut", "rows"), [
    (68, 20, [20, 48]),  # all of it, and a whole sheet
    (75, 20, [15, 48, 12]),  # 20 and 48 would leave 7: so much less that the last is 12
    (60, 10, None),  # 10 is under the least itself, and no less does
    (30, 11, None),
    (20, 36, [20]),
])  # fmt: skip
def test_no_row_that_an_offcut_begins_leaves_one_under_the_least(
    net: int, offcut: int, rows: list[int] | None
) -> None:
    assert widths(net, offcut) == rows


@pytest.mark.parametrize(("first", "last", "begun", "edge"), [
    (True, False, False, "far"), (True, False, True, "far"), (False, True, False, "near"),
    (False, True, True, "near"), (True, True, False, "near"), (True, True, True, "far"),
    (False, False, False, None),
])  # fmt: skip
def test_a_ripped_row_keeps_the_mill_edge_that_shows(
    first: bool, last: bool, begun: bool, edge: str | None
) -> None:
    """The first row's lies at the next one, the last one's at the one before.

    A single row that an offcut begins has its sawn edge in the corner, where it starts.
    """
    row = Course(1, 0, 20 * INCH, "end", True, first, last)
    assert kept_edge(row, begun=begun) == edge
    assert kept_edge(Course(1, 0, 48 * INCH, "none", True, first, last), begun=begun) is None
