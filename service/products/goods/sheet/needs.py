"""What a layer can want of a sheet, and its share of the plan that is made for all of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from service.cutting.sheets.layouts import Jointing
from service.cutting.sheets.nesting import Part
from service.products.form import Need as NeedOf
from service.products.goods.sheet.rulings import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheeting:
    """The part that is sawn for each piece, by the piece's id.

    `ways` are all ways in which the rows could be jointed, for the bound on every plan; where they
    are not known `bare` is the area that the pieces cover at least (square ticks).
    """

    parts: Mapping[str, Part]
    ways: tuple[Jointing, ...] = ()
    bare: int = 0


@dataclass(frozen=True, slots=True)
class SheetShare:
    """What one need gets: the sheet of each piece by its id, and the part sawn for it."""

    where: Mapping[str, tuple[str, Part]]


Need = NeedOf[Task, Sheeting, SheetShare]
"""What a layer wants of a sheet."""
