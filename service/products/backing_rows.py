"""Rows of what must stand behind a layer; they are a table of the answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal, TypeAlias

from service.schemas.columns import PLAIN, Count, Length, Named, Place, Text


@dataclass(frozen=True, slots=True, kw_only=True)
class BackingRow:
    """One line of backing that must stand behind a layer: counted, never computed (15)."""

    surface: Text
    layer: Annotated[Text, "The layer that asks for it."]
    what: Annotated[
        Literal["nailer", "header", "trimmer", "block", "cleat"],
        PLAIN,
        "A nailer runs along a wall, a hip or a valley, a header from one uncut member to the next "
        "at an opening that crosses any, a trimmer along such an opening from header to header, a "
        "cleat along one within a bay; a block fills a clear bay.",
    ]
    purpose: Annotated[
        Text,
        Named("for"),
        "hanging ends, hip or valley, wall, opening, fixture (a can light), joint (boards that "
        "meet between members), row (of blocks behind boards that run with the members), seam "
        "(of sheets), beam (of what it hangs on), beam or strip (that a layer ends at), or leg "
        "(of a board beside a cut-out, off the members).",
    ]
    start: Annotated[Place, Named("from"), "Its one end [x, y], in the plane of the `outline`."]
    end: Annotated[Place, Named("to")]
    length: Annotated[Length, "From end to end."]
    count: Annotated[Count, "Pieces that it is cut in: more than one where no stick is as long."]
    product: Annotated[Text | None, "The lumber it is cut of; null where none was named."]
    pieces: Annotated[tuple[Text, ...], "Their ids, as `sticks` has them; none without a product."]
    nails: Annotated[
        Count | None,
        "Fasteners that hold it: along a nailer, at both ends of all else. Null where the layer's "
        "kind has no rules for that.",
    ]


BackingLine: TypeAlias = tuple[str, str, str, tuple[Place, ...], str | None]
"""What a line of backing is known by: surface, what and for what it is, its ends, its product."""


def backing_line(row: BackingRow) -> BackingLine:
    """What a line of backing is known by; which end was told first makes no difference."""
    return row.surface, row.what, row.purpose, tuple(sorted((row.start, row.end))), row.product
