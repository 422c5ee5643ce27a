"""What a table of an answer is."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

Source = TypeVar("Source")


@dataclass(frozen=True, slots=True)
class Table(Generic[Source]):
    """One table of an answer: its name, the record of its rows, and where its source has them.

    `description` is for what its record cannot say. `totals` are columns whose values add up.
    """

    name: str
    record: type
    rows: Callable[[Source], Iterable[Any]]
    description: str | None = None
    totals: tuple[str, ...] = ()
