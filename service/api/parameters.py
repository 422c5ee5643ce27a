"""What may stand behind the path of an operation that takes a body: which form, which part."""

from __future__ import annotations

from collections.abc import Collection
from typing import Annotated, Any, Final

from fastapi import Query

from service.api import accept
from service.api.problems import Declined
from service.compute import Picked
from service.report.printout.columns import NARROWEST, USUAL, WIDEST

MEDIA: Final = tuple(accept.FORMATS.values())


def form_of(names: Collection[str], words: str) -> Any:
    """The parameter `format` of an operation that answers in these forms, which `words` tell."""
    return Query(
        description=f"Form of the answer, before Accept: {words}",
        max_length=8,
        json_schema_extra={"enum": list(names)},
    )


def tables_of(names: Collection[str], usual: str) -> Any:
    """The parameter `tables` of an operation whose answer has these; without it, the `usual`."""
    return Query(
        description=f"CSV: this table of the answer, by its name; without it, {usual}.",
        pattern=TABLE,
        max_length=32,
        json_schema_extra={"enum": list(names)},
    )


_NAME: Final = r"^[a-z0-9_-]{1,32}$"
TABLE: Final = r"^[a-z_]{1,32}$"

Surface = Annotated[
    str | None,
    Query(description="Drawing: only this surface, by its id.", pattern=_NAME, max_length=32),
]
Layer = Annotated[
    str | None,
    Query(description="Drawing: only this layer, by its id.", pattern=_NAME, max_length=32),
]
Columns = Annotated[
    int | None,
    Query(
        description=f"Text: how many characters a line may have; without it {USUAL}.",
        ge=NARROWEST,
        le=WIDEST,
    ),
]


def fitting(picked: Picked, tables: Collection[str]) -> Picked:
    """What was picked; Declined (422) where a part is asked for that the form does not have.

    `tables` are those of the answer, by name.
    """
    if picked.media != "image/svg+xml" and (picked.surface or picked.layer):
        raise _unfit(
            "`surface` and `layer` pick a part of the drawing: ask for ?format=svg.",
            "surface and layer go with the drawing.",
        )
    if picked.table is not None and picked.media != "text/csv":
        raise _unfit(
            "`tables` picks a table of the CSV: ask for ?format=csv.", "tables goes with CSV."
        )
    if picked.columns is not None and picked.media != "text/plain":
        raise _unfit(
            "`columns` is the width of the text: ask for ?format=txt.", "columns goes with text."
        )
    if picked.table is not None and picked.table not in tables:
        raise _unfit(
            f"The answer has no table `{picked.table}`.",
            f"tables is one of {', '.join(tables)}.",
        )
    return picked


def _unfit(meaning: str, detail: str) -> Declined:
    return Declined("ShapeRefused", meaning, errors=[{"code": "parameter", "detail": detail}])
