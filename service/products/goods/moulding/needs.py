"""What a layer wants of a moulding, and what it gets: lines that are cut whole or scarfed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from service.layout.scarfs import Line
from service.products.form import Need as NeedOf
from service.products.goods.moulding.rulings import Task


@dataclass(frozen=True, slots=True)
class Wanted:
    """One line by its `name`: where it may be joined, in how few `joints` that can be.

    `free`: nothing says where it must be joined, and its `places` are only tries. `stopped`: it
    lies between two stops and must not be longer (0.2).
    """

    name: str
    line: Line
    places: tuple[int, ...] = ()
    joints: int = 0
    free: bool = False
    stopped: bool = False


@dataclass(frozen=True, slots=True)
class Lines:
    """All lines of a layer; `lap` is what two pieces share in a scarf, 0 where none is needed."""

    all: tuple[Wanted, ...]
    lap: int


@dataclass(frozen=True, slots=True)
class Sawn:
    """One line as it is cut: where its pieces meet, and how long each is."""

    joints: tuple[int, ...]
    cuts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class MouldingShare:
    """What one need gets: each of its lines as sawn, and the stick of each piece by its id.

    A piece's id is the name of its line with its number in it.
    """

    sawn: tuple[Sawn, ...]
    sticks: Mapping[str, str]


Need = NeedOf[Task, Lines, MouldingShare]
"""Lines of a moulding that are wanted in one place."""
