"""Shop sheets for the ladder: the printout set on letter or A4 paper, then the drawing, as PDF.

The words and figures are those of the printed text, part by part; the drawing's pages are those of
the SVG, in true size, so their scales hold. The typesetter gets all of it as JSON, which it shows
as text. It has its own fonts alone, and no clock: the same answer gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final, TypeAlias

import orjson

from service.products.nouns import Nouns
from service.report.paper import Paper, paper_of
from service.report.printout.columns import (
    UNBROKEN,
    Abreast,
    Blank,
    Heading,
    Paragraph,
    Setting,
    Table,
)
from service.report.printout.written import shop_parts, titled

Answer: TypeAlias = Mapping[str, Any]
Told: TypeAlias = dict[str, Any]

FACE: Final = "Libertinus Serif"
"""The font of the sheets, which the typesetter brings; drawings on them are made for it."""

_TEMPLATE: Final = Path(__file__).parent / "sheets.typ"
_FOOT: Final = "Not a structural design: the framing, its spans and loads are the designer's."


def shop_sheets(
    answer: Answer, nouns: Nouns, drawings: Sequence[str], paper: Paper | None = None
) -> bytes:
    """A PDF of a flat answer in its published form, and of its `drawings`, a page each."""
    return on_sheets(answer, titled(answer), shop_parts(answer, nouns), drawings, paper)


def on_sheets(
    answer: Answer,
    title: str,
    chapters: Sequence[Sequence[Setting]],
    drawings: Sequence[str] = (),
    paper: Paper | None = None,
) -> bytes:
    """A PDF of what is printed of any answer: each chapter begins a page, as does each drawing."""
    version = answer["version"]
    told = {
        "title": title,
        "made": f"rules {version['rules']}, {version['digest'].removeprefix('sha256:')[:12]}",
        "foot": _FOOT,
        "paper": paper or paper_of(answer),
        "chapters": [list(map(_told, one)) for one in chapters if one],
        "drawings": list(drawings),
    }
    return typeset(told)


def typeset(told: Told) -> bytes:
    """What the template makes of a record of what is shown."""
    import typst

    made: bytes = typst.compile(
        _TEMPLATE,
        output=None,
        format="pdf",
        root=_TEMPLATE.parent,
        ignore_system_fonts=True,
        sys_inputs={"told": orjson.dumps(told).decode()},
        timestamp=0,
    )
    return made


def _spaced(text: str) -> str:
    """A text as the typesetter takes it, which breaks no line at a space that binds."""
    return text.replace(UNBROKEN, "\u00a0")


def _told(part: Setting) -> Told:
    """A part of the printout as the template reads it."""
    match part:
        case Heading(name):
            return {"kind": "heading", "name": name}
        case Paragraph(text, first, _, boxes, is_caption):
            return {
                "kind": "paragraph",
                "text": _spaced(text),
                "mark": first.strip(),
                "indent": len(first) - len(first.lstrip()) if first.strip() else len(first),
                "boxes": boxes,
                "caption": is_caption,
            }
        case Table(cells, lefts, heads, boxes):
            rows = [list(map(_spaced, row)) for row in cells]
            return {
                "kind": "table",
                "heads": rows[0] if heads else None,
                "rows": rows[1:] if heads else rows,
                "lefts": lefts,
                "boxes": boxes,
            }
        case Abreast(texts):
            return {"kind": "abreast", "texts": list(map(_spaced, texts))}
        case Blank():
            return {"kind": "blank"}
