"""A row of a sheet to the job that it asks for, and a fault of that job back to its column."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, Final

import orjson

from service.errors import Fault, ShapeRefused
from service.schemas.rooms import COLUMNS
from service.schemas.written import OWN_UNIT

_NUMBER: Final = re.compile(r"-?[0-9]{1,24}(\.[0-9]{1,24})?")
_PARTED: Final = re.compile(r"\s*[;|]\s*")
_MOST_LENGTHS: Final = 24
DIRECTIONS: Final = {"along length": 0, "along width": 90}
NEEDED: Final = (
    "unit", "length", "width", "boards_run", "support_spacing", "profile", "overall", "thickness",
    "stock",
)  # fmt: skip
OPENING: Final = ("opening_along", "opening_across", "opening_length", "opening_width")

Row = Mapping[str, Any]
"""Cells by column; those that are empty are left out."""


def filled(cells: Mapping[str, Any]) -> dict[str, Any]:
    """The cells that hold something: a number, also one written as text, or a text."""
    read = {name: _read(value) for name, value in cells.items()}
    return {name: value for name, value in read.items() if value not in (None, "")}


def _read(value: Any) -> Any:
    text = value.strip() if isinstance(value, str) else value
    return Decimal(text) if isinstance(text, str) and _NUMBER.fullmatch(text) else text


def alone(cells: Mapping[str, Any]) -> bytes:
    """A sheet of one row, as it is sent to be taken off by itself."""
    row = {name: _sent(value) for name, value in cells.items() if value is not None}
    return orjson.dumps({"rows": [row]})


def _sent(value: Any) -> Any:
    """A cell as JSON has it; a decimal as text, which loses no digit."""
    if not isinstance(value, Decimal):
        return value
    text = format(value, "f")
    return text if _NUMBER.fullmatch(text) else float(value)


def job_of_row(row: Row) -> dict[str, Any]:
    """The job of one room. Raises ShapeRefused that names every column that it lacks."""
    faults = list(_faults(row))
    if faults:
        raise ShapeRefused(*faults)
    job = {
        "unit": row["unit"],
        "surfaces": [_surface(row)],
        "products": [_board(row)],
        "currency": row.get("currency"),
        "rules": _present({"cull": row.get("cull")}),
    }
    return _present(job)


def _faults(row: Row) -> Iterator[Fault]:
    for name in NEEDED:
        if name not in row:
            yield Fault("missing", "this cell is needed", f"/{name}")
    if row.get("boards_run", "along length") not in DIRECTIONS:
        yield Fault("choice", "this must be `along length` or `along width`", "/boards_run")
    absent = [name for name in OPENING if name not in row]
    if 0 < len(absent) < len(OPENING):
        yield Fault("missing", "all four cells of an opening go together", f"/{absent[0]}")
    lengths, prices = _list(row.get("stock")), _list(row.get("prices"))
    if prices and len(prices) != len(lengths):
        yield Fault("prices", f"give a price for each length of `stock`: {len(prices)} here for "
                    f"{len(lengths)}", "/prices")  # fmt: skip
    if len(lengths) > _MOST_LENGTHS:
        yield Fault("too-long", f"at most {_MOST_LENGTHS} lengths", "/stock")


def _surface(row: Row) -> dict[str, Any]:
    direction = DIRECTIONS[row["boards_run"]]
    supports = {
        "direction": 90 - direction,
        "spacing": row["support_spacing"],
        "first": row.get("first_support"),
    }
    layer = {
        "id": "boards", "kind": "boarding", "product": "board", "direction": direction,
        "start": row.get("start"),
    }  # fmt: skip
    hole = [row[name] for name in OPENING if name in row]
    surface = {
        "id": "room",
        "type": row.get("type"),
        "rectangle": [row["length"], row["width"]],
        "openings": [{"id": "opening", "rectangle": hole}] if hole else None,
        "supports": _present(supports),
        "layers": [_present(layer)],
    }
    return _present(surface)


def _board(row: Row) -> dict[str, Any]:
    prices = _list(row.get("prices"))
    stock = [
        _present({"length": length, "price": _money(prices[k]) if prices else None})
        for k, length in enumerate(_list(row["stock"]))
    ]
    called = row.get("board")
    board = {
        "id": "board",
        "form": "board",
        "description": None if called is None else str(called),
        **{name: row.get(name) for name in ("profile", "ends", "overall", "coverage", "thickness")},
        "stock": stock,
    }
    return _present(board)


def _list(value: Any) -> list[Any]:
    """The members of a cell that holds a list; a number stands for itself."""
    if value is None:
        return []
    if not isinstance(value, str):
        return [value]
    return [_read(part) for part in _PARTED.split(value) if part]


def _money(value: Any) -> str:
    """A price as the job has it: a decimal as text."""
    return format(value, "f") if isinstance(value, Decimal) else str(value)


def _present(members: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in members.items() if value not in (None, {})}


_COLUMN_OF: Final = (
    (re.compile(r"/(unit|currency)\b.*"), r"\1"),
    (re.compile(r"/rules/cull\b.*"), "cull"),
    (re.compile(r"/surfaces/0/type"), "type"),
    (re.compile(r"/surfaces/0/rectangle/0"), "length"),
    (re.compile(r"/surfaces/0/rectangle/1"), "width"),
    (re.compile(r"/surfaces/0/supports/first"), "first_support"),
    (re.compile(r"/surfaces/0/supports.*"), "support_spacing"),
    (re.compile(r"/surfaces/0/openings/0/rectangle/0"), "opening_along"),
    (re.compile(r"/surfaces/0/openings/0/rectangle/1"), "opening_across"),
    (re.compile(r"/surfaces/0/openings/0/rectangle/2"), "opening_length"),
    (re.compile(r"/surfaces/0/openings.*"), "opening_width"),
    (re.compile(r"/surfaces/0/layers/0/direction"), "boards_run"),
    (re.compile(r"/surfaces/0/layers/0/start"), "start"),
    (re.compile(r"/products/0/description"), "board"),
    (re.compile(r"/products/0/stock/[0-9]+/price"), "prices"),
    (re.compile(r"/products/0/(profile|ends|overall|coverage|thickness|stock)\b.*"), r"\1"),
)  # fmt: skip


def column_of(pointer: str) -> str | None:
    """The column that a place in the job of a row comes from; None where none does."""
    if pointer[1:] in COLUMNS:
        return pointer[1:]
    for place, name in _COLUMN_OF:
        if found := place.fullmatch(pointer):
            return found.expand(name)
    return None


UNITS: Final[Mapping[str, str]] = {
    "in": "inches", "ft": "feet", "mm": "millimetres", "cm": "centimetres", "m": "metres",
}  # fmt: skip
"""What the unit of a row is called."""


def sentence(
    faults: Sequence[Mapping[str, Any]], count: int, most: int = 3, unit: object = None
) -> str:
    """Faults as one text for a cell: each with its column, and how many there are besides.

    `unit` is what the row has under `unit`.
    """
    called, told = UNITS.get(str(unit), "the row's `unit`"), []
    for one in faults[:most]:
        column = column_of(str(one.get("pointer") or ""))
        detail = str(one["detail"]).replace(OWN_UNIT, called)
        told.append(f"{column}: {detail}" if column else detail)
    more = count - len(told)
    return "; ".join(told) + (f"; and {more} more" if more > 0 else "")
