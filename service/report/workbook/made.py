"""The workbook of an answer: a sheet for each of its tables, and one of what it says besides."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Final

from service.report.paper import Paper, paper_of
from service.report.workbook.book import book
from service.report.workbook.leaves import Answer, AnyTable, leaves, said

_ECHO: Final = "request"
"""Of an answer: what was asked, where it was to be sent back; no sheet of a workbook."""

_OF_WORK: Final = frozenset({"version", "units", _ECHO})
"""Of the takeoff of what is left: what the change order says too."""


def workbook(
    answer: Answer, tables: Sequence[AnyTable], first: str, paper: Paper | None = None
) -> bytes:
    """A flat answer as a workbook; the sheet `first` comes first.

    It is set up for `paper`, or for the usual one where its lengths are in use.
    """
    about = said(answer, {one.name for one in tables} | {_ECHO})
    return book(list(leaves(answer, tables)), list(about), first, paper or paper_of(answer))


def change_workbook(
    answer: Answer,
    tables: Sequence[AnyTable],
    of_work: Sequence[AnyTable],
    first: str,
    paper: Paper | None = None,
) -> bytes:
    """A change order with the takeoff of the work that is left: its sheets begin with `work_`."""
    work = answer["work"]
    about = chain(
        said(answer, {one.name for one in tables} | {"work"}),
        said(work, {one.name for one in of_work} | _OF_WORK, "work."),
    )
    sheets = [*leaves(answer, tables), *leaves(work, of_work, "work_")]
    return book(sheets, list(about), first, paper or paper_of(answer))
