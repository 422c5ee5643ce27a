"""Order lines by name and size, as the caller's system writes them."""

from __future__ import annotations

from service.products.rows import OrderRow
from service.units.writing import size, stock_length


def item_text(row: OrderRow, unit: str) -> str:
    """An order line's item with its size.

    Boards by length (`pine 12' 0"`), fasteners by size (`nail 2-1/2 in`), sheets by width and
    length (`ply 48 in x 96 in`), rolls and tape by width and run (`wrap 54 in x 150' 0"`).
    """
    if row.length is None:
        return row.item
    if row.form == "fastener":
        return f"{row.item} {size(row.length, unit)}"
    if row.width is None:
        return f"{row.item} {stock_length(row.length, unit)}"
    write = size if row.form == "sheet" else stock_length
    return f"{row.item} {size(row.width, unit)} x {write(row.length, unit)}"


def in_package(row: OrderRow) -> int | float:
    """Pieces in a package: a whole number, but for packs by weight that hold a part of a piece."""
    each = row.bought.per_package
    return int(each) if each.denominator == 1 else float(each)
