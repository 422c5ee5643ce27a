"""Which paper an answer is printed on, and which its drawing lies on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, Final, Literal, TypeAlias

from service.products import drawing
from service.products.drawing import Sheet
from service.units.ticks import METRIC

Paper: TypeAlias = Literal["letter", "a4"]

_DRAWN_ON: Final[Mapping[Paper, drawing.Paper]] = {"letter": drawing.LETTER, "a4": drawing.A4}


def laid_on(sheets: Iterable[Sheet], paper: Paper) -> list[Sheet]:
    """Sheets to be drawn on `paper`."""
    return [replace(sheet, paper=_DRAWN_ON[paper]) for sheet in sheets]


def paper_of(answer: Mapping[str, Any]) -> Paper:
    """The usual paper where lengths are in the unit of an answer."""
    return "a4" if answer["units"]["length"] in METRIC else "letter"
